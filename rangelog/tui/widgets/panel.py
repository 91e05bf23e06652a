"""What every part of the tee is: a widget that repaints from one view, one plan and one look, and knows nothing else."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from rich.segment import Segment
from textual.geometry import Region
from textual.reactive import reactive
from textual.strip import Strip
from textual.widget import Widget

from rangelog.logbook.view import TeeView
from rangelog.tui import looks
from rangelog.tui.draw import pieces
from rangelog.tui.draw.pieces import Piece
from rangelog.tui.looks import Look
from rangelog.tui.plan import TeePlan

if TYPE_CHECKING:
    from rangelog.logbook.showing import Showing

Lines = Sequence[Sequence[Piece]]


class Panel(Widget, can_focus=False):
    """Base of the parts. The screen hands on the facts; a part says its lines, and is drawn line by line.

    Attributes:
        view, plan, look: the state, the sizes and the colours.
        showing: the player's units and decimal sign; None for those of the file.
    """

    DEFAULT_CLASSES = "part"
    ALLOW_SELECT = False

    view: reactive[TeeView] = reactive(TeeView(), always_update=True, repaint=False)
    plan: reactive[TeePlan] = reactive(TeePlan())
    look: reactive[Look] = reactive(looks.look(looks.DEFAULT))

    showing: "reactive[Showing | None]" = reactive(None)

    _said: Lines | None = None
    _strips: list[Strip | None] | None = None
    _strips_width = 0

    def lines(self) -> Lines:
        """What is shown, line by line; what is longer than the part is wide is cut."""
        raise NotImplementedError

    def shown(self, text: str) -> str:
        """A text of the log in the player's units and with the player's decimal sign."""
        return text if self.showing is None else self.showing.said(text)

    def text(self) -> str:
        """What is shown, as plain text."""
        return "\n".join("".join(said for said, _ in line) for line in self.lines())

    def watch_view(self) -> None:
        """Paint again only the lines that say something else than before: most of a key changes little."""
        before, width = self._said, self.content_size.width
        if before is None or self._strips is None or self._strips_width != width or not self.display:
            self.refresh()
            return
        now = self.lines()
        if len(now) != len(before):
            self.refresh()
            return
        changed = [at for at, (old, new) in enumerate(zip(before, now, strict=True)) if old != new]
        self._said = now
        for at in changed:
            self._strips[at] = None
        if changed:
            super().refresh(*(Region(0, at, width, 1) for at in changed))

    def refresh(self, *regions: Region, **how: Any) -> "Panel":
        self._said = self._strips = None
        super().refresh(*regions, **how)
        return self

    def render_line(self, y: int) -> Strip:
        width = self.content_size.width
        base = self.rich_style
        if self._said is None or self._strips is None or self._strips_width != width:
            self._said = self.lines()
            self._strips = [None] * len(self._said)
            self._strips_width = width
        if y >= len(self._said):
            return Strip.blank(width, base)
        strip = self._strips[y]
        if strip is None:
            segments = [Segment(said, base + pieces.style(self.look, role)) for said, role in self._said[y]]
            strip = self._strips[y] = Strip(segments).adjust_cell_length(width, base)
        return strip
