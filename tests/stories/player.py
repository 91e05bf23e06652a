"""A player at the tee: the real app on a real book, driven by keys of the default keymap; the screen read as text."""

import html
import itertools
import re
from collections.abc import AsyncIterator, Iterable
from contextlib import asynccontextmanager
from datetime import datetime
from pathlib import Path

from textual import events
from textual.pilot import Pilot

from rangelog.core.ball import Ball
from rangelog.core.results import Hint
from rangelog.logbook import Logbook
from rangelog.logbook.view import TeeView
from rangelog.settings import Settings
from rangelog.store import Book
from rangelog.tui import keymap
from rangelog.tui.app import RangelogApp
from rangelog.tui.screens.form import FormScreen
from rangelog.tui.screens.reading import ReadingScreen
from rangelog.tui.widgets.lines import EchoLine
from tests.conftest import Clock

SIDE_KEYS = {"far left": "1", "left": "2", "on line": "3", "right": "4", "far right": "5"}
STRIKE_KEYS = {"solid": "j", "thin": "u", "fat": "m", "top": "i", "heel": "h", "toe": "k", "shank": "l"}
_NAMES = {";": "semicolon", " ": "space", ".": "full_stop", "-": "minus", "+": "plus", ",": "comma"}
_CHARACTERS = {"space": " ", "enter": "\r", "backspace": "\x7f", "escape": "\x1b", "tab": "\t"}
CELL = 12.2
"""Width of a character in the picture of the screen."""

_TEXT = re.compile(r'<text class="[^"]*" x="([\d.]+)" y="([\d.]+)"[^>]*>(.*?)</text>')


class Player:
    """Presses keys and reads the screen. Every ball comes a good while after the one before."""

    def __init__(self, app: RangelogApp, pilot: Pilot[int], book: Logbook, clock: Clock) -> None:
        self.app, self.pilot, self.book, self.clock = app, pilot, book, clock

    async def press(self, *keys: str) -> None:
        """Keys one after the other, each of them done with before the next, as fast as the log follows."""
        for key in keys:
            self._send(key)
            await self.settle()

    async def type(self, text: str) -> None:
        """A line in one burst, and Enter."""
        for letter in text:
            self._send(letter)
        self._send("enter")
        await self.settle()

    def _send(self, key: str) -> None:
        name = key if len(key) > 1 or key.isalnum() else _NAMES[key]
        self.app.post_message(events.Key(name, key if len(key) == 1 else _CHARACTERS.get(key)))

    async def settle(self) -> None:
        """The model has answered and the screen has followed."""
        for _ in range(2):
            await self.pilot.pause(0)
            await self.app.workers.wait_for_complete()

    async def fill(self, *answers: str) -> None:
        """Answer the open form, one line a question; an empty answer is Enter alone.

        A choice is picked by its number, without Enter.
        """
        for answer in answers:
            if answer.startswith("#"):
                await self.press(*answer[1:])
            else:
                await self.type(answer)

    async def menu(self, act: str, *answers: str) -> None:
        """Find a rarer act by its name in the menu, do it, and answer what it asks."""
        await self.press(";")
        await self.type(act)
        await self.fill(*answers)

    async def begin(self, hand: str = "right", loft: str = "28") -> None:
        """First start and first visit: cautions read, questions answered."""
        await self.press("enter")
        await self.fill("", "#1" if hand == "right" else "#2", "", "", loft, "", "", "", "", "100")
        await self.fill("", "", "", "", "")

    async def block(self, kind: str, planned: str = "") -> None:
        """Choose a block by its name, with its planned count."""
        await self.press(";")
        await self.type("choose a block")
        screen = self.app.screen
        assert isinstance(screen, FormScreen)
        words = [str(word) for word, _ in screen.field.options]
        await self.fill(f"#{'123456789abcdefghijk'[words.index(kind)]}", planned)

    async def state(self, bow: float, grip: float) -> None:
        """State bow and grip as numbers."""
        await self.menu("type bow", f"{bow:g}", f"{grip:g}", "")

    async def ball(self, side: str, strike: str = "", number: str = "") -> None:
        """One ball: its start key, then its number, then its strike key."""
        self.clock.wait(seconds=45)
        await self.press(SIDE_KEYS[side])
        if number:
            await self.press("enter")
            await self.type(number)
        if strike:
            await self.press(STRIKE_KEYS[strike])

    async def starts(self, degrees: Iterable[float], strike: str = "") -> None:
        """Balls whose start was measured, + = right."""
        for start in degrees:
            far = abs(start) > 6
            side = "on line" if abs(start) <= 2 else f"{'far ' if far else ''}{'right' if start > 0 else 'left'}"
            await self.ball(side, strike, f"{abs(start)}{'R' if start > 0 else 'L'}")

    def screen(self) -> str:
        """What stands on the screen, line by line."""
        rows: dict[float, str] = {}
        for x, y, text in sorted(_TEXT.findall(self.app.export_screenshot()), key=lambda part: float(part[0])):
            line = rows.get(float(y), "")
            rows[float(y)] = line.ljust(round(float(x) / CELL)) + html.unescape(text).replace("\xa0", " ")
        return "\n".join(line.rstrip() for _, line in sorted(rows.items()))

    @property
    def hint(self) -> Hint:
        hint = self.view.hint
        assert hint is not None
        return hint

    @property
    def view(self) -> TeeView:
        """What the tee screen was last told."""
        return self.app.tee.view

    def said(self) -> str:
        """The answer to the last key."""
        echo = self.app.tee.query_one(EchoLine).echo
        return echo.text if echo else ""

    async def why(self) -> str:
        """Open the page behind the hint, read it, and close it."""
        await self.press("y")
        screen = self.app.screen
        assert isinstance(screen, ReadingScreen)
        text = self.screen()
        await self.press("escape")
        return text

    def on_disk(self) -> list[Ball]:
        """The balls of this visit as another program reads them."""
        assert self.book.session is not None
        with Book.open(self.book._desk.book.path, read_only=True) as other:
            return other.balls(self.book.session.id)


@asynccontextmanager
async def at_the_tee(path: Path, clock: Clock, *, size: tuple[int, int] = (100, 30)) -> AsyncIterator[Player]:
    """The app on the book at a path, until the player leaves."""
    seconds = iter(range(0, 10_000_000, 5))
    numbers = itertools.count(1)
    with Logbook.open(path, now=clock, new_id=lambda: f"{clock.time:%m%d%H%M}{next(numbers):024x}") as book:
        app = RangelogApp(
            book,
            settings=Settings(look="dark"),
            keys=keymap.ready("qwerty"),
            clock=lambda: float(next(seconds)),
            now=lambda: datetime(2026, 6, 2, 17, 42),
        )
        async with app.run_test(size=size) as pilot:
            player = Player(app, pilot, book, clock)
            await player.settle()
            yield player
