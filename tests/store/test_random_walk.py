"""Long random use of the book against a plain model of what must be in it."""

import json
import random
import sqlite3
from dataclasses import replace
from pathlib import Path

import pytest

from rangelog.core.ball import Ball
from rangelog.core.session import Edit, Session
from rangelog.core.words import Height, Reason, Side, Strike
from rangelog.store import Book, NotSaved
from tests.store.makers import Clock, ball, furnish, no_sleep

VALUES = {
    "side": [None, *Side],
    "height": [None, *Height],
    "strike": [None, *Strike],
    "bow": [None, -2.0, 0.5, 5.0],
    "counted": [True, False],
    "reason": [None, *Reason],
    "voided": [True, False],
    "note": ["", "wind", "[/b] \x1b[31m \u202e 🏌"],
    "start_deg": [None, -45.0, 0.0, 3.25],
}


class Walk:
    """The book and the model side by side."""

    def __init__(self, path: Path, seed: int) -> None:
        self.path, self.luck, self.clock = path, random.Random(seed), Clock()
        self.book = self.open()
        furnish(self.book)
        self.sessions = ["s1"]
        self.balls: dict[str, Ball] = {}
        self.edits: list[Edit] = []
        self.state: dict[str, int] = {}
        self.waiting: Ball | None = None

    def open(self) -> Book:
        return Book.open(self.path, now=self.clock, sleep=no_sleep, patience_s=0.01)

    def step(self, number: int) -> None:
        """One random act on both."""
        self.clock.move(seconds=self.luck.choice((1, 60, 3600, -7200)))
        acts = [self.hit] * 8 + [self.correct] * 5 + [self.visit, self.reopen, self.read_beside, self.send_again]
        self.luck.choice(acts)(number)

    def hit(self, number: int) -> None:
        session = self.sessions[-1]
        seq = 1 + max((hit.seq for hit in self.balls.values() if hit.session_id == session), default=0)
        made = ball(seq, session, at=self.clock.at.isoformat(), strike=self.luck.choice(VALUES["strike"]))
        self.book.add_ball(made, state={"last": number})
        self.balls[made.id], self.state["last"] = made, number

    def correct(self, number: int) -> None:
        if not self.balls:
            return
        group = []
        for turn in range(self.luck.randint(1, 4)):
            name, field = self.luck.choice(list(self.balls)), self.luck.choice(list(VALUES))
            value = self.luck.choice(VALUES[field])
            old = self.balls[name]
            shown = old.setup.bow if field == "bow" else getattr(old, field)
            group.append(
                Edit(f"e{number}-{turn}", name, field, json.dumps(shown), json.dumps(value), self.clock.at.isoformat(), group=f"g{number}")
            )
            changed = {"setup": replace(old.setup, bow=value)} if field == "bow" else {field: value}
            self.balls[name] = replace(old, **changed)
        self.book.edit_balls(group)
        self.edits += group

    def visit(self, number: int) -> None:
        self.sessions.append(f"s{number}")
        newest = self.book.newest_time()
        uncertain = newest is not None and self.clock.at < newest
        self.book.start_session(Session(self.sessions[-1], self.clock.at.isoformat(), date_uncertain=uncertain))

    def reopen(self, _: int) -> None:
        self.book.close()
        self.book = self.open()

    def read_beside(self, number: int) -> None:
        """A ball that meets an open reader is not saved, and is saved afterwards."""
        reader = sqlite3.connect(self.path, isolation_level=None)
        reader.execute("BEGIN")
        reader.execute("SELECT * FROM sessions").fetchone()
        with pytest.raises(NotSaved):
            self.hit(number)
        reader.close()
        self.hit(number)

    def send_again(self, _: int) -> None:
        if self.edits and self.balls:
            self.book.add_ball(self.luck.choice(list(self.balls.values())))
            self.book.edit_balls(self.edits[-3:])

    def compare(self) -> None:
        """Both say the same, through this book and through a second connection."""
        for book in (self.book, self.book.reader()):
            held = [hit for session in self.sessions for hit in book.balls(session, include_voided=True)]
            assert held == list(self.balls.values())
            assert book.edits() == self.edits
            assert [session.id for session in book.sessions(newest_first=False)] == self.sessions
            assert book.state("last", 0) == self.state.get("last", 0)
            shown = [hit for hit in held if not hit.voided]
            assert book.matching() == len(shown)
            assert list(book.each_ball()) == shown
            assert book.bad_rows == {}
            if book is not self.book:
                book.close()


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_book_never_differs_from_the_model(tmp_path: Path, seed: int) -> None:
    walk = Walk(tmp_path / "book.db", seed)
    for number in range(1, 201):
        walk.step(number)
        if number % 40 == 0:
            walk.compare()
    assert walk.book.check().whole
    assert len(walk.balls) > 50
    walk.book.close()
