"""The base of every screen with keys of its own: one key, one act."""

from typing import TYPE_CHECKING, cast

from textual import events
from textual.screen import Screen
from textual.widget import Widget

from rangelog.tui.actions import EVERYWHERE

if TYPE_CHECKING:
    from rangelog.tui.log_app import LogApp


SUSPEND = "ctrl+z"
LEAVING = ("ctrl+c", "ctrl+q")
"""Keys that no question keeps to itself: they end the log from anywhere."""


def missed(widget: Widget, event: events.Key) -> bool:
    """Send a key on where it reached a screen that is no longer the one in front, so that no key of a burst is lost."""
    if widget.app.screen is widget.screen:
        return False
    event.stop()
    event.prevent_default()
    resend(widget, event)
    return True


def resend(widget: Widget, event: events.Key) -> None:
    """Give a key back to the app, which hands it to whatever is in front now."""
    widget.app.post_message(events.Key(event.key, event.character))


class KeyedScreen(Screen[None]):
    """A screen whose keys go through the one keymap. Case is folded there, once."""

    SCOPE = EVERYWHERE

    @property
    def log_app(self) -> "LogApp":
        return cast("LogApp", self.app)

    def on_key(self, event: events.Key) -> None:
        if missed(self, event) or event.key == SUSPEND:
            return
        event.stop()
        event.prevent_default()
        if not self.own_key(event):
            self.log_app.press(event.key, self.SCOPE)

    def reload(self) -> None:
        """The book has changed: show it again."""

    def own_key(self, event: events.Key) -> bool:
        """A key that this screen uses itself, such as scrolling; True where it was used."""
        return False
