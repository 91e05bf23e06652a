"""The balls of this session, newest first. Only what is on the screen is drawn, so a hundred thousand balls open at once."""

from collections.abc import Sequence

from rich.segment import Segment
from textual import events
from textual.app import ComposeResult
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.widgets import Static

from rangelog.core.ball import Ball
from rangelog.logbook.view import TeeView
from rangelog.tui import questions, words
from rangelog.tui.draw import pieces
from rangelog.tui.draw.bracket import ROLES
from rangelog.tui.draw.pieces import Piece
from rangelog.tui.looks import Look
from rangelog.tui.screens.keyed import KeyedScreen


def row(ball: Ball, view: TeeView) -> list[Piece]:
    """One ball as one line."""
    side = words.side_of(ball, view)
    role = ROLES[side] if side else "quiet"
    sign = words.SIGNS[side] if side else "?"
    tail = "; ".join(word for word in (words.not_counted(ball), words.clean(ball.note, 120)) if word)
    return [
        (f"{ball.seq:>5}  ", "quiet"),
        (f"{words.setting(ball.setup):<18}", "ink"),
        (f"{sign:^4}", f"{role} bold"),
        (f"{words.flight(ball, view):<34}", "ink" if ball.counted else "quiet"),
        (f" {tail}", "quiet"),
    ]


class BallLines(ScrollView, can_focus=False):
    """The list itself."""

    def __init__(self) -> None:
        super().__init__()
        self.balls: Sequence[Ball] = ()
        self.view = TeeView()
        self.at = 0
        self.colours: Look | None = None

    def show(self, balls: Sequence[Ball], view: TeeView, look: Look) -> None:
        self.balls, self.view, self.colours = balls, view, look
        self.at = min(self.at, max(len(balls) - 1, 0))
        self.virtual_size = Size(self.size.width, len(balls))
        self.refresh()

    def move(self, by: int) -> None:
        """Move the cursor and keep it on the screen."""
        if not self.balls:
            return
        self.at = min(max(self.at + by, 0), len(self.balls) - 1)
        top, rows = self.scroll_offset.y, max(self.size.height, 1)
        if self.at < top:
            self.scroll_to(y=self.at, animate=False)
        elif self.at >= top + rows:
            self.scroll_to(y=self.at - rows + 1, animate=False)
        self.refresh()

    @property
    def chosen(self) -> Ball | None:
        return self.balls[len(self.balls) - 1 - self.at] if self.balls else None

    def render_line(self, y: int) -> Strip:
        at = y + self.scroll_offset.y
        if self.colours is None or at >= len(self.balls):
            return Strip.blank(self.size.width, self.rich_style)
        line = pieces.line(
            self.colours, [("▸ " if at == self.at else "  ", "act bold"), *row(self.balls[len(self.balls) - 1 - at], self.view)]
        )
        segments: list[Segment] = list(line.render(self.app.console))
        base = self.rich_style
        return Strip(segments).adjust_cell_length(self.size.width).apply_style(base)

    def on_click(self, event: events.Click) -> None:
        self.move(int(event.y) + self.scroll_offset.y - self.at)


class BallsScreen(KeyedScreen):
    """List with a cursor; Enter corrects the ball under it."""

    def compose(self) -> ComposeResult:
        yield Static(id="title")
        yield BallLines()
        yield Static(id="foot")

    def on_screen_resume(self) -> None:
        self.reload()

    def reload(self) -> None:
        """Read the session again and show it."""
        app = self.log_app
        view = app.book.view()
        balls = [ball for ball in app.book.balls() if not ball.voided]
        counted = sum(ball.counted for ball in balls)
        title = f"BALLS OF THIS SESSION   n {len(balls)}, counted {counted}, all clubs"
        self.query_one("#title", Static).update(pieces.line(app.palette, [(title, "act bold")]))
        how = f"↑ ↓ PgUp PgDn   Enter corrects   {app.keys.shown('log.next_screen')} tee"
        if not balls:
            how = f"No ball yet.   {app.keys.shown('log.next_screen')} tee"
        self.query_one("#foot", Static).update(pieces.line(app.palette, [(how, "quiet")]))
        self.query_one(BallLines).show(balls, view, app.palette)

    def own_key(self, event: events.Key) -> bool:
        lines = self.query_one(BallLines)
        page = max(lines.size.height - 1, 1)
        moves = {"up": -1, "down": 1, "pageup": -page, "pagedown": page, "home": -len(lines.balls), "end": len(lines.balls)}
        if event.key in moves:
            lines.move(moves[event.key])
            return True
        ball = lines.chosen
        if event.key == "enter" and ball is not None and not lines.view.read_only:
            self.log_app.edit(ball, questions.ball_edit())
            return True
        return False
