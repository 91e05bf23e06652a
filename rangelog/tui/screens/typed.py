"""The line that forms and menu are typed on."""

from collections.abc import Callable

from textual import events
from textual.widgets import Input

from rangelog.tui.keymap import KeyMap
from rangelog.tui.screens.keyed import missed, resend


class TypedLine(Input):
    """A line to type on. In a number field the number row counts as digits on every keyboard.

    Enter is told by a call and not by a message, so that the next key of a burst already finds the next question.
    """

    def __init__(self, keys: KeyMap, entered: Callable[[str], None]) -> None:
        super().__init__(id="typed", compact=True, select_on_focus=False)
        self._keys = keys
        self._entered = entered
        self.numeric = False

    async def _on_key(self, event: events.Key) -> None:
        if missed(self, event):
            return
        if not self.display:
            event.stop()
            event.prevent_default()
            resend(self, event)
        elif event.key == "enter":
            event.stop()
            event.prevent_default()
            self._entered(self.value)
        elif (
            self.numeric
            and event.character
            and (folded := self._keys.digit(event.character, self.value[: self.cursor_position])) != event.character
        ):
            event.stop()
            event.prevent_default()
            self.insert_text_at_cursor(folded)
        else:
            await super()._on_key(event)
