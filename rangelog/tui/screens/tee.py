"""The tee: NEXT, LAST and HINT large, the bracket beneath. It shows a view and sends keys on; it decides nothing."""

from typing import TYPE_CHECKING

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Container
from textual.reactive import reactive
from textual.widget import Widget

from rangelog.logbook.view import Echo, TeeView
from rangelog.tui import looks
from rangelog.tui.actions import TEE
from rangelog.tui.looks import Look
from rangelog.tui.plan import TeePlan, plan
from rangelog.tui.screens.keyed import KeyedScreen
from rangelog.tui.widgets.big import HintPanel, LastPanel, NextPanel
from rangelog.tui.widgets.footer import FooterLine
from rangelog.tui.widgets.lines import EchoLine, HeaderLine, NoticeLine, PlainLine
from rangelog.tui.widgets.panel import Panel
from rangelog.tui.widgets.picture import BracketPanel, KeyBlocks

if TYPE_CHECKING:
    from rangelog.logbook.showing import Showing


class TeeScreen(KeyedScreen):
    """The live screen."""

    SCOPE = TEE

    view: reactive[TeeView] = reactive(TeeView(), always_update=True)
    plan: reactive[TeePlan] = reactive(TeePlan(), init=False)
    look: reactive[Look] = reactive(looks.look(looks.DEFAULT))
    key_hints: reactive[bool] = reactive(False)
    large: reactive[bool] = reactive(False)

    _parts: list[Panel] | None = None
    _laid_out: tuple[TeePlan, bool, bool] | None = None

    def compose(self) -> ComposeResult:
        yield HeaderLine(self.log_app.now)
        yield NoticeLine()
        with Container(id="top"):
            yield NextPanel()
            yield LastPanel()
        yield HintPanel()
        yield BracketPanel()
        yield KeyBlocks()
        yield PlainLine()
        with Container(id="foot"):
            yield EchoLine()
            yield FooterLine()

    def on_mount(self) -> None:
        keys = self.log_app.keys
        self.query_one(LastPanel).keys = keys
        self.query_one(KeyBlocks).keys = keys
        self.query_one(FooterLine).keys = keys
        self.query_one(HintPanel).why = keys.shown("log.why")
        self._hand_on("showing", self.log_app.showing)
        self.query_one(EchoLine).menu = keys.shown("log.menu")
        self.query_one(NoticeLine).retry = keys.shown("log.menu")
        self._hand_on("view", self.view)
        self._hand_on("look", self.look)
        self.lay_out()

    def say(self, echo: Echo | None) -> None:
        """Show the answer to the last key; None clears it."""
        self.query_one(EchoLine).echo = self.query_one(PlainLine).echo = echo

    def take_showing(self, showing: "Showing | None") -> None:
        """Show lengths and decimals in other units."""
        self._hand_on("showing", showing)

    def expect(self, question: str) -> None:
        """Show what answers the open question, empty where none is; a question that was closed without a word is taken off."""
        footer, echo = self.query_one(FooterLine), self.query_one(EchoLine)
        if footer.question and not question and echo.echo is not None and echo.echo.kind == "asked":
            self.say(None)
        footer.question = question

    def on_resize(self, event: events.Resize) -> None:
        self.lay_out()

    def watch_view(self, view: TeeView) -> None:
        self._hand_on("view", view)
        notice = self.query_one(NoticeLine).said() if self.is_mounted else ""
        if self.is_mounted and bool(notice) != self.query_one(NoticeLine).display:
            self.lay_out()

    def watch_look(self, look: Look) -> None:
        self._hand_on("look", look)

    def watch_plan(self, made: TeePlan) -> None:
        self._hand_on("plan", made)

    def watch_key_hints(self) -> None:
        if self.is_mounted:
            self.lay_out()

    def watch_large(self) -> None:
        if self.is_mounted:
            self.lay_out()

    def _hand_on(self, name: str, value: object) -> None:
        self._parts = self._parts or list(self.query(Panel))
        for panel in self._parts:
            setattr(panel, name, value)

    def lay_out(self) -> None:
        """Give every part the rows that the plan has for it."""
        notice = bool(self.query_one(NoticeLine).said())
        made = plan(self.app.size.width, self.app.size.height, notice, self.large and not self.key_hints)
        if (made, notice, self.key_hints) == self._laid_out:
            return
        self._laid_out = (made, notice, self.key_hints)
        self.plan = made
        shown = not made.plain
        hints = self.key_hints and made.deep > 0
        self._row(PlainLine, made.lines if made.plain else 0)
        self._row(HeaderLine, shown and made.header)
        self._row(NoticeLine, shown and notice)
        self._row(HintPanel, shown and made.hint_rows, made.gaps[1])
        self._row(BracketPanel, shown and not hints and made.picture_rows, made.gaps[2])
        self._row(KeyBlocks, shown and hints and made.picture_rows, made.gaps[2])
        self._row(EchoLine, shown and made.echo)
        self._row(FooterLine, shown and made.footer)
        top = self.query_one("#top")
        top.display = shown
        top.styles.height = made.big_rows * (1 if made.beside else 2)
        top.styles.margin = (made.gaps[0], 0, 0, 0)
        top.styles.layout = "horizontal" if made.beside else "vertical"
        for panel, columns in ((NextPanel, made.next_columns), (LastPanel, made.last_columns)):
            widget = self.query_one(panel)
            widget.styles.width = columns
            widget.styles.height = made.big_rows

    def _row(self, kind: type[Widget], rows: int, gap: int = 0) -> None:
        widget = self.query_one(kind)
        widget.display = bool(rows)
        if rows:
            widget.styles.height = int(rows)
            widget.styles.margin = (gap, 0, 0, 0)

    @on(FooterLine.Chosen)
    def choose(self, message: FooterLine.Chosen) -> None:
        if message.pressed:
            self.log_app.press(message.pressed, TEE)
        else:
            self.log_app.choose(message.action_id)
