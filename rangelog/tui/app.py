"""The terminal app. It only wires: keys to the desk, answers to the screens, the model to a thread."""

from __future__ import annotations

import asyncio
import signal
import sys
import time
import traceback
from collections.abc import Callable
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import RenderableType
from rich.text import Text
from textual import events, work
from textual.app import App
from textual.message import Message
from textual.screen import Screen
from textual.theme import Theme
from textual.worker import Worker, WorkerState

from rangelog.core.errors import RangelogError
from rangelog.logbook.view import Echo
from rangelog.settings import Settings, other_units
from rangelog.tui import keymap, looks
from rangelog.tui.actions import EVERYWHERE
from rangelog.tui.desk import Desk, Reply
from rangelog.tui.keymap import KeyMap
from rangelog.tui.leaving import HUNG_UP, LOOK_EVERY_S, end_within, gone
from rangelog.tui.listening import patient
from rangelog.tui.looks import Look
from rangelog.tui.screens.keyed import LEAVING, SUSPEND, KeyedScreen
from rangelog.tui.screens.tee import TeeScreen

if TYPE_CHECKING:
    from textual.driver import Driver

    from rangelog.core.ball import Ball
    from rangelog.logbook.showing import Showing
    from rangelog.tui.door import Book
    from rangelog.tui.forms import Answers, Form

LOADS = 3
"""How often the model is tried: another program may hold the book for a while."""

LOAD_AGAIN_S = 5.0


def theme(look: Look) -> Theme:
    """The terminal theme of a look."""
    return Theme(
        f"rangelog-{look.name}", primary=look.act, secondary=look.quiet, warning=look.alert, error=look.alert, success=look.line,
        accent=look.act, foreground=look.ink, background=look.ground, surface=look.raised, panel=look.raised, dark=look.dark,
        variables={
            "input-cursor-background": look.ink, "input-cursor-foreground": look.ground, "scrollbar": look.quiet,
            "scrollbar-background": look.raised, "scrollbar-hover": look.ink, "scrollbar-active": look.ink,
            "scrollbar-background-hover": look.raised, "scrollbar-background-active": look.raised, "text-disabled": look.quiet,
        },
    )  # fmt: skip


def own_theme() -> Theme:
    """The theme of the terminal's own colours: letters and ground as they are, bars and cursor turned over."""
    plain = "ansi_default"
    return Theme(
        "rangelog-terminal", primary=plain, secondary=plain, warning=plain, error=plain, success=plain, accent=plain, foreground=plain,
        background=plain, surface=plain, panel=plain, boost=plain, dark=True, ansi=True,
        variables={
            "ansi-background": plain, "ansi-foreground": plain, "block-cursor-foreground": plain, "block-cursor-background": plain,
            "input-cursor-background": plain, "input-cursor-foreground": plain, "input-cursor-text-style": "reverse",
            "input-selection-background": plain, "input-selection-foreground": plain,
            "scrollbar": plain, "scrollbar-background": plain, "scrollbar-hover": plain, "scrollbar-active": plain,
            "scrollbar-background-hover": plain, "scrollbar-background-active": plain, "scrollbar-corner-color": plain,
        },
    )  # fmt: skip


class RangelogApp(App[int], inherit_bindings=False):
    """The log on a screen."""

    CSS_PATH = Path(__file__).with_name("rangelog.tcss")
    ENABLE_COMMAND_PALETTE = False
    TITLE = "Rangelog"

    class ModelLoaded(Message):
        """The model has replayed the session; `problem` says why not, where it could not."""

        def __init__(self, problem: str = "") -> None:
            super().__init__()
            self.problem = problem

    def __init__(
        self,
        book: Book,
        *,
        settings: Settings | None = None,
        keys: KeyMap | None = None,
        colourless: bool = False,
        clock: Callable[[], float] = time.monotonic,
        now: Callable[[], datetime] = datetime.now,
        notices: tuple[str, ...] = (),
        book_path: Path | None = None,
    ) -> None:
        self.settings = settings or Settings()
        self.palette = looks.TERMINAL if colourless else looks.look(self.settings.look)
        super().__init__(ansi_color=True if self.palette is looks.TERMINAL else None)
        for look in looks.LOOKS.values():
            self.register_theme(theme(look))
        self.register_theme(own_theme())
        self._wear(self.palette)
        self.book: Book = book
        self.keys = keys or keymap.ready(self.settings.keyboard, self.settings.swapped)
        self.now = now
        self.desk = Desk(book, clock)
        self.tee = TeeScreen()
        self.model_loaded = asyncio.Event()
        self.book_path: Path | None = book_path
        self._peer = "tee"
        self._notices = notices
        self._colourless = colourless
        self._loads_left = LOADS
        self.broken = False

    @property
    def showing(self) -> Showing | None:
        """The player's units and decimal sign; None for those of the file, which need nothing loaded."""
        if self.settings.units == "metric" and self.settings.decimal == "point":
            return None
        from rangelog.tui.units import showing

        return showing(self.settings)

    @property
    def rows_kept(self) -> int:
        """Rows that stay in sight above the menu."""
        return self.tee.plan.rows_before_hint if self.screen is self.tee else 1

    def get_default_screen(self) -> Screen[None]:
        return self.tee

    def on_mount(self) -> None:
        self.tee.key_hints = self.settings.key_hints
        self.tee.large = self.settings.large
        self.show()
        self._leave_on_signals()
        if not self.is_headless:
            self.set_interval(LOOK_EVERY_S, self._look_after_terminal)
        form = self.desk.opening()
        if form is not None:
            self.ask(form)
        self.call_after_refresh(self._opened)

    def _opened(self) -> None:
        """After the first paint: what must be said, then the model."""
        said = "  ".join(filter(None, (*self._notices, self.book.resume_text)))
        if said:
            self.tee.say(Echo(said, "changed", doubtful=bool(self._notices)))
        self.load_model()

    def _leave_on_signals(self) -> None:
        loop = asyncio.get_running_loop()
        for name in ("SIGTERM", "SIGHUP", "SIGQUIT"):
            number = getattr(signal, name, None)
            if number is not None:
                try:
                    loop.add_signal_handler(number, partial(self._told_to_end, 128 + number))
                except (NotImplementedError, RuntimeError, ValueError):
                    return

    def _look_after_terminal(self) -> None:
        if gone(0):
            self._told_to_end(HUNG_UP)

    def _told_to_end(self, exit_code: int) -> None:
        """Leave in order, and in any case: a closed window must not leave a program behind that holds the book."""
        self._end_in_time(exit_code)
        self.exit(return_code=exit_code)

    def _end_in_time(self, exit_code: int) -> None:
        """Only a real terminal can hold up the end; without one the process may well have other things to do."""
        if not self.is_headless:
            end_within(exit_code)

    @work(thread=True, exclusive=True, group="model", exit_on_error=False)
    def load_model(self) -> None:
        problem = ""
        try:
            self.book.load_model()
        except RangelogError as error:
            problem = str(error)
        self.post_message(self.ModelLoaded(problem))

    def on_rangelog_app_model_loaded(self, message: ModelLoaded) -> None:
        if not self.is_running:
            return
        self.model_loaded.set()
        self.show()
        if message.problem:
            self.tee.say(Echo(message.problem, "refused"))
            self._loads_left -= 1
            if self._loads_left > 0:
                self.set_timer(LOAD_AGAIN_S, self.load_model)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """A model that cannot be loaded is said so; balls are stored all the same."""
        if event.worker.group == "model" and event.state is WorkerState.ERROR:
            self.post_message(
                self.ModelLoaded(f"The model did not load ({type(event.worker.error).__name__}). Balls are stored all the same.")
            )

    def show(self) -> None:
        """Repaint from the book."""
        self.tee.look = self.palette
        self.tee.view = self.book.view()

    def on_key(self, event: events.Key) -> None:
        """What no screen has taken: leaving and suspending work from anywhere."""
        if event.key == SUSPEND:
            self.action_suspend_process()
        elif event.key in LEAVING:
            self.press(event.key, EVERYWHERE)

    def press(self, key: str, scope: str) -> None:
        """A key on a screen."""
        action_id = self.keys.action(key, scope)
        if action_id == "log.back" and self._peer != "tee":
            self._turn("back")
            return
        self.take(self.desk.press(action_id, keymap.fold(key)))

    def choose(self, action_id: str) -> None:
        """An act by name: from the menu, or clicked."""
        self.take(self.desk.do(action_id))

    def take(self, reply: Reply) -> None:
        """Act on what the desk answers: the book has changed already, the screen follows."""
        self.tee.expect(self.desk.question)
        if reply.echo is not None:
            self.tee.say(reply.echo)
            self.show()
            if reply.echo.kind == "asked" and self.settings.bell:
                self.bell()
            if isinstance(self.screen, KeyedScreen):
                self.screen.reload()
        if reply.form is not None:
            self.ask(reply.form)
        elif reply.open:
            self.open(reply.open)

    def ask(self, form: Form) -> None:
        """Ask a form, what is to be read on a page before it; dropping the first one of a new book leaves."""
        from rangelog.tui import opening

        def answered(answers: Answers | None) -> None:
            if answers is not None:
                self.take(self.desk.answer(form, answers))
            elif form.own:
                self.exit(0)

        def put(_: None = None) -> None:
            self.push_screen(opening.form(self, form), answered)

        if form.intro:
            self.push_screen(opening.intro(self, form), put)
        else:
            put()

    def edit(self, ball: Ball, form: Form) -> None:
        """Ask for a correction of one ball of the list."""
        from rangelog.tui import opening

        def answered(answers: Answers | None) -> None:
            if answers is not None:
                self.take(self.desk.edit(ball, answers))

        self.push_screen(opening.form(self, form), answered)

    def open(self, name: str) -> None:
        """Open a screen by the name the desk gives it."""
        from rangelog.tui import opening

        if name == "quit":
            self.exit(0)
        elif name == "menu":
            self.push_screen(opening.menu(self), lambda chosen: self.choose(chosen) if chosen else None)
        elif name == "look":
            self._next_look()
        elif name == "units":
            self._other_units()
        elif name == "large letters":
            self.tee.large = not self.tee.large
        elif name == "key hints":
            self.tee.key_hints = not self.tee.key_hints
        elif name in ("next", "back", *opening.PEERS):
            self._turn(name)
        elif name.startswith(opening.CALCULATOR):
            self.push_screen(opening.calculator(self, name.removeprefix(opening.CALCULATOR)))
        else:
            self.push_screen(opening.page(self, name))

    def _turn(self, name: str) -> None:
        """Go to another of the peers; the tee lies beneath them all."""
        from rangelog.tui import opening

        names = ["tee", *opening.PEERS]
        target = {"next": names[(names.index(self._peer) + 1) % len(names)], "back": "tee"}.get(name, name)
        if target == self._peer:
            return
        if self._peer != "tee":
            self.pop_screen()
        if target != "tee":
            self.push_screen(opening.PEERS[target](self))
        self._peer = target
        self.show()

    def _other_units(self) -> None:
        self.settings, said = other_units(self.settings)
        self.tee.take_showing(self.showing)
        self.tee.say(Echo(said))

    def _next_look(self) -> None:
        if self.palette is looks.TERMINAL:
            self.tee.say(Echo("The look is the terminal's own. Choose another with --look.", "refused"))
            return
        names = list(looks.LOOKS)
        self.palette = looks.LOOKS[names[(names.index(self.palette.name) + 1) % len(names)]]
        self._wear(self.palette)
        self.tee.say(Echo(f"Look: {self.palette.name}."))
        self.show()

    def _wear(self, look: Look) -> None:
        self.theme = f"rangelog-{look.name}"

    def get_driver_class(self) -> type[Driver]:
        return patient(super().get_driver_class())

    def panic(self, *renderables: RenderableType) -> None:
        """Stop on an error. What the terminal library would print of it, the part that reads keys above all, is kept to one line."""
        self._end_in_time(1)
        self.broken = True
        super().panic(*(shown if isinstance(shown, Text) else crash_line(sys.exc_info()[1]) for shown in renderables))

    def _fatal_error(self) -> None:
        """End with one line and no local variables: they hold the player's own words."""
        self.panic(crash_line(sys.exc_info()[1]))


def crash_line(error: BaseException | None) -> Text:
    """What is said when the log stops on an error of its own: where, and that the balls are safe."""
    place = ""
    if error is not None and error.__traceback__ is not None:
        frame = traceback.extract_tb(error.__traceback__)[-1]
        place = f" ({type(error).__name__} in {Path(frame.filename).name}, line {frame.lineno})"
    return Text(f"Rangelog stopped on an error of its own{place}. Every ball that was echoed is in the book; open it again.")
