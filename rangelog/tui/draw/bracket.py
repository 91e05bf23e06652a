"""The bracket drawn: one column a half notch of bow, one row a start side, and the two sides closing in beneath.

Pure: a picture and a size in, lines of (text, role) pieces out. A role names a colour of the look and nothing else, so that
the drawing reads the same without any.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from rangelog.core import scales
from rangelog.core.words import Side
from rangelog.logbook.view import Mark, Picture

if TYPE_CHECKING:
    from rangelog.core.results import Crossing

Piece = tuple[str, str]
Line = list[Piece]

BALL, NOT_COUNTED, LATEST, LATEST_NOT_COUNTED = "●", "×", "◆", "✕"
LARGE = {
    BALL: ("▟█▙", "▜█▛"),
    LATEST: ("▗█▖", "▝█▘"),
    NOT_COUNTED: ("▚ ▞", "▞ ▚"),
    LATEST_NOT_COUNTED: ("▚▄▞", "▞▀▚"),
}
"""The same marks in block characters, three columns by two rows, for a picture that is read from afar."""
LABEL = 10
STEPS = int((scales.BOW_RANGE[1] - scales.BOW_RANGE[0]) * 2) + 1
ROLES = {Side.FAR_LEFT: "left", Side.LEFT: "left", Side.ON_LINE: "line", Side.RIGHT: "right", Side.FAR_RIGHT: "right"}


@dataclass(frozen=True, slots=True)
class Ends:
    """Two tried bows on opposite sides of the line, the closest such pair.

    Attributes:
        low, high: the bows, low < high.
        low_side, high_side: "left" or "right", the side most balls started on there.
    """

    low: float
    high: float
    low_side: str
    high_side: str


def ends(marks: tuple[Mark, ...]) -> Ends | None:
    """The closest two bows whose counted balls lean to opposite sides, None while there are none."""
    leaning: dict[float, int] = defaultdict(int)
    for mark in marks:
        if mark.counted and mark.side is not Side.ON_LINE:
            leaning[mark.bow] += 1 if ROLES[mark.side] == "right" else -1
    sided = [(bow, lean) for bow, lean in sorted(leaning.items()) if lean]
    pairs = [(low, high) for low, high in pairwise(sided) if (low[1] > 0) != (high[1] > 0)]
    if not pairs:
        return None
    low, high = min(pairs, key=lambda pair: pair[1][0] - pair[0][0])
    word = {True: "right", False: "left"}
    return Ends(low[0], high[0], word[low[1] > 0], word[high[1] > 0])


def step(columns: int) -> int:
    """Columns that one half notch takes, 0 where there is no room for the picture."""
    return min(max((columns - LABEL) // STEPS, 0), 12)


def _column(bow: float, wide: int) -> int:
    """Centre column of a bow, counted from the end of the labels."""
    return round((bow - scales.BOW_RANGE[0]) * 2 * wide) + wide // 2


def _shape(mark: Mark) -> str:
    if mark.counted:
        return LATEST if mark.last else BALL
    return LATEST_NOT_COUNTED if mark.last else NOT_COUNTED


def _cell(marks: list[Mark], wide: int, deep: int) -> list[str]:
    """The marks of one column and side as `deep` texts, the newest last; a crowd is counted."""
    room = max(wide - 1, 1)
    shapes = [_shape(mark) for mark in marks]
    if len(shapes) > room * deep:
        lead = shapes[-1]
        said = f"{lead}{len(shapes)}"
        shapes = [said if len(said) <= wide else lead]
    filled = [""] * deep
    for order, row in enumerate(sorted(range(deep), key=lambda row: abs(row - _middle(deep)))):
        filled[row] = "".join(shapes[order * room : (order + 1) * room])
    return filled


def _middle(deep: int) -> int:
    """The row of a side that its label and the line stand in."""
    return (deep - 1) // 2


def _across(wide: int) -> int:
    """Large marks that stand beside one another in one column."""
    return (wide + 1) // 4


def _fit_large(picture: Picture, wide: int, deep: int) -> bool:
    """Whether every ball can be drawn as a large mark."""
    crowds = Counter((mark.bow, mark.side) for mark in picture.marks)
    return deep >= 4 and all(number <= _across(wide) * (deep // 2) for number in crowds.values())


def _large_cell(marks: list[Mark], wide: int, deep: int) -> list[str]:
    """The marks of one column and side as `deep` texts of large marks, two rows each."""
    room = _across(wide)
    banks = [marks[at : at + room] for at in range(0, len(marks), room)]
    filled = [""] * deep
    top = _middle(deep) - len(banks) + 1 if deep % 2 == 0 or len(banks) > 1 else _middle(deep)
    for order, bank in enumerate(banks):
        for half in (0, 1):
            row = min(max(top, 0) + 2 * order + half, deep - 1)
            filled[row] = " ".join(LARGE[_shape(mark)][half] for mark in bank)
    return filled


def _row(side: Side, picture: Picture, wide: int, deep: int, large: bool) -> list[Line]:
    """The lines of one side."""
    role = ROLES[side]
    on_line = side is Side.ON_LINE
    by_bow: dict[float, list[Mark]] = defaultdict(list)
    for mark in picture.marks:
        if mark.side is side:
            by_bow[mark.bow].append(mark)
    cells = {bow: (_large_cell if large else _cell)(marks, wide, deep) for bow, marks in by_bow.items()}
    middle = _middle(deep)
    lines: list[Line] = []
    for row in range(deep):
        total = STEPS * wide
        ground = [("─", "line")] * total if on_line and row == middle else [(" ", "rule")] * total
        if not on_line:
            for half in range(0, STEPS, 2):
                ground[half * wide + wide // 2] = ("·" if row == middle else " ", "rule")
        crossing = picture.crossing
        if crossing is not None and crossing.known:
            at = min(_column(crossing.bow, wide), total - 1)
            ground[at] = ("┼" if ground[at][0] == "─" else "│", "act")
        for bow, shapes in cells.items():
            mine = shapes[row]
            start = min(max(_column(bow, wide) - (len(mine) - 1) // 2, 0), total - len(mine))
            for offset, shape in enumerate(mine):
                if shape != " ":
                    ground[start + offset] = (shape, f"{role} bold")
        label = f"{side.value:>{LABEL - 1}} " if row == middle else " " * LABEL
        lines.append([(label, role if picture.marks else "quiet"), *_joined(ground)])
    return lines


def _joined(cells: list[Piece]) -> Line:
    """Neighbouring characters of one role as one piece."""
    joined: Line = []
    for text, role in cells:
        if joined and joined[-1][1] == role:
            joined[-1] = (joined[-1][0] + text, role)
        else:
            joined.append((text, role))
    return joined


def _axis(picture: Picture, wide: int) -> Line:
    """The bows beneath their columns; what the prescription keeps out of hints is bracketed away as dots."""
    cells: list[Piece] = [(" ", "quiet")] * (STEPS * wide + 2)
    crossing = picture.crossing
    for half in range(STEPS):
        bow = scales.BOW_RANGE[0] + half / 2
        whole = bow == int(bow)
        if not whole:
            continue
        text = f"{bow:g}" if picture.bow_range[0] <= bow <= picture.bow_range[1] else "–"
        at = _column(bow, wide) - len(text) + 1
        near = crossing is not None and crossing.known and abs(crossing.bow - bow) < 0.25
        for offset, character in enumerate(text):
            cells[max(at + offset, 0)] = (character, "act bold" if near else "ink")
    return [(f"{'bow':>{LABEL - 1}} ", "quiet"), *_joined(cells)]


def _closing(picture: Picture, wide: int) -> Line:
    """The two sides closing in like curtains, and the crossing with its band in the gap between them."""
    total = STEPS * wide
    cells: list[Piece] = [(" ", "quiet")] * total
    found = ends(picture.marks)
    if found is not None:
        low, high = _column(found.low, wide), min(_column(found.high, wide), total - 1)
        _curtain(cells, 0, low, found.low_side, "▶")
        _curtain(cells, high, total - 1, found.high_side, "◀")
    crossing = picture.crossing
    known = crossing is not None and crossing.known
    if crossing is not None and known:
        low, high = (min(max(_column(end, wide), 0), total - 1) for end in _on_scale(crossing))
        for place in range(low, high + 1):
            cells[place] = ("═", "act bold")
        cells[low], cells[high] = ("[", "act bold"), ("]", "act bold")
        cells[min(_column(crossing.bow, wide), total - 1)] = ("┃", "act bold")
    return [(f"{'crosses' if known else '':>{LABEL - 1}} ", "quiet"), *_joined(cells)]


def _on_scale(crossing: Crossing) -> tuple[float, float]:
    """The band brought onto the scale; one that lies beyond an end stands at that end."""
    least, most = scales.BOW_RANGE
    return min(max(crossing.low, least), most), min(max(crossing.high, least), most)


def _curtain(cells: list[Piece], low: int, high: int, side: str, head: str) -> None:
    """One side, from the end of the scale to the nearest bow that starts there, with its word."""
    for at in range(low, high + 1):
        cells[at] = ("━", side)
    cells[high if head == "▶" else low] = (head, f"{side} bold")
    word = f" {side} "
    if high - low > len(word) + 2:
        start = low + 2 if head == "▶" else high - len(word) - 1
        cells[start : start + len(word)] = [(character, f"{side} bold") for character in word]


def draw(picture: Picture, columns: int, deep: int = 1) -> list[Line]:
    """The whole picture: five sides of `deep` lines, the bows, the two sides closing in. Empty where it does not fit."""
    wide = step(columns)
    if wide < 2:
        return []
    large = _fit_large(picture, wide, deep)
    lines = [line for side in Side for line in _row(side, picture, wide, deep, large)]
    return [*lines, _axis(picture, wide), _closing(picture, wide)]


def said(picture: Picture) -> str:
    """The picture in one sentence, for those who hear it."""
    found = ends(picture.marks)
    parts = []
    if found is not None:
        parts.append(f"Bow {found.low:g} starts {found.low_side}, bow {found.high:g} starts {found.high_side}.")
    crossing = picture.crossing
    if crossing is not None and crossing.known and math.isfinite(crossing.half_width):
        parts.append(f"Crosses the line near bow {crossing.bow:.1f}, plus or minus {crossing.half_width:.1f}.")
    return " ".join(parts)
