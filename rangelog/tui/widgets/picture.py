"""The bracket picture, and the two key blocks that may stand in its place."""

from textual.reactive import reactive

from rangelog.tui import keymap
from rangelog.tui.draw import bracket, keyboard
from rangelog.tui.keymap import KeyMap
from rangelog.tui.widgets.panel import Lines, Panel


class BracketPanel(Panel):
    """Every ball of this grip at its bow and side, the crossing with its band, the two sides closing in."""

    def lines(self) -> Lines:
        return bracket.draw(self.view.picture, self.plan.body, max(self.plan.deep, 1))


class KeyBlocks(Panel):
    """Which key is which, for as long as the player wants it."""

    keys: reactive[KeyMap] = reactive(keymap.ready())

    def lines(self) -> Lines:
        return keyboard.blocks(self.keys, self.plan.body)
