"""Forward steps: the same schema both ways, a backup before, and an interruption anywhere leaves the book as it was."""

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from rangelog.store import BookNewer, MigrationFailed, backup, migrations, opening
from rangelog.store.migrations import STEPS, Step
from tests.store.makers import START, ball, furnish, open_book, rows, tamper

KEPT = Path(__file__).parent / "kept"
SECOND = Step(
    "2 wind",
    (
        "ALTER TABLE sessions ADD COLUMN wind_m_per_s REAL CHECK (wind_m_per_s >= 0)",
        "CREATE INDEX sessions_by_wind ON sessions (wind_m_per_s)",
        "UPDATE sessions SET wind_m_per_s = 1.5",
    ),
)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 5)
    return tmp_path / "book.db"


def schema_of(path: Path) -> list[tuple[object, ...]]:
    return rows(path, "SELECT type, name, tbl_name, sql FROM sqlite_master ORDER BY type, name")


def test_a_new_book_and_one_brought_forward_are_the_same(tmp_path: Path) -> None:
    open_book(tmp_path / "new.db").close()
    connection = sqlite3.connect(tmp_path / "forward.db", isolation_level=None)
    migrations.forward(connection, STEPS)
    assert migrations.applied(connection) == tuple(step.name for step in STEPS)
    connection.close()
    assert schema_of(tmp_path / "new.db") == schema_of(tmp_path / "forward.db")
    assert rows(tmp_path / "forward.db", "PRAGMA user_version") == [(len(STEPS),)]
    assert rows(tmp_path / "new.db", "PRAGMA user_version") == [(len(STEPS),)]


def test_pending_steps_are_taken_once_with_a_backup_before(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(migrations, "STEPS", (*STEPS, SECOND))
    for _ in range(2):
        with open_book(path, daily_backup=False) as book:
            assert book._value("PRAGMA foreign_keys") == 1
            assert len(book.balls("s1")) == 5
    assert rows(path, "SELECT wind_m_per_s FROM sessions") == [(1.5,)]
    assert rows(path, "SELECT name FROM _sqlite_migrations ORDER BY id") == [("1 the book",), ("2 wind",)]
    assert rows(path, "PRAGMA user_version") == [(2,)]
    (kept,) = backup.all_of(path)
    assert (kept.path.name, kept.balls, kept.schema) == ("book.db.2026-05-01.schema1.db", 5, 1)
    assert rows(kept.path, "PRAGMA user_version") == [(1,)]


@pytest.mark.parametrize("place", range(len(SECOND.statements) + 1))
def test_an_error_at_any_statement_leaves_the_book_as_it_was(path: Path, monkeypatch: pytest.MonkeyPatch, place: int) -> None:
    broken = (*SECOND.statements[:place], "UPDATE nothing SET a = 1", *SECOND.statements[place:])
    before = schema_of(path), rows(path, "SELECT * FROM balls"), rows(path, "SELECT * FROM _sqlite_migrations")
    monkeypatch.setattr(migrations, "STEPS", (*STEPS, Step("2 wind", broken)))
    with pytest.raises(MigrationFailed, match="could not be brought forward"):
        open_book(path)
    assert (schema_of(path), rows(path, "SELECT * FROM balls"), rows(path, "SELECT * FROM _sqlite_migrations")) == before
    monkeypatch.setattr(migrations, "STEPS", (*STEPS, SECOND))
    with open_book(path) as book:
        assert book.total_balls() == 5


KILLED = """
import os, signal, sys
from datetime import datetime
from rangelog.store import Book, migrations
from tests.store.test_migrations import SECOND
place = int(sys.argv[2])
calls = 0
def count(*_):
    global calls
    calls += 1
    if calls > place:
        os.kill(os.getpid(), signal.SIGKILL)
    return 0
forward = migrations.forward
def watched(connection, steps):
    connection.set_progress_handler(count, 40)
    forward(connection, steps)
    os.kill(os.getpid(), signal.SIGKILL)
migrations.forward = watched
migrations.STEPS = (*migrations.STEPS, SECOND)
Book.open(sys.argv[1], daily_backup=False)
"""


@pytest.mark.parametrize("place", [0, 10, 100, 10_000])
def test_a_kill_in_mid_step_leaves_the_old_book_or_the_new_one(
    path: Path, monkeypatch: pytest.MonkeyPatch, place: int, pytestconfig: pytest.Config
) -> None:
    done = subprocess.run(
        [sys.executable, "-c", KILLED, str(path), str(place)], cwd=pytestconfig.rootpath, capture_output=True, check=False
    )
    assert done.returncode == -signal.SIGKILL, done.stderr.decode()
    version = rows_after_crash(path, "PRAGMA user_version")[0][0]
    assert rows_after_crash(path, "SELECT count(*) FROM _sqlite_migrations") == [(version,)]
    assert version == (2 if place == 10_000 else version)
    monkeypatch.setattr(migrations, "STEPS", (*STEPS, SECOND))
    with open_book(path) as book:
        assert book.check().pages == ()
        assert len(book.balls("s1")) == 5
    assert rows(path, "PRAGMA user_version") == [(2,)]


def rows_after_crash(path: Path, sql: str) -> list[tuple[object, ...]]:
    connection = sqlite3.connect(path)
    try:
        return connection.execute(sql).fetchall()
    finally:
        connection.close()


def test_a_step_that_orphans_a_row_is_not_taken(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(migrations, "STEPS", (*STEPS, Step("2 bad", ("DELETE FROM sessions",))))
    with pytest.raises(MigrationFailed):
        open_book(path)
    assert rows(path, "SELECT count(*) FROM sessions") == [(1,)]


def test_without_its_backup_no_step_is_taken(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (path.parent / "backups").write_text("a file in the way")
    monkeypatch.setattr(migrations, "STEPS", (*STEPS, SECOND))
    with pytest.raises(Exception, match="backups"):
        open_book(path)
    assert rows(path, "PRAGMA user_version") == [(1,)]


def test_an_older_book_is_not_brought_forward_by_a_reader(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(migrations, "STEPS", (*STEPS, SECOND))
    with pytest.raises(MigrationFailed, match="older"):
        open_book(path, read_only=True)
    assert rows(path, "PRAGMA user_version") == [(1,)]


def test_a_newer_book_is_refused_by_version_or_by_name(path: Path) -> None:
    tamper(path, "PRAGMA user_version = 2")
    with pytest.raises(BookNewer):
        open_book(path)


@pytest.mark.parametrize("name", ["schema_1.db"])
def test_books_of_every_released_schema_open_with_all_their_rows(tmp_path: Path, name: str) -> None:
    shutil.copyfile(KEPT / name, tmp_path / name)
    os.chmod(tmp_path / name, 0o600)
    with open_book(tmp_path / name) as book:
        assert book.check().whole
        assert book.total_balls() == 150
        assert len(book.balls("session-000001", include_voided=True)) == 60
        assert len(book.edits()) == rows(KEPT / name, "SELECT count(*) FROM edits")[0][0]
        book.add_ball(ball(61, "session-000001", id="one more", setup=ball(1).setup.__class__(1.0, 30.0)))
    assert rows(KEPT / name, "SELECT count(*) FROM balls") == [(150,)]


@pytest.mark.parametrize(("name", "steps"), [("schema_1.db", 1)])
def test_a_released_step_is_never_edited(tmp_path: Path, name: str, steps: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(migrations, "STEPS", STEPS[:steps])
    opening.create_file(tmp_path / "now.db", START)
    assert schema_of(tmp_path / "now.db") == schema_of(KEPT / name)


def test_a_half_made_book_never_stands_at_its_place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(migrations, "STEPS", (*STEPS, Step("2 bad", ("UPDATE nothing SET a = 1",))))
    with pytest.raises(Exception, match="damaged"):
        opening.create_file(tmp_path / "book.db", START)
    assert list(tmp_path.iterdir()) == []
