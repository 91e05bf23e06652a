"""A page to read: why, help, cautions, the words, today's plan. Arrows scroll, any other key closes it."""

from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from rangelog.tui.draw import pieces
from rangelog.tui.draw.pieces import Piece
from rangelog.tui.looks import Look


class ReadingScreen(ModalScreen[None]):
    """Lines of pieces under a title."""

    def __init__(self, title: str, lines: list[list[Piece]], look: Look) -> None:
        super().__init__()
        self.heading = title
        self._lines = lines
        self._look = look

    def compose(self) -> ComposeResult:
        with Vertical(id="page"):
            yield Static(pieces.line(self._look, [(self.heading.upper(), "act bold")]), id="title")
            with VerticalScroll(id="lines", can_focus=False):
                yield Static(pieces.page(self._look, self._lines))
            yield Static(pieces.line(self._look, [("↑ ↓ scroll   any other key closes", "quiet")]), id="how")

    def on_key(self, event: events.Key) -> None:
        if event.key in ("ctrl+c", "ctrl+q"):
            return
        event.stop()
        event.prevent_default()
        lines = self.query_one("#lines", VerticalScroll)
        scrolls = {
            "up": lines.scroll_up, "down": lines.scroll_down, "pageup": lines.scroll_page_up, "pagedown": lines.scroll_page_down,
            "home": lines.scroll_home, "end": lines.scroll_end,
        }  # fmt: skip
        if event.key in scrolls:
            scrolls[event.key](animate=False)
        else:
            self.dismiss(None)

    def on_click(self) -> None:
        self.dismiss(None)
