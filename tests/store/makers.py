"""Invented records and a clock for the tests of the book."""

import sqlite3
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

from rangelog.core.ball import Ball
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.session import Block, Edit, Form, Session
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Height, Side, Strike
from rangelog.store import Book

START = datetime(2026, 5, 1, 17, 0, tzinfo=timezone(timedelta(hours=2)))


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self, at: datetime = START) -> None:
        self.at = at

    def __call__(self) -> datetime:
        return self.at

    def move(self, **by: float) -> str:
        self.at += timedelta(**by)
        return self.at.isoformat()


def no_sleep(_: float) -> None:
    """Waiting that takes no time."""


def open_book(path: Path, **options: Any) -> Book:
    """A book with a standing clock that never really waits."""
    return Book.open(path, **{"now": Clock(), "sleep": no_sleep, **options})


def ball(seq: int = 1, session: str = "s1", **changes: Any) -> Ball:
    """A stated, seen ball of the test session."""
    at = (START + timedelta(minutes=seq)).isoformat()
    made = Ball(f"{session}-ball-{seq}", session, seq, at, Setup(2.0, 30.0, club_id="c1"), side=Side.RIGHT)
    return replace(made, **changes)


def full_ball(seq: int = 1) -> Ball:
    """A ball with every cell filled."""
    return ball(
        seq,
        block_id="b1",
        prescription_id="p1",
        start_deg=3.5,
        height=Height.LOW,
        launch_deg=14.5,
        apex_m=9.0,
        strike=Strike.THIN,
        felt_bow=1.5,
        comfort=4,
        called=Height.MID,
        target="left gate",
        touched=True,
        aim_correction_deg=-1.5,
        note="wind, näher 球 🏌",
    )


def edit(number: int, ball_id: str, field: str, old: str, new: str, **changes: str) -> Edit:
    """An edit one second after the one before."""
    at = (START + timedelta(hours=1, seconds=number)).isoformat()
    made = Edit(f"edit-{number}", ball_id, field, old, new, at, "keyed wrong", f"group-{number}")
    return replace(made, **changes)


PLAYER = Player("player-1", "demo")
CLUB = Club("c1", "iron", 28.0)
PRESCRIPTION = Prescription("p1", 1, START.isoformat(), "coach", "extremes first", "c1", wrist_limit_bow=3.0)
SESSION = Session("s1", START.isoformat())
BLOCK = Block("b1", "s1", 1, BlockKind.BOW_BRACKET, 20, START.isoformat(), seed=7, plan='{"bows":[0,4]}')
FORM = Form("f1", "s1", "pain", START.isoformat(), 0, {"level": 2, "site": "wrist", "sharp": False, "else": None}, False)


def furnish(book: Book, balls: int = 0) -> Book:
    """Player, club, prescription, session and block, and so many balls."""
    book.save_player(PLAYER)
    book.add_club(CLUB)
    book.add_prescription(PRESCRIPTION)
    book.start_session(SESSION)
    book.start_block(BLOCK)
    book.add_balls(ball(seq) for seq in range(1, balls + 1))
    return book


def rows(path: Path, sql: str, *parameters: Any) -> list[tuple[Any, ...]]:
    """What a second connection reads."""
    connection = sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)
    try:
        return connection.execute(sql, parameters).fetchall()
    finally:
        connection.close()


def tamper(path: Path, *statements: str) -> None:
    """Change a closed book by hand, past its CHECKs and links."""
    connection = sqlite3.connect(path, isolation_level=None)
    try:
        connection.execute("PRAGMA ignore_check_constraints = ON")
        connection.execute("PRAGMA foreign_keys = OFF")
        for statement in statements:
            connection.execute(statement)
    finally:
        connection.close()


Maker = Callable[..., Book]
