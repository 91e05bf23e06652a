"""A synced folder that writes another content into the very file: noticed before a commit, and nothing else is taken for it."""

import os
import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog.store import NotSaved
from tests.store.makers import Clock, ball, furnish, open_book, rows

PAGE = 4096


def lay(path: Path, content: bytes) -> None:
    """Write into the file as a synced folder does that keeps the file and changes what is in it."""
    number = path.stat().st_ino
    with path.open("r+b") as file:
        file.write(content)
        file.truncate()
    assert path.stat().st_ino == number


@pytest.fixture
def path(tmp_path: Path) -> Path:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 40)
    return tmp_path / "book.db"


def another(path: Path) -> bytes:
    with open_book(path.with_name("other.db")) as book:
        furnish(book, 50)
        book.save_state({"last_seq": 50})
    return path.with_name("other.db").read_bytes()


SPOILT: dict[str, Callable[[Path], bytes]] = {
    "a book of as many balls": another,
    "half of it": lambda path: path.read_bytes()[: 5 * PAGE],
    "its first page": lambda path: path.read_bytes()[:PAGE],
    "nothing": lambda path: b"",
    "words": lambda path: b"conflict\n" * 900,
    "zeros of its length": lambda path: bytes(path.stat().st_size),
}


@pytest.mark.parametrize("how", SPOILT)
def test_a_content_that_is_not_ours_is_noticed_and_not_written_to(path: Path, how: str) -> None:
    with open_book(path) as book:
        for seq in range(41, 52):
            book.add_ball(ball(seq), state={"last_seq": seq})
        mine = path.read_bytes()
        theirs = SPOILT[how](path)
        lay(path, theirs)
        for _ in range(2):
            with pytest.raises(NotSaved, match="the book was replaced") as caught:
                book.add_ball(ball(52), state={"last_seq": 52})
            assert caught.value.cause == "replaced"
            assert book.overwritten
        assert path.read_bytes() == theirs
        lay(path, mine)
        book.add_ball(ball(52), state={"last_seq": 52})
        assert not book.overwritten
    assert rows(path, "SELECT count(*) FROM balls") == [(52,)]


def test_an_older_copy_and_one_of_equal_count_and_length_are_noticed(path: Path, tmp_path: Path) -> None:
    shutil.copy2(path, tmp_path / "other.db")
    old = path.read_bytes()
    with open_book(tmp_path / "other.db") as other:
        other.add_ball(ball(41, note="on the other laptop", id="their-ball-41"))
    with open_book(path) as book:
        book.add_ball(ball(41, note="on this one's range"))
        theirs = (tmp_path / "other.db").read_bytes()
        assert theirs[24:40] == path.read_bytes()[24:40], "SQLite itself could not tell the two apart by their headers"
        for content in (theirs, old):
            lay(path, content)
            with pytest.raises(NotSaved, match="replaced"):
                book.add_ball(ball(42))
        assert path.read_bytes() == old


def test_a_copy_that_lacks_only_a_change_of_the_state_is_noticed(path: Path) -> None:
    clock = Clock()
    with open_book(path, now=clock) as book:
        book.save_state({"setup": 1})
        old = path.read_bytes()
        clock.move(minutes=1)
        book.save_state({"setup": 2})
        lay(path, old)
        with pytest.raises(NotSaved, match="replaced"):
            book.save_state({"setup": 3})


def vacuum(path: Path) -> None:
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("VACUUM")
    connection.close()


def by_hand(path: Path) -> None:
    connection = sqlite3.connect(path)
    with connection:
        connection.execute("UPDATE balls SET note = 'by hand' WHERE seq = 7")
    connection.close()


WELCOME: dict[str, Callable[[Path], object]] = {
    "a new date": lambda path: os.utime(path, (1, 1)),
    "the same again": lambda path: lay(path, path.read_bytes()),
    "a row by hand": by_hand,
    "a tidied file": vacuum,
    "a reader": lambda path: open_book(path, read_only=True).close(),
    "a second program": lambda path: open_book(path).close(),
    "a copy taken": lambda path: shutil.copy2(path, path.with_name("copy.db")),
}


@pytest.mark.parametrize("how", WELCOME)
def test_what_leaves_our_rows_in_the_file_is_no_other_book(path: Path, how: str) -> None:
    clock = Clock()
    with open_book(path, now=clock) as book:
        book.backup()
        for seq in range(41, 44):
            WELCOME[how](path)
            book.add_ball(ball(seq), state={"last_seq": seq})
            clock.at = clock.at.replace(year=1970 + seq)
        assert not book.overwritten
        assert book.check().whole
    assert rows(path, "SELECT count(*) FROM balls") == [(43,)]
