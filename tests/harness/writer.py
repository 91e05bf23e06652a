"""Stores balls without end and says each once the book has it; meant to be killed."""

import os
import random
import sys
import uuid
from datetime import datetime
from pathlib import Path

from rangelog.core.ball import Ball
from rangelog.core.player import Player
from rangelog.core.session import Block, Edit, Form, Session
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Side
from rangelog.store import Book

PER_SESSION = 40


def say(word: str) -> None:
    """One whole line to the listener."""
    os.write(1, f"{word}\n".encode())


def now() -> str:
    """Local time with offset."""
    return datetime.now().astimezone().isoformat()


def write(path: Path, luck: random.Random) -> None:
    """Open the book and go on where it ended, for ever."""
    book = Book.open(path)
    if book.player() is None:
        book.save_player(Player("player-1", "demo"))
    say("open")
    while True:
        last = book.last_session()
        if last is None or book.last_seq(last.id) >= PER_SESSION:
            last = Session(f"session-{uuid.UUID(int=luck.getrandbits(128))}", now())
            book.start_session(last, {"last_seq": 0})
        seq = book.last_seq(last.id) + 1
        if seq % 10 == 1:
            block = Block(f"{last.id}-block-{uuid.UUID(int=luck.getrandbits(128))}", last.id, seq // 10 + 1, BlockKind.FREE, 10, now())
            book.start_block(block, {"block": block.id})
        ball = Ball(f"ball-{uuid.UUID(int=luck.getrandbits(128))}", last.id, seq, now(), Setup(2.0, 30.0), side=luck.choice(tuple(Side)))
        book.add_ball(ball, state={"last_seq": seq})
        say(ball.id)
        if luck.random() < 0.3:
            note = f"note {luck.randrange(100)}"
            edit = Edit(f"edit-{uuid.UUID(int=luck.getrandbits(128))}", ball.id, "note", '""', f'"{note}"', now(), "", f"group-{seq}")
            book.edit_balls([edit])
        if luck.random() < 0.1:
            book.add_form(Form(f"form-{uuid.UUID(int=luck.getrandbits(128))}", last.id, "pain", now(), seq, {"level": 1}))


if __name__ == "__main__":
    write(Path(sys.argv[1]), random.Random(int(sys.argv[2])))
