"""A large invented book for benchmarks and tests: one player, several years of sessions."""

import random
from datetime import datetime, timedelta, timezone
from pathlib import Path

from rangelog.core.ball import Ball
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.scales import side_of
from rangelog.core.session import Block, Edit, Session
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Height, Reason, Strike, Surface, Swing
from rangelog.store import Book
from rangelog.store.desk import insert_sql
from rangelog.store.rows import BALL, BLOCK, EDIT, SESSION
from rangelog.store.times import utc_text

BALLS_PER_SESSION = 60
NOTES = ("wind from the left", "felt early", "new glove", "range closes soon", "näher stehen")
HEIGHTS = (Height.LOW, Height.LOW, Height.MID, Height.MID, Height.HIGH, None)
STRIKES = (Strike.SOLID, Strike.SOLID, Strike.SOLID, Strike.THIN, Strike.FAT, Strike.TOE, Strike.HEEL, None)
KINDS = (BlockKind.BASELINE, BlockKind.BOW_BRACKET, BlockKind.GRIP_BRACKET, BlockKind.CONFIRM, BlockKind.RANDOM, BlockKind.RETENTION)

ID, SEQ, KEYED_SEQ, AT, BLOCK_ID, BOW, STICK, SIDE, START, HEIGHT, STRIKE, COUNTED, REASON, VOIDED, NOTE = (
    BALL.all_columns.index(column)
    for column in (
        *("id", "seq", "keyed_seq", "at", "block_id", "bow_notches", "stick", "side", "start_deg", "height", "strike"),
        *("counted", "reason", "voided", "note"),
    )
)


def make_book(path: Path | str, balls: int = 100_000, years: float = 5, seed: int = 0) -> Path:
    """Write a book with so many balls at a free path; the same arguments always give the same rows. Returns the path.

    About 2 % of the balls are edited, 1 % voided, 2 % not counted, 1 % have a note, and one in five has a start in degrees.
    """
    luck = random.Random(seed)
    first = datetime(2021, 3, 1, 17, 0, tzinfo=timezone(timedelta(hours=1)))
    sessions = max(1, -(-balls // BALLS_PER_SESSION))
    step = timedelta(days=365.25 * years / sessions)
    with Book.open(path, now=lambda: first, daily_backup=False) as book:
        book.save_player(Player("player-1", "demo"))
        for club in (Club("club-1", "iron", 28.0), Club("club-2", "iron", 34.0)):
            book.add_club(club)
        book.add_prescription(Prescription("prescription-1", made_at=first.isoformat(), club_id="club-1"))
        rows: dict[str, list[tuple[object, ...]]] = {"session": [], "block": [], "ball": [], "edit": []}
        for number in range(sessions):
            count = min(BALLS_PER_SESSION, balls - number * BALLS_PER_SESSION)
            _session(rows, number, first + step * number, count, luck)
        connection = book._connection
        connection.execute("PRAGMA synchronous = OFF")
        connection.execute("BEGIN IMMEDIATE")
        for shape in (SESSION, BLOCK, BALL, EDIT):
            connection.executemany(insert_sql(shape), rows[shape.kind])
        connection.execute("COMMIT")
    return Path(path)


def _session(rows: dict[str, list[tuple[object, ...]]], number: int, start: datetime, count: int, luck: random.Random) -> None:
    session_id = f"session-{number:06d}"
    started, ended = start.isoformat(), (start + timedelta(minutes=90)).isoformat()
    surface = luck.choice((Surface.MAT, Surface.TURF))
    session = Session(session_id, started, ended, surface)
    rows["session"].append((*SESSION.row(session), utc_text(started), utc_text(ended)))
    offset, grip, club = luck.gauss(0, 1.5), luck.choice((15.0, 30.0, 45.0)), luck.choice(("club-1", "club-1", "club-2"))
    pattern = Ball("id", session_id, 1, started, Setup(0.0, grip, 0.0, club, Swing.HALF, True, surface), "block", "prescription-1")
    stencil = [*BALL.row(pattern), 1]
    for seq in range(1, count + 1):
        block_seq = (seq - 1) // 20 + 1
        block_id = f"{session_id}-block-{block_seq}"
        if seq % 20 == 1:
            block = Block(block_id, session_id, block_seq, luck.choice(KINDS), 20, started, ended, outcome="done")
            rows["block"].append((*BLOCK.row(block), utc_text(ended)))
        row, ball_id, at = stencil.copy(), f"{session_id}-ball-{seq:03d}", (start + timedelta(seconds=80 * seq)).isoformat()
        bow = luck.choice((0.0, 1.0, 2.0, 3.0, 4.0))
        degrees = 5.0 + offset - 2.5 * bow - 1.2 * (grip - 30) / 10 + luck.gauss(0, 2.5)
        degrees = max(-40.0, min(40.0, degrees))
        row[ID], row[SEQ], row[KEYED_SEQ], row[AT], row[BLOCK_ID] = ball_id, seq, seq, at, block_id
        row[BOW], row[STICK], row[SIDE] = bow, int(luck.random() < 0.7), side_of(degrees)
        row[START] = round(degrees, 1) if luck.random() < 0.2 else None
        row[HEIGHT], row[STRIKE] = luck.choice(HEIGHTS), luck.choice(STRIKES)
        if luck.random() < 0.02:
            row[COUNTED], row[REASON] = 0, Reason.INTERRUPTED
        row[VOIDED] = int(luck.random() < 0.01)
        row[NOTE] = luck.choice(NOTES) if luck.random() < 0.01 else ""
        rows["ball"].append(tuple(row))
        if luck.random() < 0.02:
            new = f'"{row[STRIKE]}"' if row[STRIKE] else "null"
            edit = Edit(f"{ball_id}-edit", ball_id, "strike", luck.choice(("null", '"thin"')), new, at, "keyed wrong", f"{ball_id}-group")
            rows["edit"].append((*EDIT.row(edit), utc_text(at)))
