"""The balls of the book, newest first. Only what is on the screen is read and drawn, so a hundred thousand balls open at once."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Protocol

from rich.segment import Segment
from textual import events
from textual.app import ComposeResult
from textual.geometry import Size
from textual.scroll_view import ScrollView
from textual.strip import Strip
from textual.widgets import Static

from rangelog.core.ball import Ball
from rangelog.core.errors import RangelogError
from rangelog.logbook.view import TeeView
from rangelog.tui import questions, words
from rangelog.tui.draw import pieces, wrapping
from rangelog.tui.draw.bracket import ROLES
from rangelog.tui.draw.pieces import Piece
from rangelog.tui.forms import Answers, Form
from rangelog.tui.keymap import fold
from rangelog.tui.looks import Look
from rangelog.tui.screens.keyed import KeyedScreen

if TYPE_CHECKING:
    from rangelog.logbook.ball_list import BallList, Heading
    from rangelog.logbook.showing import Showing

BEFORE_FLIGHT = 30
"""Columns of a line before what the ball did: cursor, number, setting, sign."""

COUNTED: tuple[tuple[bool | None, str], ...] = ((None, "counted or not"), (True, "counted only"), (False, "not counted only"))


class Shelf(Protocol):
    """What a list shows: lines by their place, read when they are looked at."""

    def __len__(self) -> int: ...
    def line(self, at: int) -> "Ball | Heading | None": ...


class SessionShelf:
    """The balls of the running session from memory, newest first."""

    def __init__(self, balls: Sequence[Ball]) -> None:
        self._balls = balls

    def __len__(self) -> int:
        return len(self._balls)

    def line(self, at: int) -> Ball | None:
        return self._balls[-1 - at] if 0 <= at < len(self._balls) else None


def row(ball: Ball, view: TeeView, showing: "Showing | None" = None, columns: int = 120, here: bool = False) -> list[Piece]:
    """One ball as one line of whole words; `here` where the cursor stands."""
    side = words.side_of(ball, view)
    role = ROLES[side] if side else "quiet"
    sign = words.SIGNS[side] if side else "?"
    said = wrapping.items(words.flight(ball, view, showing).split(", "), columns - BEFORE_FLIGHT, ", ")
    room = columns - BEFORE_FLIGHT - max(len(said), 34) - 2
    tail = "; ".join(word for word in (words.not_counted(ball), words.clean(ball.note, 120)) if word)
    return [
        (f"{ball.seq:>5}  ", "quiet"),
        (f"{words.setting(ball.setup, showing):<17}", "ink bold" if here else "ink"),
        (f"{sign:^4}", f"{role} bold"),
        (f"{said:<34}", ("ink" if ball.counted else "quiet") + (" bold" if here else "")),
        (f"  {''.join(wrapping.wrap(tail, room, 1))}" if room >= 8 else "", "quiet"),
    ]


def heading(head: "Heading") -> list[Piece]:
    """The line above a session."""
    balls = "1 ball" if head.balls == 1 else f"{head.balls} balls"
    return [(f"{head.started_at[:10]}  {head.started_at[11:16]}", "act bold"), (f"   {balls}", "quiet")]


class BallLines(ScrollView, can_focus=False):
    """The list itself."""

    def __init__(self) -> None:
        super().__init__()
        self.shelf: Shelf = SessionShelf(())
        self.view = TeeView()
        self.at = 0
        self.colours: Look | None = None
        self.showing: Showing | None = None

    def show(self, shelf: Shelf, view: TeeView, look: Look) -> None:
        self.shelf, self.view, self.colours = shelf, view, look
        self.virtual_size = Size(self.size.width, len(shelf))
        self.go(self.at)

    def move(self, by: int) -> None:
        """Move the cursor and keep it on the screen; headings are stepped over."""
        self.go(self.at + by, 1 if by > 0 else -1)

    def go(self, to: int, step: int = 1) -> None:
        """Put the cursor on a line, or on the next ball from there."""
        last = len(self.shelf) - 1
        at = min(max(to, 0), max(last, 0))
        if last >= 0 and not isinstance(self.shelf.line(at), Ball):
            at += step if 0 <= at + step <= last else -step
        self.at = at
        top, rows = self.scroll_offset.y, max(self.size.height, 1)
        if at < top or (at == 1 and top == 1):
            self.scroll_to(y=at - 1 if at else 0, animate=False)
        elif at >= top + rows:
            self.scroll_to(y=at - rows + 1, animate=False)
        self.refresh()

    @property
    def chosen(self) -> Ball | None:
        line = self.shelf.line(self.at)
        return line if isinstance(line, Ball) else None

    def render_line(self, y: int) -> Strip:
        at = y + self.scroll_offset.y
        line = self.shelf.line(at)
        if self.colours is None or line is None:
            return Strip.blank(self.size.width, self.rich_style)
        here = at == self.at
        told = row(line, self.view, self.showing, self.size.width - 2, here) if isinstance(line, Ball) else heading(line)
        drawn = pieces.line(self.colours, [("▸ " if here else "  ", "act bold"), *told])
        segments: list[Segment] = list(drawn.render(self.app.console))
        return Strip(segments).adjust_cell_length(self.size.width).apply_style(self.rich_style)

    def on_click(self, event: events.Click) -> None:
        self.go(int(event.y) + self.scroll_offset.y)


class BallsScreen(KeyedScreen):
    """The list with a cursor; Enter opens the ball under it."""

    def __init__(self) -> None:
        super().__init__()
        self._list: BallList | None = None
        self._said = ""

    def compose(self) -> ComposeResult:
        yield Static(id="title")
        yield BallLines()
        yield Static(id="foot")

    def on_screen_resume(self) -> None:
        self.reload()

    def on_unmount(self) -> None:
        if self._list is not None:
            self._list.close()

    @property
    def lines(self) -> BallLines:
        return self.query_one(BallLines)

    def _opened(self) -> "BallList | None":
        """The whole book as a list; None where it has no file yet, or holds less than memory does."""
        from rangelog.logbook.ball_list import BallList

        path = getattr(self.log_app.book, "path", None)
        if path is None or self.log_app.book.view().unsaved:
            return None
        if self._list is None or self._list.path != path:
            if self._list is not None:
                self._list.close()
            self._list = BallList(path)
        else:
            self._list.refresh()
        return self._list

    def reload(self) -> None:
        """Read the book again and show it."""
        app = self.log_app
        view = app.book.view()
        try:
            listed = self._opened()
        except RangelogError as problem:
            listed, self._said = None, str(problem)
        self.lines.showing = app.showing
        if listed is not None:
            self.lines.show(listed, view, app.palette)
            wanted = f'   note holds "{words.clean(listed.words, 30)}"' if listed.words else ""
            more = " (the newest)" if listed.cut else ""
            title = f"BALLS   {listed.balls}{more}, {dict(COUNTED)[listed.counted]}{wanted}"
        else:
            balls = [ball for ball in app.book.balls() if not ball.voided]
            self.lines.show(SessionShelf(balls), view, app.palette)
            title = f"BALLS OF THIS SESSION   {len(balls)}, {sum(ball.counted for ball in balls)} counted, all clubs"
        self.query_one("#title", Static).update(pieces.line(app.palette, [(title, "act bold")]))
        self._foot(listed is not None)

    def _foot(self, whole: bool) -> None:
        app = self.log_app
        tee = f"{app.keys.shown('log.next_screen')} next"
        if self._said:
            told: Piece = (self._said, "alert bold")
        elif not len(self.lines.shelf) and not self._filtered:
            told = (f"No ball yet.   {tee}", "quiet")
        else:
            finders = ("f notes", "d date", "n counted", "x clears") if whole else ()
            told = (wrapping.items(("Enter opens", tee, *finders), max(app.size.width - 4, 20), "   "), "quiet")
        self.query_one("#foot", Static).update(pieces.line(app.palette, [told]))

    @property
    def _filtered(self) -> bool:
        return self._list is not None and (bool(self._list.words) or self._list.counted is not None)

    def own_key(self, event: events.Key) -> bool:
        lines, key = self.lines, fold(event.key)
        self._said = ""
        page = max(lines.size.height - 1, 1)
        moves = {"up": -1, "down": 1, "pageup": -page, "pagedown": page, "home": -len(lines.shelf), "end": len(lines.shelf)}
        if key in moves:
            lines.move(moves[key])
        elif key == "enter":
            self._open_ball()
        elif self.log_app.keys.action(key, "tee") == "ball.undo":
            self.log_app.press(event.key, "tee")
        elif self._list is not None and lines.shelf is self._list and key in ("f", "d", "n", "x"):
            {"f": self._ask_words, "d": self._ask_date, "n": self._step_counted, "x": self._clear}[key]()
        else:
            return False
        return True

    # finding

    def _ask(self, form: Form, take: "str") -> None:
        from rangelog.tui.screens.form import FormScreen

        app = self.log_app

        def answered(answers: Answers | None) -> None:
            if answers is not None:
                getattr(self, take)(str(answers["text"]))

        app.push_screen(FormScreen(form, app.keys, app.palette, app.showing), answered)

    def _ask_words(self) -> None:
        self._ask(questions.find_notes(), "_find")

    def _ask_date(self) -> None:
        self._ask(questions.jump_to_date(), "_jump")

    def _find(self, text: str) -> None:
        assert self._list is not None
        self._list.words = text
        self._top()

    def _jump(self, text: str) -> None:
        assert self._list is not None
        try:
            place = self._list.place_of(text)
        except RangelogError as problem:
            self._said = str(problem)
            self._foot(True)
            return
        self.lines.scroll_to(y=place, animate=False)
        self.lines.go(place)

    def _step_counted(self) -> None:
        assert self._list is not None
        values = [value for value, _ in COUNTED]
        self._list.counted = values[(values.index(self._list.counted) + 1) % len(values)]
        self._top()

    def _clear(self) -> None:
        assert self._list is not None
        self._list.words, self._list.counted = "", None
        self._top()

    def _top(self) -> None:
        self.lines.at = 0
        self.lines.scroll_to(y=0, animate=False)
        self.reload()

    # one ball

    def _open_ball(self) -> None:
        from rangelog.tui.screens import ball as page
        from rangelog.tui.screens import ball_lines

        ball, app, listed = self.lines.chosen, self.log_app, self._list
        if ball is None:
            return
        view = app.book.view()
        own = view.session is not None and ball.session_id == view.session.id
        why_not = ""
        if view.read_only:
            why_not = "Read-only: this book cannot be changed here."
        elif not own:
            why_not = "Read-only: only balls of the running session are corrected."
        history = listed.history(ball.id) if listed is not None else []
        clubs = listed.club_names() if listed is not None else {club.id: club.label for club in app.book.clubs()}
        columns = max(app.size.width - 6, 20)
        told = ball_lines.lines(ball, view, history, clubs, columns, app.showing)
        if why_not:
            told = [*([(part, "ink bold")] for part in wrapping.wrap(why_not, columns, 3)), [], *told]
        screen = page.BallScreen(f"Ball {ball.seq}   {ball.at[:10]} {ball.at[11:16]}", told, app.palette, not why_not)

        def closed(_: None) -> None:
            if screen.wanted:
                app.edit(ball, questions.ball_edit())

        app.push_screen(screen, closed)
