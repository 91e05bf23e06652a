"""A book for trying the keys: a player who does not exist, and balls that nobody hits. It lives in a temporary folder and goes with it."""

from __future__ import annotations

import random
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

from rangelog.core import scales
from rangelog.core.flight import Flight
from rangelog.core.setup import Setup
from rangelog.core.times import local_now
from rangelog.core.words import Height, Strike
from rangelog.logbook.logbook import Logbook
from rangelog.logbook.view import Echo, TeeView

CROSSING_BOW = 2.3
DEG_PER_NOTCH = -2.6
DEG_PER_TEN_GRIP = -3.5
SPREAD_DEG = 1.8
STRIKES = (Strike.SOLID,) * 8 + (Strike.THIN, Strike.FAT)
BETWEEN_BALLS = timedelta(seconds=45)
NOTICE = "PRACTICE: simulated balls, nothing is kept. Enter hits."


class Calm:
    """A clock that moves on with every ball and not with the keys: practice may be quick, and nobody in it is hurried or tired."""

    def __init__(self, start: datetime) -> None:
        self.at = start

    def __call__(self) -> datetime:
        return self.at


class PracticeBook(Logbook):
    """A logbook that can hit for the player. All its balls are invented; only its keys and hints are the real ones."""

    _luck: random.Random
    _clock: Calm

    @classmethod
    def begin(cls, folder: Path, seed: int | None = None, start: datetime | None = None) -> PracticeBook:
        """A fresh one in a folder, its session begun, bow 0 and grip 30 stated. The seed fixes the golfer's luck."""
        clock = Calm(start or local_now())
        book = cls.open(folder / "practice.db", now=clock)
        assert isinstance(book, cls)
        book._luck, book._clock = random.Random(seed), clock
        book.first_start(code="practice", hand="right", club_name="iron", loft_deg=28.0)
        book.start_session()
        book.set_setup(bow=0.0, grip=30.0)
        return book

    def view(self) -> TeeView:
        """What the tee shows, marked as practice."""
        return replace(super().view(), notice=NOTICE)

    def hit(self, flight: Flight) -> Echo:
        """Store a ball, a while after the one before."""
        self._clock.at += BETWEEN_BALLS
        return super().hit(flight)

    def swing(self) -> tuple[Flight, Strike]:
        """The invented golfer hits one with the setup that is stated, and it is stored. Returns what it did."""
        start, height, strike = simulated(self._desk.state.setup, self._luck)
        flight = Flight(scales.side_of(start), height)
        self.hit(flight)
        self.amend(strike=strike)
        return flight, strike


def simulated(setup: Setup, luck: random.Random) -> tuple[float, Height, Strike]:
    """Start in degrees, height and strike of a ball by the invented golfer, who needs bow 2.3 at grip 30 and whose balls scatter."""
    bow = 0.0 if setup.bow is None else setup.bow
    grip = 30.0 if setup.grip is None else setup.grip
    mean = DEG_PER_NOTCH * (bow - CROSSING_BOW) + DEG_PER_TEN_GRIP * (grip - 30.0) / 10
    start = max(min(luck.gauss(mean, SPREAD_DEG), 40.0), -40.0)
    lift = luck.gauss(setup.position_balls - bow / 4, 0.6)
    height = Height.HIGH if lift > 0.6 else Height.LOW if lift < -0.6 else Height.MID
    return start, height, luck.choice(STRIKES)
