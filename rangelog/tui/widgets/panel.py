"""What every part of the tee is: a widget that repaints from one view, one plan and one look, and knows nothing else."""

from collections.abc import Sequence

from rich.text import Text
from textual.reactive import reactive
from textual.widget import Widget

from rangelog.logbook.view import TeeView
from rangelog.tui import looks
from rangelog.tui.draw import pieces
from rangelog.tui.draw.pieces import Piece
from rangelog.tui.looks import Look
from rangelog.tui.plan import TeePlan


class Panel(Widget, can_focus=False):
    """Base of the parts. The screen binds the three facts."""

    DEFAULT_CLASSES = "part"

    view: reactive[TeeView] = reactive(TeeView(), always_update=True)
    plan: reactive[TeePlan] = reactive(TeePlan())
    look: reactive[Look] = reactive(looks.look(looks.DEFAULT))

    def page(self, lines: Sequence[Sequence[Piece]]) -> Text:
        """Lines of pieces, none of them longer than the part is wide."""
        return pieces.page(self.look, lines, self.content_size.width)
