"""Reviews: one question at a time, n and filter first, the picture, the sentence that answers, the numbers one key away."""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rich.text import Text
from textual import events, work
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.message import Message
from textual.widgets import Static
from textual.worker import Worker, WorkerState

from rangelog.core.errors import RangelogError
from rangelog.tui import words
from rangelog.tui.draw import pieces, wrapping
from rangelog.tui.draw.pieces import Piece
from rangelog.tui.screens.keyed import KeyedScreen

if TYPE_CHECKING:
    from textual_plotext import PlotextPlot

    from rangelog.logbook.review_answer import Answer
    from rangelog.logbook.review_filter import Filter
    from rangelog.logbook.review_room import ReviewRoom

PARTS = {"d": "date", "c": "club", "s": "surface", "t": "stick", "w": "swing", "b": "block", "n": "counted"}
"""Key to the part of the filter that it steps on."""

MARGIN = 2
"""Columns left free at either side."""


@dataclass(slots=True)
class Choice:
    """Which view is shown, through which filter.

    Attributes:
        view: place of the view among all; counted past both ends until the balls are read.
        steps: place of each part of the filter among its choices.
        numbers: the table is shown in place of the picture.
    """

    view: int = 0
    steps: dict[str, int] = field(default_factory=dict)
    numbers: bool = False

    def stepped(self, part: str, of: int) -> None:
        """The next choice of one part, the first again after the last."""
        self.steps[part] = (self.steps.get(part, 0) + 1) % of

    def filter(self, choices: "dict[str, tuple[tuple[str, Filter], ...]]") -> "Filter":
        """All parts as one filter."""
        from dataclasses import replace

        chosen, *parts = (each[self.steps.get(part, 0) % len(each)][1] for part, each in choices.items())
        for part in parts:
            chosen = replace(chosen, **_set(part))
        return chosen


def _set(part: "Filter") -> dict[str, Any]:
    """What a filter of one part says, its defaults left out."""
    from dataclasses import fields

    return {each.name: getattr(part, each.name) for each in fields(part) if getattr(part, each.name) != each.default}


class ReviewScreen(KeyedScreen):
    """The reviews of one book.

    Args:
        path: the book's file, that of the open book where None; it is read apart from the tee's own hold on it.
    """

    class Ready(Message):
        """The balls are read; `thought` when the model has answered too."""

        def __init__(self, room: "ReviewRoom", thought: bool) -> None:
            super().__init__()
            self.room = room
            self.thought = thought

    class Failed(Message):
        """The book could not be read, and why."""

        def __init__(self, why: str) -> None:
            super().__init__()
            self.why = why

    def __init__(self, path: Path | None = None) -> None:
        super().__init__()
        self._path = path
        self._room: ReviewRoom | None = None
        self._plot: PlotextPlot | None = None
        self.choice = Choice()
        self.answer: Answer | None = None

    def compose(self) -> ComposeResult:
        yield Static(id="title")
        yield Static(id="first")
        with Vertical(id="picture"):
            yield Static("Reading the balls ...", id="waiting")
        with VerticalScroll(id="numbers", can_focus=False):
            yield Static(id="table")
        yield Static(id="sentence")
        yield Static(id="foot")

    def on_mount(self) -> None:
        self.styles.padding = (0, MARGIN)
        for name, rows in (("title", 1), ("first", 1), ("foot", 2)):
            self.query_one(f"#{name}").styles.height = rows
        self.query_one("#sentence").styles.height = "auto"
        self.query_one("#sentence").styles.max_height = 4
        self.query_one("#picture").styles.height = "1fr"
        self.query_one("#numbers").styles.height = "1fr"
        self.query_one("#table").styles.height = "auto"
        self.query_one("#numbers").display = False
        self._frame()
        self.read()

    @work(thread=True, exclusive=True, group="review", exit_on_error=False)
    def read(self) -> None:
        """Read the book, then ask the model; both outside the screen's own thread."""
        from rangelog.logbook.review_room import ReviewRoom

        path = self._path or getattr(self.log_app.book, "path", None)
        if path is None:
            self.post_message(self.Failed("The book has no file to read yet."))
            return
        try:
            room = ReviewRoom.open(path)
            self.post_message(self.Ready(room, thought=False))
            room.read_all()
            room.think()
        except RangelogError as error:
            self.post_message(self.Failed(str(error)))
            return
        self.post_message(self.Ready(room, thought=True))

    def on_review_screen_ready(self, message: Ready) -> None:
        self._room = message.room
        if message.thought and self._view != "map":
            return
        self.show()

    def on_review_screen_failed(self, message: Failed) -> None:
        self._say(message.why)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        if event.state is WorkerState.ERROR:
            event.stop()
            self._say(f"The balls could not be read ({type(event.worker.error).__name__}).")

    def reload(self) -> None:
        """The book has changed: read it again."""
        self.read()

    @property
    def _view(self) -> str:
        from rangelog.logbook.review_room import VIEWS

        return VIEWS[self.choice.view % len(VIEWS)]

    def _say(self, text: str) -> None:
        self.query_one("#waiting", Static).update(pieces.line(self.log_app.palette, [(text, "alert")]))

    def own_key(self, event: events.Key) -> bool:
        moves: dict[str, Callable[[], None]] = {
            "left": lambda: self._turn(-1),
            "right": lambda: self._turn(1),
            "enter": self._flip,
            "space": self._flip,
            "x": self._clear,
            "up": lambda: self._scroll(-1),
            "down": lambda: self._scroll(1),
            "pageup": lambda: self._scroll(-10),
            "pagedown": lambda: self._scroll(10),
        }
        key = event.key.lower()
        if key in moves:
            moves[key]()
            return True
        if key in PARTS and self._room is not None:
            from rangelog.logbook.review_room import steps

            self.choice.stepped(PARTS[key], len(steps(self._room)[PARTS[key]]))
            self.show()
            return True
        return False

    def _turn(self, by: int) -> None:
        """Another question. While the balls are still being read nothing is imported here: it would hold up the screen."""
        self.choice.view += by
        self.show()

    def _flip(self) -> None:
        self.choice.numbers = not self.choice.numbers
        self.show()

    def _clear(self) -> None:
        self.choice.steps.clear()
        self.show()

    def _scroll(self, rows: int) -> None:
        self.query_one("#numbers", VerticalScroll).scroll_relative(y=rows, animate=False)

    def show(self) -> None:
        """Answer the present question and draw it."""
        room = self._room
        if room is None:
            return
        from rangelog.charts.fill import FittingPlot
        from rangelog.logbook.review_room import VIEWS, steps
        from rangelog.logbook.showing import AS_KEPT
        from rangelog.tui.screens.review_drawn import drawn

        self.choice.view %= len(VIEWS)
        try:
            self.answer = answer = room.shown(self._view, self.choice.filter(steps(room)), self.log_app.showing or AS_KEPT)
        except RangelogError as error:
            self._say(str(error))
            return
        look = self.log_app.palette
        picture = drawn(answer)
        shows_table = self.choice.numbers or picture is None
        self.query_one("#picture").display = not shows_table
        self.query_one("#numbers").display = shows_table
        self.query_one("#table", Static).update(pieces.page(look, table(answer)))
        self.query_one("#first", Static).update(pieces.line(look, [(words.clean(answer.first_line, 300), "ink bold")]))
        self.query_one("#sentence", Static).update(Text(words.clean(answer.sentence, 600), pieces.style(look, "ink bold")))
        if picture is not None and not shows_table:
            plot = self._canvas()
            canvas: Any = plot.plt
            picture(FittingPlot(canvas, self.log_app.size.width - 2 * MARGIN), room.edges[0])
            plot.refresh()
        self._frame()

    def on_resize(self) -> None:
        """Labels that fitted may meet now."""
        self.show()

    def _canvas(self) -> "PlotextPlot":
        """The plot, made when it is first needed."""
        if self._plot is None:
            from textual_plotext import PlotextPlot

            self._plot = PlotextPlot()
            self._plot.theme = "clear"
            self.query_one("#waiting").display = False
            self.query_one("#picture").mount(self._plot)
        return self._plot

    def _frame(self) -> None:
        """Title and keys."""
        look, app = self.log_app.palette, self.log_app
        question = self.answer.question if self.answer is not None else "Reviews"
        self.query_one("#title", Static).update(pieces.line(look, [("REVIEW   ", "act bold"), (question, "act bold")]))
        view = "numbers" if not self.choice.numbers else "picture"
        room = max(self.app.size.width - 4, 20)
        does = wrapping.items(("← → question", f"Enter {view}", f"{app.keys.shown('log.next_screen')} next", "x clears"), room, "   ")
        parts = [f"{key} {part}" for key, part in PARTS.items()]
        narrow = len("  ".join(("filter:", *parts))) > room
        filters = ["  ".join(("filter:", *parts[:4])), "  ".join(parts[4:])] if narrow else ["  ".join(("filter:", *parts))]
        keys: list[list[Piece]] = [[(line, "quiet")] for line in (does, *filters)]
        self.query_one("#foot").styles.height = len(keys)
        self.query_one("#foot", Static).update(pieces.page(look, keys))


def table(answer: "Answer") -> list[list[Piece]]:
    """The numbers of an answer as lines of even columns, its notes below."""
    rows = [answer.columns, *answer.rows]
    widths = [max(len(row[at]) for row in rows) for at in range(len(answer.columns))]
    lines: list[list[Piece]] = []
    for place, row in enumerate(rows):
        cells = "   ".join(words.clean(cell, 60).ljust(width) for cell, width in zip(row, widths, strict=True))
        lines.append([(cells.rstrip(), "ink bold" if place == 0 else "ink")])
    for note in answer.notes:
        lines += [[("", "ink")], [(words.clean(note, 300), "quiet")]]
    return lines
