"""A page to read: why, help, cautions, the words, today's plan. Arrows scroll, any other key closes it."""

from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from rangelog.tui.draw import pieces
from rangelog.tui.draw.pieces import Piece
from rangelog.tui.looks import Look
from rangelog.tui.screens.keyed import LEAVING, missed


class ReadingScreen(ModalScreen[None]):
    """Lines of pieces under a title."""

    def __init__(self, title: str, lines: list[list[Piece]], look: Look, how: str = "any other key closes") -> None:
        super().__init__()
        self.heading = title
        self._lines = lines
        self._look = look
        self._how = how

    def compose(self) -> ComposeResult:
        with Vertical(id="page"):
            yield Static(pieces.line(self._look, [(self.heading.upper(), "act bold")]), id="title")
            with VerticalScroll(id="lines", can_focus=False):
                yield Static(pieces.page(self._look, self._lines))
            scrolls = "↑ ↓ scroll   " if len(self._lines) > self.app.size.height - 3 else ""
            yield Static(pieces.line(self._look, [(f"{scrolls}{self._how}", "quiet")]), id="how")

    def on_key(self, event: events.Key) -> None:
        if missed(self, event) or event.key in LEAVING:
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
        elif self.closes(event.key):
            self.dismiss(None)

    def closes(self, key: str) -> bool:
        """Whether a key that does not scroll closes the page."""
        return True

    def on_click(self) -> None:
        if self.is_current:
            self.dismiss(None)


class PauseScreen(ReadingScreen):
    """The pause: a bag that leans on the keys hits no ball."""

    def closes(self, key: str) -> bool:
        return key == "enter"
