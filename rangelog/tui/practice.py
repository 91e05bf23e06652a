"""Practice: the real tee on a temporary book, where Enter hits a simulated ball and says which keys would have logged it."""

import os
import sys
import tempfile
import time
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from rangelog.core.errors import RangelogError
from rangelog.core.flight import Flight
from rangelog.core.words import Strike
from rangelog.logbook.practice import PracticeBook
from rangelog.logbook.view import Echo
from rangelog.tui import keyboard, keymap, settled
from rangelog.tui.actions import FLIGHTS, STRIKES
from rangelog.tui.desk import Reply
from rangelog.tui.keymap import KeyMap
from rangelog.tui.plain import PlainLog

if TYPE_CHECKING:
    from rangelog.settings import Settings
    from rangelog.tui.app import RangelogApp

FIRST = "Enter hits a ball, space takes the hint, Esc leaves."


def keys_for(keys: KeyMap, flight: Flight, strike: Strike) -> tuple[str, str]:
    """The two keys that log such a ball."""
    flight_id = next(action_id for action_id, each in FLIGHTS.items() if each == flight)
    strike_id = next(action_id for action_id, each in STRIKES.items() if each is strike)
    return keys.shown(flight_id), keys.shown(strike_id)


def swing(book: PracticeBook, keys: KeyMap) -> Reply:
    """A simulated ball, with every refusal turned into one line."""
    try:
        flight, strike = book.swing()
    except RangelogError as problem:
        return Reply(Echo(str(problem), "refused"))
    first, second = keys_for(keys, flight, strike)
    return Reply(Echo(f"Simulated: {flight.side}, {flight.height}, {strike}. Your own ball: {first} then {second}.", "saved"))


class PracticePlain(PlainLog):
    """Practice in plain lines: an empty line hits."""

    def start(self) -> list[str]:
        """What is said before the first line."""
        return ["Practice: an invented golfer, simulated balls, nothing is kept. An empty line hits a ball.", *super().start()]

    def _act(self, typed: str) -> None:
        if typed.strip() or self.desk.question:
            super()._act(typed)
            return
        assert isinstance(self.book, PracticeBook)
        self._take(swing(self.book, self.keys))


def made_app(book: PracticeBook, settings: "Settings", keys: KeyMap, colourless: bool, notices: tuple[str, ...] = ()) -> "RangelogApp":
    """The tee with Enter as the swing. Enter's own act lives in the menu meanwhile."""
    from rangelog.tui.actions import TEE
    from rangelog.tui.app import RangelogApp

    class PracticeApp(RangelogApp):
        """The tee where Enter hits."""

        CSS_PATH = RangelogApp.CSS_PATH

        def press(self, key: str, scope: str) -> None:
            if key != "enter" or scope != TEE or self.desk.question:
                super().press(key, scope)
            elif self.desk.guard.fresh("enter", self.desk.clock()):
                self.take(swing(book, self.keys))

    book.resume_text = FIRST
    free = {"ball.number": tuple(key for key in keys.keys["ball.number"] if key != "enter")}
    return PracticeApp(book, settings=settings, keys=keymap.own(keys, free)[0], colourless=colourless, notices=notices, book_path=book.path)


def run(*, look: str | None = None, mouse: bool | None = None, keymap_set: str | None = None, plain: bool = False) -> int:
    """Practise until the player leaves; the temporary book is deleted. Returns the exit code."""
    from rangelog.tui import fits_a_screen

    chosen, said = settled(None, look, mouse, keymap_set)
    keys, more = keyboard(chosen)
    with tempfile.TemporaryDirectory(prefix="rangelog-practice-") as folder, closing(PracticeBook.begin(Path(folder))) as book:
        if plain or not fits_a_screen():
            return PracticePlain(book, keys, clock=time.monotonic, notices=(*said, *more), settings=chosen).run(sys.stdin, sys.stdout)
        app = made_app(book, chosen, keys, bool(os.environ.get("NO_COLOR")), (*said, *more))
        result = app.run(mouse=chosen.mouse)
        return app.return_code or result or 0
