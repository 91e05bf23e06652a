"""Every answer of SQLite becomes one clear line."""

import sqlite3
from pathlib import Path

import pytest

from rangelog.core.errors import OffScale, RangelogError
from rangelog.store import errors

BOOK = Path("/range/book.db")


def sqlite_error(name: str, kind: type[sqlite3.Error] = sqlite3.OperationalError, text: str = "words of SQLite") -> sqlite3.Error:
    error = kind(text)
    error.sqlite_errorname = name  # type: ignore[misc]
    return error


@pytest.mark.parametrize(
    ("name", "cause"),
    [
        ("SQLITE_BUSY", "busy"),
        ("SQLITE_LOCKED", "busy"),
        ("SQLITE_FULL", "disk full"),
        ("SQLITE_READONLY", "read-only"),
        ("SQLITE_READONLY_DIRECTORY", "read-only"),
        ("SQLITE_CANTOPEN", "read-only"),
        ("SQLITE_CORRUPT_VTAB", "damaged"),
        ("SQLITE_NOTADB", "damaged"),
        ("SQLITE_TOOBIG", "too long"),
        ("SQLITE_IOERR_FSYNC", "disk error"),
        ("", "disk error"),
    ],
)
def test_a_failed_write_says_not_saved_and_why(name: str, cause: str) -> None:
    told = errors.not_saved(sqlite_error(name), BOOK)
    assert told.cause == cause
    assert told.title.startswith("Not saved")
    assert told.next_step


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("SQLITE_BUSY", errors.BookBusy),
        ("SQLITE_NOTADB", errors.NotABook),
        ("SQLITE_CORRUPT", errors.BookDamaged),
        ("SQLITE_IOERR_READ", errors.BookDamaged),
        ("SQLITE_CANTOPEN", errors.BookElsewhere),
        ("SQLITE_FULL", errors.BookElsewhere),
        ("", errors.BookDamaged),
    ],
)
def test_a_failed_read_has_its_kind(name: str, kind: type[errors.StoreError]) -> None:
    told = errors.not_read(sqlite_error(name), BOOK)
    assert type(told) is kind
    assert told.title
    assert told.next_step


@pytest.mark.parametrize(
    ("name", "text", "kind"),
    [
        ("SQLITE_CONSTRAINT_CHECK", "CHECK constraint failed: start_deg BETWEEN -45.0 AND 45.0", OffScale),
        ("SQLITE_CONSTRAINT_FOREIGNKEY", "FOREIGN KEY constraint failed", errors.UnknownRow),
        ("SQLITE_CONSTRAINT_UNIQUE", "UNIQUE constraint failed: balls.session_id, balls.seq", errors.Clash),
    ],
)
def test_a_row_that_does_not_fit_is_told(name: str, text: str, kind: type[RangelogError]) -> None:
    error = sqlite_error(name, sqlite3.IntegrityError, text)
    assert isinstance(error, sqlite3.IntegrityError)
    assert type(errors.misfit(error)) is kind
