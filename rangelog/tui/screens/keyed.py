"""The base of every screen with keys of its own: one key, one act."""

from typing import TYPE_CHECKING, cast

from textual import events
from textual.screen import Screen

from rangelog.tui.actions import EVERYWHERE

if TYPE_CHECKING:
    from rangelog.tui.app import RangelogApp


class KeyedScreen(Screen[None]):
    """A screen whose keys go through the one keymap. Case is folded there, once."""

    SCOPE = EVERYWHERE

    @property
    def log_app(self) -> "RangelogApp":
        return cast("RangelogApp", self.app)

    def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        if not self.own_key(event):
            self.log_app.press(event.key, self.SCOPE)

    def own_key(self, event: events.Key) -> bool:
        """A key that this screen uses itself, such as scrolling; True where it was used."""
        return False
