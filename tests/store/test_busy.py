"""A reader that holds the book open costs waiting, never a ball."""

import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from rangelog.store import BackupRefused, Book, BookBusy, NotSaved, backup
from rangelog.store.desk import LONGEST_WAIT_S
from tests.store.makers import Clock, ball, furnish, open_book, rows


@pytest.fixture
def path(tmp_path: Path) -> Path:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 3)
    return tmp_path / "book.db"


@contextmanager
def open_read(path: Path) -> Iterator[sqlite3.Connection]:
    """A second program in the midst of a query."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("BEGIN")
    connection.execute("SELECT * FROM balls").fetchone()
    try:
        yield connection
    finally:
        connection.close()


def test_a_ball_waits_for_a_reader_that_ends(path: Path) -> None:
    waits: list[float] = []
    with open_read(path) as reader:

        def sleep(seconds: float) -> None:
            waits.append(seconds)
            if len(waits) == 4:
                reader.execute("COMMIT")

        with Book.open(path, now=Clock(), sleep=sleep) as book:
            book.add_ball(ball(4))
            assert book.total_balls() == 4
    assert waits == [0.001, 0.002, 0.004, 0.008]
    assert rows(path, "SELECT count(*) FROM balls") == [(4,)]


def test_a_reader_that_never_ends_gives_the_ball_back(path: Path) -> None:
    waits: list[float] = []
    with Book.open(path, now=Clock(), sleep=waits.append, patience_s=1.0) as book:
        with open_read(path):
            with pytest.raises(NotSaved) as caught:
                book.add_ball(ball(4), state={"open": "block"})
            assert caught.value.cause == "busy"
            assert caught.value.next_step
            assert not book._connection.in_transaction
            assert book.total_balls() == 3
        assert 0.99 < sum(waits) < 1.01
        assert max(waits) <= LONGEST_WAIT_S
        book.add_ball(ball(4), state={"open": "block"})
        assert book.total_balls() == 4
        assert book.state("open") == "block"


def test_reads_go_on_while_another_reads(path: Path) -> None:
    with open_book(path) as book, open_read(path):
        assert len(book.balls("s1")) == 3


def test_a_read_meets_a_writer_that_does_not_end(path: Path) -> None:
    waits: list[float] = []
    writer = sqlite3.connect(path, isolation_level=None)
    with Book.open(path, read_only=True, now=Clock(), sleep=waits.append, patience_s=0.1) as book:
        writer.execute("BEGIN EXCLUSIVE")
        with pytest.raises(BookBusy):
            book.balls("s1")
        assert len(waits) > 3
        writer.execute("ROLLBACK")
        assert len(book.balls("s1")) == 3
    writer.close()


def test_another_tool_that_holds_the_write_lock_is_waited_for(path: Path) -> None:
    with Book.open(path, now=Clock(), sleep=lambda _: None, patience_s=0.05) as book:
        tool = sqlite3.connect(path, isolation_level=None)
        tool.execute("BEGIN IMMEDIATE")
        with pytest.raises(NotSaved) as caught:
            book.add_ball(ball(4))
        assert caught.value.cause == "busy"
        tool.close()
        book.add_ball(ball(4))
    assert rows(path, "SELECT max(seq) FROM balls") == [(4,)]


def test_opening_waits_for_a_commit_that_is_under_way(path: Path) -> None:
    writer = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
    writer.execute("BEGIN EXCLUSIVE")
    ending = threading.Timer(0.05, writer.execute, ("COMMIT",))
    ending.start()
    with open_book(path) as book:
        assert len(book.balls("s1")) == 3
        assert book._value("PRAGMA busy_timeout") == 0
    ending.join()
    writer.close()


def test_a_backup_waits_for_a_commit_that_is_under_way(path: Path) -> None:
    with Book.open(path, now=Clock(), daily_backup=False) as book, book.reader() as reader:
        writer = sqlite3.connect(path, isolation_level=None, check_same_thread=False)
        writer.execute("BEGIN EXCLUSIVE")
        ending = threading.Timer(0.05, writer.execute, ("COMMIT",))
        ending.start()
        made = reader.daily_backup()
        ending.join()
        writer.close()
        assert made is not None
        assert backup.balls_in(made) == 3
        assert reader._value("PRAGMA busy_timeout") == 0


def test_a_backup_that_meets_a_writer_that_does_not_end_is_refused(path: Path) -> None:
    with Book.open(path, now=Clock(), daily_backup=False, patience_s=0.05) as book, book.reader() as reader:
        writer = sqlite3.connect(path, isolation_level=None)
        writer.execute("BEGIN EXCLUSIVE")
        with pytest.raises(BackupRefused):
            reader.daily_backup()
        writer.close()


def test_balls_get_their_turn_while_a_backup_is_copied(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With one page a step every commit overtakes the copy; it ends all the same, whole, and no ball is refused."""
    monkeypatch.setattr(backup, "PAGES_A_STEP", 1)
    counts: list[int] = []
    with Book.open(path, now=Clock(), daily_backup=False) as book:

        def copies() -> None:
            with book.reader() as reader:
                counts.extend(backup.balls_in(reader.backup()) for _ in range(5))

        copying = threading.Thread(target=copies)
        copying.start()
        for seq in range(4, 34):
            book.add_ball(ball(seq))
        copying.join()
    assert len(counts) == 5
    assert counts == sorted(counts)
    assert rows(path, "SELECT count(*) FROM balls") == [(33,)]


class Watched:
    """A connection whose copying lets something else happen once, between two of its steps."""

    def __init__(self, connection: sqlite3.Connection, between: Callable[[], None]) -> None:
        self._connection = connection
        self._between: list[Callable[[], None]] = [between]

    def backup(self, target: sqlite3.Connection, *, progress: Callable[[int, int, int], None], **how: Any) -> None:
        def step(status: int, left: int, total: int) -> None:
            while self._between:
                self._between.pop()()
            progress(status, left, total)

        self._connection.backup(target, progress=step, **how)


def test_a_ball_that_is_hit_between_two_steps_of_a_copy_is_stored_and_is_in_the_copy(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A copy made in one go would be finished by then, without it."""
    monkeypatch.setattr(backup, "PAGES_A_STEP", 1)
    with Book.open(path, now=Clock(), daily_backup=False) as book, book.reader() as reader:
        watched = Watched(reader._connection, lambda: book.add_ball(ball(4)))
        assert backup.copy_to(watched, path.parent / "copy.db") == 4  # type: ignore[arg-type]
