"""The menu: every act by name. A few letters find one, Enter does it."""

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from rangelog.logbook.view import TeeView
from rangelog.tui.actions import ACTIONS, GROUPS, Action, applies
from rangelog.tui.draw import pieces, wrapping
from rangelog.tui.draw.pieces import Piece
from rangelog.tui.keymap import KeyMap
from rangelog.tui.looks import Look
from rangelog.tui.screens.keyed import missed
from rangelog.tui.screens.typed import TypedLine


def offered(view: TeeView, typed: str) -> list[Action]:
    """Acts that apply and match, the most urgent first, then those without a key, in the order of the registry."""
    wanted = typed.casefold().split()
    matching = [
        action
        for action in ACTIONS
        if applies(action, view)
        and action.id not in ("log.menu", "log.back")
        and all(word in f"{action.label} {action.help} {GROUPS[action.group]}".casefold() for word in wanted)
    ]
    first = typed.casefold().strip()
    return sorted(
        matching,
        key=lambda action: (
            not action.id.startswith("log.save"),
            action.id != "range.due",
            not (first and action.label.casefold().startswith(first)),
            not action.rare,
            action.group in ("flight", "strike"),
        ),
    )


class MenuScreen(ModalScreen[str | None]):
    """Hands back the id of the chosen act, None where it was closed."""

    def __init__(self, view: TeeView, keys: KeyMap, look: Look, rows: int) -> None:
        super().__init__(classes="docked")
        self._view = view
        self._keys = keys
        self._look = look
        self._at = 0
        self._rows = max(rows - 4, 1)
        self.shown: list[Action] = []

    def compose(self) -> ComposeResult:
        with Vertical(id="card"):
            yield TypedLine(self._keys, self._do)
            yield Static(id="list")
            yield Static(id="foot")

    def on_mount(self) -> None:
        self.query_one("#list").styles.height = self._rows
        typed = self.query_one(TypedLine)
        typed.placeholder = "type to find an act"
        self.set_focus(typed)
        self._find("")

    def _find(self, typed: str, keep: bool = False) -> None:
        """Offer what matches; `keep` leaves the mark where it is as long as nothing changes."""
        found = offered(self._view, typed)
        if found != self.shown or not keep:
            self.shown, self._at = found, 0
        self._paint()

    @property
    def _first(self) -> int:
        """The first entry in sight."""
        return max(min(self._at - self._rows // 2, len(self.shown) - self._rows), 0)

    def _paint(self) -> None:
        room = max(self.app.size.width - 4, 20)
        lines: list[list[Piece]] = []
        for at, action in enumerate(self.shown[self._first : self._first + self._rows], start=self._first):
            key = self._keys.shown(action.id)
            beside = action.help if len(action.help) <= room - 35 else ""
            lines.append([(f" {action.label:<22} ", "badge" if at == self._at else "ink bold"), (f" {key:<9} ", "ink"), (beside, "quiet")])
        self.query_one("#list", Static).update(pieces.page(self._look, lines or [[("No act is called that.", "alert")]]))
        chosen = self.shown[self._at].help if self.shown else ""
        foot: list[list[Piece]] = [
            [((wrapping.wrap(chosen, room, 1) or [""])[0], "ink")],
            [("↑ ↓ choose   Enter does it   Esc closes", "quiet")],
        ]
        self.query_one("#foot", Static).update(pieces.page(self._look, foot))

    @on(Input.Changed)
    def changed(self, event: Input.Changed) -> None:
        self._find(event.value, keep=True)

    def _do(self, typed: str) -> None:
        self._find(typed, keep=True)
        self.dismiss(self.shown[self._at].id if self.shown else None)

    def on_key(self, event: events.Key) -> None:
        if missed(self, event):
            return
        if event.key == "escape":
            event.stop()
            self.dismiss(None)
        elif event.key in ("up", "down", "tab", "shift+tab") and self.shown:
            event.stop()
            event.prevent_default()
            self._at = (self._at + (1 if event.key in ("down", "tab") else -1)) % len(self.shown)
            self._paint()

    def on_click(self, event: events.Click) -> None:
        if event.widget is not None and event.widget.id == "list":
            at = self._first + event.y
            if at < len(self.shown):
                self.dismiss(self.shown[at].id)
