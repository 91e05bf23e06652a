"""Backups: dated, checked, pruned, never the poorer for a poorer book, and restorable."""

import sqlite3
from datetime import date, timedelta
from pathlib import Path

import pytest

from rangelog.store import BackupRefused, BookMissing, NotSaved, backup
from rangelog.store.restoring import restore
from tests.store.makers import START, Clock, ball, furnish, open_book, rows, tamper


@pytest.fixture
def path(tmp_path: Path) -> Path:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 5)
    return tmp_path / "book.db"


def names(path: Path) -> list[str]:
    return sorted(found.name for found in (path.parent / "backups").iterdir())


def test_first_opening_of_a_day_makes_one_backup(path: Path) -> None:
    clock = Clock()
    for _ in range(3):
        with open_book(path, now=clock) as book:
            book.add_ball(ball(book.last_seq("s1") + 1))
    assert names(path) == ["book.db.2026-05-01.db"]
    assert backup.balls_in(path.parent / "backups" / "book.db.2026-05-01.db") == 5
    clock.move(days=1)
    open_book(path, now=clock).close()
    assert names(path) == ["book.db.2026-05-01.db", "book.db.2026-05-02.db"]


def test_the_backup_may_be_left_for_after_the_first_screen(path: Path) -> None:
    with open_book(path, daily_backup=False) as book:
        assert not (path.parent / "backups").exists()
        made = book.daily_backup()
        assert made is not None
        assert made.name == "book.db.2026-05-01.db"
        assert book.daily_backup() is None


def test_a_book_without_balls_or_a_reader_makes_none(tmp_path: Path, path: Path) -> None:
    for _ in range(2):
        open_book(tmp_path / "other" / "new.db").close()
    assert not (tmp_path / "other" / "backups").exists()
    open_book(path, read_only=True).close()
    assert not (tmp_path / "backups").exists()


def test_a_backup_is_a_whole_book(path: Path) -> None:
    with open_book(path) as book:
        kept = book.backup()
    assert rows(kept, "PRAGMA integrity_check") == [("ok",)]
    assert rows(kept, "SELECT * FROM balls") == rows(path, "SELECT * FROM balls")
    assert rows(kept, "PRAGMA user_version") == rows(path, "PRAGMA user_version")


def test_seven_days_and_four_months_stay(path: Path) -> None:
    clock = Clock()
    with open_book(path, now=clock, daily_backup=False) as book:
        for day in range(200):
            if day % 6 == 0:
                book.add_ball(ball(book.last_seq("s1") + 1))
                book.daily_backup()
            clock.move(days=1)
    kept = [found.day for found in backup.all_of(path)]
    first, last = START.date(), (START + timedelta(days=198)).date()
    assert kept[-7:] == [last - timedelta(days=6 * back) for back in range(6, -1, -1)]
    months = {day.replace(day=1) for day in kept}
    assert sorted(months) == [date(2026, 8, 1), date(2026, 9, 1), date(2026, 10, 1), date(2026, 11, 1)]
    assert first not in kept
    assert len(kept) <= backup.DAYS_KEPT + backup.MONTHS_KEPT


def test_the_fullest_backup_outlives_poorer_ones(path: Path) -> None:
    clock = Clock()
    with open_book(path, now=clock) as book:
        full = book.backup()
    path.unlink()
    for left in path.parent.glob("book.db.*"):
        left.unlink()
    poorer = path.with_name("poorer.db")
    with open_book(poorer, daily_backup=False) as book:
        furnish(book, 1)
    poorer.rename(path)
    for _ in range(25):
        clock.move(days=8)
        with open_book(path, now=clock):
            pass
    assert full.exists()
    assert backup.balls_in(full) == 5


def test_a_backup_with_more_balls_is_never_replaced(path: Path) -> None:
    with open_book(path) as book:
        kept = book.backup()
    before = kept.read_bytes()
    tamper(path, "DELETE FROM balls WHERE seq > 2")
    with open_book(path) as book, pytest.raises(BackupRefused, match="5 balls"):
        book.backup()
    assert kept.read_bytes() == before


def test_a_damaged_book_does_not_become_a_backup_and_still_opens(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(_: Path) -> int:
        raise sqlite3.DatabaseError("page 7 is damaged")

    monkeypatch.setattr(backup, "_checked", refuse)
    with open_book(path) as book:
        assert book.warnings == [
            "No backup was made today: The copy could not be made: page 7 is damaged. Check the disk; the book itself is untouched."
        ]
        book.add_ball(ball(6))
    assert names(path) == []


def test_backups_of_another_book_are_left_alone(path: Path) -> None:
    folder = path.parent / "backups"
    folder.mkdir()
    others = ["book.db.2020-01-01.txt", "other.db.2020-01-01.db", "book.db.2020-13-41.db", "notes.md"]
    for name in others:
        (folder / name).write_text("not ours")
    with open_book(path) as book:
        book.backup()
        assert backup.prune(path) == []
    assert names(path) == sorted([*others, "book.db.2026-05-01.db"])


def test_an_unreadable_backup_is_not_counted_on(path: Path) -> None:
    with open_book(path) as book:
        kept = book.backup()
    (path.parent / "backups" / "book.db.2026-05-09.db").write_bytes(b"spoilt")
    newest = backup.newest_good(path)
    assert newest is not None
    assert (newest.path, newest.balls) == (kept, 5)


def test_a_copy_goes_only_to_a_free_name(path: Path, tmp_path: Path) -> None:
    with open_book(path) as book:
        assert book.save_copy(tmp_path / "far" / "copy.db") == 5
        with pytest.raises(BackupRefused):
            book.save_copy(path)
    with open_book(tmp_path / "far" / "copy.db") as copy:
        assert copy.total_balls() == 5


def test_restoring_to_a_free_place(path: Path, tmp_path: Path) -> None:
    with open_book(path) as book:
        kept = book.backup()
    done = restore(kept, tmp_path / "new home" / "book.db", now=START)
    assert (done.balls, done.aside) == (5, None)
    with open_book(done.path) as book:
        assert len(book.balls("s1")) == 5


def test_restoring_moves_the_old_book_aside_only_when_allowed(path: Path) -> None:
    with open_book(path) as book:
        kept = book.backup()
    path.write_bytes(b"")
    path.with_name("book.db-journal").write_bytes(b"left over")
    with pytest.raises(BackupRefused, match="still there"):
        restore(kept, path, now=START)
    assert path.read_bytes() == b""
    done = restore(kept, path, now=START, move_old_aside=True)
    assert done.aside is not None
    assert done.aside.read_bytes() == b""
    assert done.aside.with_name(done.aside.name + "-journal").read_bytes() == b"left over"
    with open_book(path) as book:
        assert book.total_balls() == 5


def test_restoring_beside_a_lone_journal_moves_it(path: Path) -> None:
    with open_book(path) as book:
        kept = book.backup()
    path.unlink()
    journal = path.with_name("book.db-journal")
    journal.write_bytes(b"left over")
    done = restore(kept, path, now=START, move_old_aside=True)
    assert not journal.exists()
    assert done.aside is not None
    assert done.aside.read_bytes() == b"left over"


def test_a_bad_or_missing_backup_restores_nothing(path: Path, tmp_path: Path) -> None:
    before = path.read_bytes()
    (tmp_path / "spoilt.db").write_bytes(b"spoilt" * 1000)
    with pytest.raises(BackupRefused):
        restore(tmp_path / "spoilt.db", path, now=START, move_old_aside=True)
    with pytest.raises(BookMissing):
        restore(tmp_path / "nowhere.db", path, now=START, move_old_aside=True)
    assert path.read_bytes() == before


def test_a_held_book_is_not_restored_over(path: Path) -> None:
    with open_book(path) as book:
        kept = book.backup()
        with pytest.raises(BackupRefused, match="holds the book"):
            restore(kept, path, now=START, move_old_aside=True)
        book.add_ball(ball(6))
    assert rows(path, "SELECT count(*) FROM balls") == [(6,)]


def test_a_reader_may_make_a_backup_too(path: Path) -> None:
    with open_book(path, daily_backup=False), open_book(path) as reader:
        assert reader.read_only
        assert backup.balls_in(reader.backup()) == 5
        with pytest.raises(NotSaved):
            reader.add_ball(ball(6))
        with pytest.raises(sqlite3.OperationalError, match="readonly"):
            reader._connection.execute("DELETE FROM balls")


def test_drafts_that_a_crash_left_are_swept(path: Path) -> None:
    (path.parent / "backups").mkdir()
    left = [
        path.parent / ".book.db.999.new",
        path.parent / ".book.db.999.new-journal",
        path.parent / "backups" / ".book.db.2026-04-30.db.999.new",
    ]
    others = [path.parent / ".other.db.999.new", path.parent / "backups" / "notes.new"]
    for file in (*left, *others):
        file.touch()
    open_book(path, read_only=True).close()
    assert all(file.exists() for file in left)
    open_book(path).close()
    assert not any(file.exists() for file in left)
    assert all(file.exists() for file in others)
