"""The one-line parts: header, standing notice, echo, and the plain line of a very small terminal."""

from collections.abc import Callable
from datetime import datetime

from textual.reactive import reactive

from rangelog.logbook.view import Echo
from rangelog.tui import words
from rangelog.tui.draw import pieces, wrapping
from rangelog.tui.plan import MARGIN
from rangelog.tui.widgets.panel import Lines, Panel


class HeaderLine(Panel):
    """What is held, the count of balls, the time of day."""

    minute: reactive[str] = reactive("")

    def __init__(self, now: Callable[[], datetime]) -> None:
        super().__init__()
        self._now = now

    def on_mount(self) -> None:
        self.tell_time()
        self.set_interval(10, self.tell_time)

    def tell_time(self) -> None:
        self.minute = self._now().strftime("%H:%M")

    def lines(self) -> Lines:
        room = self.size.width - 2 * MARGIN
        right = f"{words.count(self.view)}   {self.minute}" if room > 70 else f"{words.count(self.view, short=True)}  {self.minute}"
        left = wrapping.items(self.shown(words.header(self.view)).split("  "), room - len(right) - 3)
        space = max(room - len(left) - len(right), 1)
        return [[(" " * MARGIN + left, "ink"), (" " * space, "ink"), (right, "ink bold")]]


class NoticeLine(Panel):
    """What must not be missed as long as it lasts: balls not saved, a book that is read-only."""

    retry: reactive[str] = reactive("")

    def lines(self) -> Lines:
        return [[(" " * MARGIN, "ink"), (f" {self.said()} ", "badge")]]

    def said(self) -> str:
        """The line itself, empty where all is well."""
        return words.standing(self.view.unsaved, words.clean(self.view.notice, 200), self.retry)


class EchoLine(Panel):
    """The answer to the last key."""

    echo: reactive[Echo | None] = reactive(None, always_update=True)
    menu: reactive[str] = reactive("")

    def lines(self) -> Lines:
        echo = self.echo
        if echo is None or not echo.text:
            return [[(" " * MARGIN, "ink"), *self._due(0)]]
        said = words.clean(self.shown(echo.text), 300)
        role = {"asked": "badge", "refused": "alert bold", "not saved": "badge"}.get(echo.kind, "alert" if echo.doubtful else "quiet")
        if echo.kind == "not saved" and "not saved" not in said.lower():
            said = f"NOT SAVED: {said}"
        said = " ".join(wrapping.wrap(said, self.size.width - 2 * MARGIN - 2, 1))
        if role == "badge":
            said = f" {said} "
        return [[(" " * MARGIN, "ink"), (said, role), *self._due(len(said))]]

    def _due(self, taken: int) -> list[pieces.Piece]:
        """The check that is due, at the right, where there is room for it."""
        if not self.view.due or not self.menu:
            return []
        due = f"{self.view.due} check is due: {self.menu} then Enter"
        space = self.size.width - 2 * MARGIN - taken - len(due)
        return [(" " * space, "ink"), (due, "ink")] if space >= 2 else []


class PlainLine(Panel):
    """The three things in words, where nothing else fits; a question or a refusal comes first."""

    echo: reactive[Echo | None] = reactive(None, always_update=True)

    def lines(self) -> Lines:
        echo = self.echo
        said = words.standing(self.view.unsaved, "", "") or self.shown(words.spoken(self.view))
        if echo is not None and (echo.doubtful or echo.kind in ("asked", "refused", "not saved")):
            said = f"{self.shown(echo.text)} {said}"
        return [[(line, "ink")] for line in wrapping.wrap(words.clean(said, 600), self.size.width, max(self.size.height, 1))]
