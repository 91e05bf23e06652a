"""A calculator on the screen: its numbers one below the other, the answer beneath, both renewed at every key."""

from collections.abc import Mapping

from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from rangelog.core.errors import OffScale
from rangelog.core.words import Hand
from rangelog.logbook.calculators import CALCULATORS, OVERRULED, Calculator
from rangelog.logbook.showing import Showing
from rangelog.tui import calculating
from rangelog.tui.draw import pieces, wrapping
from rangelog.tui.draw.pieces import Piece
from rangelog.tui.keymap import KeyMap
from rangelog.tui.looks import Look
from rangelog.tui.screens.keyed import LEAVING, missed

NAMES = tuple(CALCULATORS)
LABEL = 25
TYPED = 14
LONGEST = 24


def table_lines(table: tuple[tuple[str, ...], ...], columns: int) -> list[list[Piece]]:
    """A table in even columns; where it is too wide, every other column is left out, from the second on."""
    lines: list[list[Piece]] = []
    if not table:
        return lines
    widest = max(len(cell) for row in table for cell in row[1:])
    first = max(len(row[0]) for row in table)
    kept = list(range(1, len(table[0])))
    while first + len(kept) * (widest + 1) > columns and len(kept) > 2:
        kept = kept[::2]
    for at, row in enumerate(table):
        cells = "".join(f"{row[column]:>{widest + 1}}" for column in kept)
        lines.append([(f"{row[0]:>{first}}", "ink bold"), (cells, "ink bold" if at == 0 else "ink")])
    return lines


class CalculatorScreen(ModalScreen[None]):
    """Takes numbers, answers at once; nothing is stored.

    Args:
        name: of the calculator to open on.
        keys, look: as everywhere.
        showing: units and decimal sign.
        hand: of the player, None where there is none yet.
        known: words that stand in for the defaults, such as the loft of the club in hand, by name of the ask.
    """

    def __init__(
        self, name: str, keys: KeyMap, look: Look, showing: Showing, hand: Hand | None = None, known: Mapping[str, str] | None = None
    ) -> None:
        super().__init__()
        self.at = NAMES.index(name)
        self.row = 0
        self.error = ""
        self._keys = keys
        self._look = look
        self._showing = showing
        self._hand = hand
        self._known = dict(known or {})
        self.typed: dict[str, dict[str, str]] = {each: {} for each in NAMES}

    @property
    def calculator(self) -> Calculator:
        """The one that is open."""
        return CALCULATORS[NAMES[self.at]]

    def compose(self) -> ComposeResult:
        with Vertical(id="page"):
            yield Static(id="title")
            yield Static(id="asks")
            with VerticalScroll(id="lines", can_focus=False):
                yield Static(id="answer")
            yield Static(id="how")

    def on_mount(self) -> None:
        self._paint()

    def on_resize(self) -> None:
        self._paint()

    def given(self) -> dict[str, str]:
        """What stands for each number: typed, else known from the tee."""
        return {ask.name: self.typed[self.calculator.name].get(ask.name) or self._known.get(ask.name, "") for ask in self.calculator.asks}

    def _paint(self) -> None:
        look, columns = self._look, max(self.app.size.width - 4, 20)
        self.query_one("#title", Static).update(
            pieces.line(look, [(self.calculator.title.upper(), "act bold"), (f"   {self.at + 1} of {len(NAMES)} calculators", "quiet")])
        )
        answer, wrong = self._answer(columns)
        self.query_one("#asks", Static).update(pieces.page(look, self._asks(columns, wrong)))
        self.query_one("#answer", Static).update(pieces.page(look, answer))
        keys = wrapping.items(("type a number", "↑ ↓ next", "← → calculator", "Esc closes", "PgDn more"), columns, "   ")
        self.query_one("#how", Static).update(pieces.line(look, [(keys, "quiet")]))

    def _asks(self, columns: int, wrong: str) -> list[list[Piece]]:
        lines: list[list[Piece]] = []
        mine = self.typed[self.calculator.name]
        for at, ask in enumerate(self.calculator.asks):
            here = at == self.row
            typed = mine.get(ask.name, "")
            standing = self._known.get(ask.name, "") or ask.shown(self._showing) or "-"
            value = f"{typed}▏" if here and typed else typed or standing
            unit = ask.measure.unit(self._showing) if typed and typed[-1:].isdecimal() else ""
            role = "badge" if here else "ink bold" if typed else "ink"
            shown = f" {value}{' ' + unit if unit else ''} "
            said, said_role = (self.error, "alert bold") if ask.name == wrong else (ask.help if here else "", "quiet")
            room = columns - LABEL - 2 - max(len(shown), TYPED)
            aside = said if len(said) <= room else ""
            lines.append(
                [
                    ("▸ " if here else "  ", "act bold"),
                    (f"{ask.label:<{LABEL}}", "ink bold" if here else "ink"),
                    (shown, role),
                    (" " * max(TYPED - len(shown), 1), "ink"),
                    (aside, said_role),
                ]
            )
        return [*lines, []]

    def _answer(self, columns: int) -> tuple[list[list[Piece]], str]:
        """The lines of the answer, and the name of the number that is wrong, empty where none is."""
        self.error, lines = "", []
        try:
            worked = self.calculator.answer(self.given(), self._showing, self._hand)
        except OffScale as problem:
            self.error = problem.title
            waits = problem.field not in {*self.typed[self.calculator.name], *self._known}
            role = "ink" if waits else "alert bold"
            return [[(line, role)] for line in wrapping.wrap(str(problem), columns, 3)], "" if waits else problem.field
        for line in worked.lines:
            role = "ink" if line == OVERRULED else "ink bold"
            lines += [[(part, role)] for part in wrapping.wrap(line, columns, 4)]
        table = table_lines(calculating.table(worked, self._showing), columns)
        if table:
            lines += [[], [("bow / sideways in degrees without any set, by grip", "quiet")], *table]
        lines.append([])
        for line in self.calculator.assumes:
            lines += [[(part, "quiet")] for part in wrapping.wrap(line, columns, 4)]
        return lines, ""

    def on_key(self, event: events.Key) -> None:
        """Arrows choose, letters and digits are typed, escape closes."""
        if missed(self, event) or event.key in LEAVING:
            return
        event.stop()
        event.prevent_default()
        lines = self.query_one("#lines", VerticalScroll)
        asks, key = self.calculator.asks, event.key
        if key == "escape":
            self.dismiss(None)
        elif key in ("pageup", "pagedown"):
            (lines.scroll_page_up if key == "pageup" else lines.scroll_page_down)(animate=False)
        elif key in ("left", "right"):
            self.at, self.row = (self.at + (1 if key == "right" else -1)) % len(NAMES), 0
            lines.scroll_home(animate=False)
            self._paint()
        elif key in ("up", "down", "tab", "shift+tab", "enter"):
            self.row = (self.row + (-1 if key in ("up", "shift+tab") else 1)) % len(asks)
            self._paint()
        elif key == "backspace" or (event.character and event.is_printable):
            self._type(asks[self.row].name, "" if key == "backspace" else event.character or "")

    def _type(self, name: str, character: str) -> None:
        mine = self.typed[self.calculator.name]
        before = mine.get(name, "")
        mine[name] = (before + self._keys.digit(character, before))[:LONGEST] if character else before[:-1]
        if not mine[name]:
            del mine[name]
        self._paint()

    def on_click(self, event: events.Click) -> None:
        """A click on a number chooses it."""
        if event.widget is not None and event.widget.id == "asks" and event.y < len(self.calculator.asks):
            self.row = event.y
            self._paint()
