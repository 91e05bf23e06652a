"""Full disks and places that cannot be written: nothing echoed is lost, nothing unsaved is called saved.

The method is chosen by what this system allows and stands in the name of each test: a real small disk or real read-only media where
one can be mounted, else a book whose pages are limited, or permissions.
"""

import os
import shutil
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from rangelog.store import Book, BookElsewhere, NotSaved, errors
from tests.store import small_disk
from tests.store.makers import FORM, ball, edit, furnish, open_book, rows

with tempfile.TemporaryDirectory() as _probe:
    MOUNTS = small_disk.may_mount(Path(_probe) / "probe")
METHOD = "a real small disk" if MOUNTS else "limited pages"
SIZE_KIB = 200


class SmallDisk:
    """A book on a disk that fills up, and room when it is wanted."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.path = folder / "book.db"
        self._filler = folder / "filler"

    def fill(self, book: Book) -> None:
        """Leave no room for another page."""
        if not MOUNTS:
            book._connection.execute(f"PRAGMA max_page_count = {book._value('PRAGMA page_count')}")
            return
        with self._filler.open("ab", buffering=0) as filler:
            try:
                while True:
                    filler.write(bytes(1024))
            except OSError:
                return

    def make_room(self, book: Book) -> None:
        """Let the book grow again."""
        if MOUNTS:
            self._filler.unlink()
        else:
            book._connection.execute("PRAGMA max_page_count = 1000000")


@pytest.fixture(params=[METHOD])
def disk(tmp_path: Path) -> Iterator[SmallDisk]:
    if not MOUNTS:
        yield SmallDisk(tmp_path)
        return
    with small_disk.mounted(tmp_path / "disk", SIZE_KIB) as folder:
        yield SmallDisk(folder)


def test_a_full_disk_costs_no_stored_ball_and_the_retry_works(disk: SmallDisk, tmp_path: Path) -> None:
    stored = 0
    with open_book(disk.path) as book:
        furnish(book)
        disk.fill(book)
        refused = None
        for seq in range(1, 400):
            try:
                book.add_ball(ball(seq, note="n" * 200), state={"seq": seq})
            except NotSaved as error:
                refused = error
                break
            stored = seq
            if not MOUNTS:
                disk.fill(book)
        assert refused is not None
        assert refused.cause == "disk full"
        assert "full" in refused.title
        assert not book._connection.in_transaction
        assert [hit.seq for hit in book.balls("s1")] == list(range(1, stored + 1))
        assert book.state("seq") == (stored or None)
        for _ in range(3):
            with pytest.raises(NotSaved):
                book.add_ball(ball(stored + 1, note="n" * 200))
        assert book.save_copy(tmp_path / "another place" / "book.db") == stored
        disk.make_room(book)
        book.add_ball(ball(stored + 1, note="n" * 200), state={"seq": stored + 1})
        assert book.check().whole
    with open_book(disk.path) as again:
        assert [hit.seq for hit in again.balls("s1")] == list(range(1, stored + 2))
        assert again.state("seq") == stored + 1
    with open_book(tmp_path / "another place" / "book.db") as other:
        other.add_ball(ball(stored + 1))
        assert other.total_balls() == stored + 1


def many_rows(row: dict[str, Any]) -> list[dict[str, Any]]:
    return [{**row, "id": f"n{number}", "seq": 500 + number, "keyed_seq": None} for number in range(99)]


CHANGES: dict[str, Callable[[Book], object]] = {
    "ball": lambda book: book.add_ball(ball(900, note="x" * 9000)),
    "balls": lambda book: book.add_balls(ball(seq, note="x" * 900) for seq in range(900, 920)),
    "edit": lambda book: book.edit_balls([edit(n, "s1-ball-1", "note", '""', f'"{"x" * 900}"') for n in range(20)]),
    "form": lambda book: book.add_form(FORM.__class__("f9", "s1", "kit", FORM.at, 0, {"words": "x" * 9000})),
    "state": lambda book: book.save_state({"memory": "x" * 9000}),
    "merge": lambda book: book.merge_rows(
        [{**next(book.rows_of("ball")), "id": f"n{n}", "seq": 500 + n, "keyed_seq": None} for n in range(99)]
    ),
}


@pytest.mark.parametrize("name", CHANGES)
def test_any_change_on_a_full_disk_is_all_or_nothing(disk: SmallDisk, name: str) -> None:
    with open_book(disk.path) as book:
        furnish(book, 5)
        book.add_form(FORM)
        disk.fill(book)
        before = [list(book.rows_of(kind)) for kind in book.kinds()]
        with pytest.raises(NotSaved) as caught:
            CHANGES[name](book)
        assert caught.value.cause == "disk full"
        assert [list(book.rows_of(kind)) for kind in book.kinds()] == before
        assert book.check().whole
        disk.make_room(book)
        CHANGES[name](book)
        assert [list(book.rows_of(kind)) for kind in book.kinds()] != before
        assert book.check().pages == ()


def test_a_failed_backup_on_a_full_disk_keeps_nobody_out(disk: SmallDisk) -> None:
    with open_book(disk.path, daily_backup=False) as book:
        furnish(book, 40)
        if not MOUNTS:
            return
        disk.fill(book)
    with open_book(disk.path) as book:
        assert book.warnings[0].startswith("No backup was made today")
        assert len(book.balls("s1")) == 40
    left = [found.name for found in disk.folder.rglob("*") if found.is_file() and "lock" not in found.name]
    assert sorted(left) == ["book.db", "filler"]


def test_a_disk_too_small_for_a_new_book_leaves_nothing_behind(tmp_path: Path) -> None:
    if MOUNTS:
        with small_disk.mounted(tmp_path / "disk", 32) as folder:
            with pytest.raises(BookElsewhere, match="full"):
                open_book(folder / "book.db")
            assert not any(found.suffix != ".lock" for found in folder.iterdir())
        return
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(BookElsewhere):
        open_book(tmp_path / "file" / "book.db")


@pytest.fixture(params=["read-only media" if MOUNTS else "permissions"])
def read_only_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder with a book of three balls that takes no change any more."""
    if MOUNTS:
        with small_disk.mounted(tmp_path / "media", 1024) as folder:
            with open_book(folder / "book.db") as book:
                furnish(book, 3)
            small_disk.make_read_only(folder)
            yield folder
        return
    folder = tmp_path / "folder"
    with open_book(folder / "book.db") as book:
        furnish(book, 3)
    os.chmod(folder, 0o500)
    if os.geteuid() == 0:
        allowed = os.access
        monkeypatch.setattr(os, "access", lambda path, mode: mode != os.W_OK and allowed(path, mode))
    yield folder
    os.chmod(folder, 0o700)


def test_a_book_that_cannot_be_written_is_read_and_says_so(read_only_folder: Path) -> None:
    with open_book(read_only_folder / "book.db") as book:
        assert book.read_only
        assert "cannot be written" in book.read_only_reason
        assert book.holder is None
        assert len(book.balls("s1")) == 3
        with pytest.raises(NotSaved) as caught:
            book.add_ball(ball(4))
        assert caught.value.cause == "read-only"
    assert rows(read_only_folder / "book.db", "SELECT count(*) FROM balls") == [(3,)]


def test_no_book_can_be_made_on_it(read_only_folder: Path) -> None:
    if not MOUNTS and os.geteuid() == 0:
        (read_only_folder / "file").write_text("in the way")
        read_only_folder = read_only_folder / "file"
    with pytest.raises(BookElsewhere, match=r"cannot be (made|reached)"):
        open_book(read_only_folder / "new" / "book.db")


def test_a_file_that_may_not_be_written_is_read_and_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "book.db"
    with open_book(path) as book:
        furnish(book, 3)
    os.chmod(path, 0o400)
    if os.geteuid() == 0:
        allowed = os.access
        monkeypatch.setattr(os, "access", lambda found, mode: (Path(found) != path or mode != os.W_OK) and allowed(found, mode))
    with open_book(path) as book:
        assert book.read_only
        assert len(book.balls("s1")) == 3
    os.chmod(path, 0o600)
    monkeypatch.undo()
    with open_book(path) as book:
        assert not book.read_only


def test_a_disk_that_turns_read_only_in_use_gives_the_ball_back(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 3)
        book._connection.execute("PRAGMA query_only = ON")
        with pytest.raises(NotSaved) as caught:
            book.add_ball(ball(4))
        assert caught.value.cause == "read-only"
        book._connection.execute("PRAGMA query_only = OFF")
        book.add_ball(ball(4))
        assert book.total_balls() == 4


def half_changed(path: Path, to: Path) -> None:
    """Leave a copy of a book as a crash in mid-change would: with a journal that must be played back."""
    connection = sqlite3.connect(path, isolation_level=None)
    connection.execute("PRAGMA cache_size = 2")
    connection.execute("BEGIN IMMEDIATE")
    connection.execute("UPDATE balls SET note = 'half'")
    connection.execute("CREATE TABLE half AS WITH n(x) AS (SELECT 1 UNION ALL SELECT x + 1 FROM n LIMIT 3000) SELECT x, 'filling' FROM n")
    for name in (path.name, path.name + "-journal"):
        shutil.copyfile(path.with_name(name), to / name)
    connection.close()


def test_a_reader_plays_back_what_a_crash_left_half_written(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 3)
    (tmp_path / "crashed").mkdir()
    half_changed(tmp_path / "book.db", tmp_path / "crashed")
    assert (tmp_path / "crashed" / "book.db-journal").stat().st_size > 0
    with open_book(tmp_path / "crashed" / "book.db", read_only=True) as book:
        assert book.balls("s1") == [ball(1), ball(2), ball(3)]
        assert book.check().whole


def test_a_half_written_book_on_read_only_media_says_what_to_do(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 3)
    if not MOUNTS:
        told = errors.not_read(_read_only_rollback(), tmp_path / "book.db")
        assert "book.db-journal" in told.next_step
        return
    with small_disk.mounted(tmp_path / "media", 2048) as folder:
        half_changed(tmp_path / "book.db", folder)
        small_disk.make_read_only(folder)
        with pytest.raises(BookElsewhere, match="midst of a change") as caught:
            open_book(folder / "book.db")
        assert "book.db-journal" in caught.value.next_step


def _read_only_rollback() -> sqlite3.Error:
    error = sqlite3.OperationalError("attempt to write a readonly database")
    error.sqlite_errorname = "SQLITE_READONLY_ROLLBACK"  # type: ignore[misc]
    return error
