"""A tee with time, clock and book in the test's own hands."""

import asyncio
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from textual import events
from textual.pilot import Pilot

from rangelog.core.flight import Flight
from rangelog.core.results import Crossing
from rangelog.core.words import Height, Side, Strike
from rangelog.logbook import Logbook
from rangelog.settings import Settings
from rangelog.tui import keymap
from rangelog.tui.app import RangelogApp
from tests.tui.fake_book import FakeBook

STORY = (
    (0, Side.RIGHT, Height.MID, Strike.SOLID),
    (0, Side.RIGHT, Height.MID, Strike.THIN),
    (0, Side.FAR_RIGHT, Height.HIGH, Strike.SOLID),
    (0, Side.RIGHT, Height.MID, Strike.SOLID),
    (4, Side.LEFT, Height.LOW, Strike.SOLID),
    (4, Side.FAR_LEFT, Height.LOW, Strike.FAT),
    (4, Side.LEFT, Height.LOW, Strike.SOLID),
    (4, Side.ON_LINE, Height.MID, Strike.SOLID),
)
"""Invented balls of a bracket that is closing."""


CHARACTERS = {name: character for character, name in keymap.CHARACTER_NAMES.items()} | {"space": " ", "enter": "\r", "tab": "\t"}


async def press(pilot: Pilot[int], *keys: str) -> None:
    """Keys as a terminal sends them, each with the screen caught up after it."""
    for key in keys:
        name = keymap.CHARACTER_NAMES.get(key, key)
        pilot.app.post_message(events.Key(name, CHARACTERS.get(name, key if len(key) == 1 else None)))
        for _ in range(3):
            await pilot.pause(0)


async def thought(pilot: Pilot[int]) -> None:
    """The model has answered, and the screen has followed."""
    app = pilot.app
    assert isinstance(app, RangelogApp)
    await asyncio.wait_for(app.model_loaded.wait(), 30)
    for _ in range(3):
        await pilot.pause(0)


class Hand:
    """A clock that a test moves on: every key comes well after the one before, unless told otherwise."""

    def __init__(self) -> None:
        self.at_s = 0.0
        self.step_s = 5.0

    def __call__(self) -> float:
        self.at_s += self.step_s
        return self.at_s


@pytest.fixture(autouse=True)
def own_colours(monkeypatch: pytest.MonkeyPatch) -> None:
    """The colours of the machine that runs the tests change nothing."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.delenv("TEXTUAL_THEME", raising=False)


@pytest.fixture
def hand() -> Hand:
    return Hand()


@pytest.fixture
def tee(hand: Hand) -> Callable[..., RangelogApp]:
    """Makes the app on a book, with a frozen time of day."""

    def make(book: FakeBook | Logbook | None = None, look: str = "dark", layout: str = "qwerty", colourless: bool = False) -> RangelogApp:
        return RangelogApp(
            book or FakeBook(),
            settings=Settings(look=look),
            keys=keymap.ready(layout),
            colourless=colourless,
            clock=hand,
            now=lambda: datetime(2026, 5, 2, 17, 42),
        )

    return make


@pytest.fixture
def bracketed() -> FakeBook:
    """A book in which bow 0 starts right, bow 4 left, and 2 comes next."""
    book = FakeBook()
    for bow, side, height, strike in STORY:
        book.set_setup(bow=float(bow))
        book.hit(Flight(side, height))
        book.amend(strike=strike)
    book.set_setup(bow=2.0)
    book.calls.clear()
    book.crossing = Crossing(2.2, 1.6, 2.8)
    return book


@pytest.fixture
def logbook(tmp_path: Path) -> Logbook:
    """A real book of an invented right-hander, session begun, bow 0 and grip 30 stated."""
    book = Logbook.open(tmp_path / "book.db")
    book.first_start(code="test", hand="right", club_name="iron", loft_deg=28.0)
    book.start_session()
    book.set_setup(bow=0.0, grip=30.0)
    return book
