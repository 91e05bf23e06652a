"""What the tee shows at a terminal size: the three large things first, everything else as room allows. Pure arithmetic."""

from dataclasses import dataclass, replace

from rangelog.tui.draw import bracket, large

LINE_UP_TO = (40, 12)
"""Columns and rows up to which one plain line is shown."""

BESIDE_FROM = 60
MARGIN = 2


@dataclass(frozen=True, slots=True)
class TeePlan:
    """Sizes of the parts of the tee.

    Attributes:
        columns, lines: the terminal.
        plain: only one plain line fits.
        beside: LAST stands beside NEXT, else beneath it.
        tall, hint_tall: half rows a dot of the large letters, for NEXT and LAST and for the hint's action.
        captions: the row of words above each large thing.
        header, footer, echo: whether these lines are shown.
        deep: lines a side in the bracket picture, 0 for no picture.
        gaps: blank rows before NEXT, before HINT and before the picture.
    """

    columns: int = 80
    lines: int = 24
    plain: bool = False
    beside: bool = True
    tall: int = 1
    hint_tall: int = 1
    captions: bool = True
    header: bool = True
    footer: bool = True
    echo: bool = True
    deep: int = 1
    gaps: tuple[int, int, int] = (0, 0, 0)

    @property
    def body(self) -> int:
        """Columns inside the margins."""
        return max(self.columns - 2 * MARGIN, 1)

    @property
    def next_columns(self) -> int:
        """Columns of NEXT: as few as a usual setting needs, so that LAST has room for its longest word."""
        share = 3 / 8 if self.body >= 150 else 2 / 5
        return max(int(self.body * share), 24) if self.beside else self.body

    @property
    def last_columns(self) -> int:
        """Columns of LAST."""
        return self.body - self.next_columns if self.beside else self.body

    @property
    def big_rows(self) -> int:
        """Rows of NEXT, and of LAST."""
        return large.rows(self.tall) + self.captions

    @property
    def rows_before_hint(self) -> int:
        """Rows above HINT, its gap included: what stays in sight above the menu."""
        above = self.header + self.gaps[0] + self.big_rows * (1 if self.beside else 2) + self.gaps[1]
        return above if self.lines - above >= 8 else 1

    @property
    def hint_rows(self) -> int:
        """Rows of HINT."""
        return large.rows(self.hint_tall) + 1

    @property
    def picture_rows(self) -> int:
        """Rows of the bracket picture."""
        return 5 * self.deep + 2 if self.deep else 0

    @property
    def rows(self) -> int:
        """Rows the whole plan takes."""
        parts = self.big_rows * (1 if self.beside else 2) + self.hint_rows + self.picture_rows
        return parts + sum(self.gaps) + self.header + self.footer + self.echo


def plan(columns: int, lines: int, notice: bool = False, large_letters: bool = False) -> TeePlan:
    """The largest arrangement that fits.

    Args:
        columns, lines: the terminal.
        notice: keep one row free for the standing line.
        large_letters: give the room of the picture to the letters.
    """
    if columns <= LINE_UP_TO[0] or lines <= LINE_UP_TO[1]:
        return TeePlan(columns, lines, plain=True)
    room = lines - notice
    if large_letters and (huge := _huge(columns, lines, room)) is not None:
        return huge
    beside = columns >= BESIDE_FROM
    pictured = bracket.step(columns - 2 * MARGIN) >= 2
    for tall, hint_tall, deep in _SIZES:
        made = TeePlan(columns, lines, False, beside, tall, hint_tall, deep=deep if pictured else 0)
        wanted = _breathing(made)
        if made.rows + sum(wanted) <= room and _wide_enough(made):
            return replace(made, gaps=_spread(wanted, room - made.rows))
    for header, footer, captions, echo in (
        (True, False, True, True),
        (False, False, True, True),
        (True, False, False, True),
        (False, False, False, True),
        (False, False, False, False),
    ):
        made = TeePlan(columns, lines, False, beside, 1, 1, captions, header, footer, echo, 0)
        if made.rows <= room:
            return made
    return TeePlan(columns, lines, plain=True)


def _huge(columns: int, lines: int, room: int) -> TeePlan | None:
    """The largest letters without a picture; None where they would be no larger than beside one."""
    for tall, hint_tall in _HUGE:
        made = TeePlan(columns, lines, False, columns >= BESIDE_FROM, tall, hint_tall, deep=0)
        across = large.narrowest(tall)
        setting = large.width("2", across) + 2 * across + 1 + large.width("60", across)
        fits = setting < made.next_columns and large.width("ON LINE", across) <= made.last_columns
        if fits and made.rows + 1 <= room:
            return replace(made, gaps=(*_spread((0, 1, 0), room - made.rows)[:2], 0))
    return None


_HUGE = sorted(((tall, hint) for tall in range(2, 13) for hint in range(2, tall + 2)), key=sum, reverse=True)
"""Largest first: half rows a dot of NEXT and LAST, and of the hint."""

_SIZES = (
    (6, 5, 6), (5, 4, 5), (4, 4, 5), (4, 4, 4), (4, 3, 4),
    (4, 3, 3), (3, 3, 3), (3, 3, 2), (3, 2, 2), (2, 2, 3), (2, 2, 2), (2, 2, 1), (2, 1, 1), (1, 1, 1),
    (2, 2, 0), (2, 1, 0), (1, 1, 0),
)  # fmt: skip
"""Largest first: half rows a dot of NEXT and LAST, of the hint, lines a side in the picture."""


def _breathing(made: TeePlan) -> tuple[int, int, int]:
    """The blank rows a size should not be shown without; the smallest takes what is there."""
    if made.tall == 1:
        return (0, 0, 0)
    return (0, 1, 0) if made.tall == 2 else (1, 1, 1)


def _spread(least: tuple[int, int, int], spare: int) -> tuple[int, int, int]:
    """The spare rows given to the gaps, most wanted first, at most two each."""
    gaps = list(least)
    left = spare - sum(gaps)
    for at in (2, 0, 1, 2):
        if left > 0 and gaps[at] < 2:
            gaps[at] += 1
            left -= 1
    return gaps[0], gaps[1], gaps[2]


def _wide_enough(made: TeePlan) -> bool:
    """Whether the longest word of LAST and a usual setting fit at this height without getting too thin."""
    if made.tall == 1:
        return True
    setting = large.width("2", made.tall) + 4 + large.width("60", made.tall)
    return large.width("FAR RIGHT", made.tall - 1) <= made.last_columns and setting <= made.next_columns
