"""What every test stands on: no home, no network, one time zone, seeded randomness, and a clock in the test's own hands."""

import itertools
import os
import socket
import time
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any, NoReturn

import pytest
from hypothesis import HealthCheck, settings

from rangelog.core.ball import Ball
from rangelog.logbook import Logbook
from rangelog.store import Book

settings.register_profile("range", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("range")

ZONE = "CET-1CEST,M3.5.0,M10.5.0/3"
"""A zone with summer time, written out so that no zone file is needed."""

NO_VARIABLES = ("RANGELOG_BOOK", "NO_COLOR", "COLUMNS", "LINES", "TEXTUAL", "TEXTUAL_DRIVER")


@pytest.fixture(autouse=True)
def apart(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """Every test has a home of its own, and leaves the player's alone."""
    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("HOME", str(home))
    for name in ("DATA", "CONFIG", "CACHE", "STATE"):
        monkeypatch.setenv(f"XDG_{name}_HOME", str(home / name.lower()))
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(home))
    for name in NO_VARIABLES:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TZ", ZONE)
    time.tzset()
    yield home
    monkeypatch.undo()
    time.tzset()


@pytest.fixture(autouse=True)
def no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is reached; the event loop's own pair of sockets needs no address and works."""

    def refuse(*_: Any, **__: Any) -> NoReturn:
        raise AssertionError("a test reached for the network")

    for name in ("connect", "connect_ex", "bind", "sendto"):
        monkeypatch.setattr(socket.socket, name, refuse)
    monkeypatch.setattr(socket, "getaddrinfo", refuse)


class Clock:
    """A time of day that a test moves on; every look at it takes a moment of its own."""

    def __init__(self, start: datetime) -> None:
        self.time = start
        self.step = timedelta(seconds=0)

    def __call__(self) -> datetime:
        self.time += self.step
        return self.time

    def wait(self, **span: float) -> None:
        """Let time pass: wait(minutes=3)."""
        self.time += timedelta(**span)

    def set(self, *parts: int) -> None:
        """Set the clock, as a laptop does that lost its battery or crossed a border."""
        self.time = datetime(*parts, tzinfo=self.time.tzinfo)  # type: ignore[misc]


@pytest.fixture
def clock() -> Clock:
    """A summer afternoon, in a zone two hours east."""
    return Clock(datetime(2026, 6, 2, 17, 0, tzinfo=timezone(timedelta(hours=2))))


@pytest.fixture
def new_id() -> Callable[[], str]:
    """Ids in order, so that what is drawn from them is the same in every run."""
    numbers = itertools.count(1)
    return lambda: f"{next(numbers):032x}"


@pytest.fixture
def book_path(tmp_path: Path) -> Path:
    return tmp_path / "book.db"


@pytest.fixture
def open_book(book_path: Path, clock: Clock, new_id: Callable[[], str]) -> Iterator[Callable[..., Logbook]]:
    """Opens the book of this test, again where it was open; whatever is left open is closed at the end."""
    opened: list[Logbook] = []

    def make(**options: Any) -> Logbook:
        opened.append(Logbook.open(book_path, now=clock, new_id=new_id, **options))
        return opened[-1]

    yield make
    for book in opened:
        book.close()


@pytest.fixture
def book(open_book: Callable[..., Logbook]) -> Logbook:
    """A book of an invented right-hander with a 28 degree iron, a session begun, nothing stated yet."""
    made = open_book()
    made.first_start(code="test", hand="right", club_name="iron", loft_deg=28.0)
    made.start_session()
    return made


@pytest.fixture
def logbook(book: Logbook) -> Logbook:
    """The same, at bow 0 and grip 30."""
    book.set_setup(bow=0.0, grip=30.0)
    return book


@pytest.fixture
def on_disk(book_path: Path) -> Callable[[], list[Ball]]:
    """The balls of the newest session as another program reads them, taken back ones left out."""

    def read() -> list[Ball]:
        with Book.open(book_path, read_only=True) as other:
            session = other.last_session()
            return other.balls(session.id) if session else []

    return read


def pytest_configure() -> None:
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
