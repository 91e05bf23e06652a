"""The page of one ball."""

from textual import events

from rangelog.tui.draw.pieces import Piece
from rangelog.tui.looks import Look
from rangelog.tui.screens.keyed import missed
from rangelog.tui.screens.reading import ReadingScreen


class BallScreen(ReadingScreen):
    """The page of one ball; Enter asks to correct it, where it can be corrected."""

    def __init__(self, title: str, told: list[list[Piece]], look: Look, correctable: bool) -> None:
        super().__init__(title, told, look, "Enter corrects   any other key closes" if correctable else "any other key closes")
        self._correctable = correctable
        self.wanted = False

    def on_key(self, event: events.Key) -> None:
        if event.key == "enter" and self._correctable and not missed(self, event):
            self.wanted = True
        super().on_key(event)
