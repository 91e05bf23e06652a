"""One writer: the second program is told who holds the book, and a crash leaves no lock behind."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from rangelog.store import NotSaved
from rangelog.store.lock import Holder, WriterLock, holder_path, lock_path, read_holder
from tests.store.makers import START, ball, furnish, open_book

HOLD = """
import sys
from rangelog.store import Book
book = Book.open(sys.argv[1])
print(book.read_only, flush=True)
sys.stdin.read()
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 2)
    return tmp_path / "book.db"


def held_elsewhere(path: Path) -> subprocess.Popen[str]:
    holder = subprocess.Popen([sys.executable, "-c", HOLD, str(path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
    assert holder.stdout is not None
    assert holder.stdout.readline().strip() == "False"
    return holder


def done(holder: subprocess.Popen[str]) -> None:
    holder.communicate()


def test_the_second_program_reads_and_is_told_who_holds_the_book(path: Path) -> None:
    holder = held_elsewhere(path)
    try:
        with open_book(path) as second:
            assert second.read_only
            assert second.holder is not None
            assert second.holder.process_id == holder.pid
            assert f"process {holder.pid}" in second.read_only_reason
            assert len(second.balls("s1")) == 2
            with pytest.raises(NotSaved, match=str(holder.pid)):
                second.add_ball(ball(3))
    finally:
        done(holder)
    with open_book(path) as third:
        assert not third.read_only


def test_the_first_program_writes_on_while_a_second_reads(path: Path) -> None:
    with open_book(path) as first, open_book(path) as second:
        assert (first.read_only, second.read_only) == (False, True)
        for seq in range(3, 30):
            first.add_ball(ball(seq))
            assert second.count_balls("s1") == seq


def test_a_killed_program_leaves_no_lock(path: Path) -> None:
    holder = held_elsewhere(path)
    os.kill(holder.pid, signal.SIGKILL)
    done(holder)
    assert read_holder(path).process_id == holder.pid
    with open_book(path) as book:
        assert not book.read_only
        assert read_holder(path).process_id == os.getpid()
    assert not holder_path(path).exists()


@pytest.mark.parametrize("text", ["", "{", "[]", '{"process_id": "many"}', '{"process_id": 3}', "\udcff"])
def test_a_note_that_makes_no_sense_is_no_obstacle(path: Path, text: str) -> None:
    with open_book(path) as first:
        holder_path(path).write_bytes(text.encode("utf-8", "surrogateescape"))
        with open_book(path) as second:
            assert second.holder == Holder()
            assert second.read_only_reason == "another program holds the book"
        assert not first.read_only
    holder_path(path).write_bytes(text.encode("utf-8", "surrogateescape"))
    with open_book(path) as book:
        assert not book.read_only


def test_two_names_of_one_book_meet_one_lock(path: Path, tmp_path: Path) -> None:
    (tmp_path / "link.db").symlink_to(path)
    with open_book(path), open_book(tmp_path / "link.db") as second:
        assert second.read_only


def test_a_holder_elsewhere_is_named_with_its_host() -> None:
    assert (
        str(Holder(12, "range-laptop", "2026-05-01T17:00:00+02:00"))
        == "another Rangelog (process 12 on range-laptop, since 2026-05-01 17:00)"
    )


def test_release_twice_is_harmless(tmp_path: Path) -> None:
    lock = WriterLock(tmp_path / "book.db")
    assert lock.take(START) is None
    assert lock_path(tmp_path / "book.db").exists()
    lock.release()
    lock.release()
    assert WriterLock(tmp_path / "book.db").take(START) is None


def test_closing_gives_the_lock_back_and_may_be_done_twice(path: Path) -> None:
    book = open_book(path)
    book.close()
    book.close()
    with open_book(path) as again:
        assert not again.read_only


def test_a_book_that_cannot_be_opened_gives_the_lock_back(path: Path) -> None:
    good = path.read_bytes()
    path.write_bytes(b"not a book at all" * 100)
    with pytest.raises(Exception, match="not a Rangelog book"):
        open_book(path)
    path.write_bytes(good)
    with open_book(path) as book:
        assert not book.read_only
