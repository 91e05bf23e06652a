"""What can go wrong with a book, each with one clear line and a next step."""

import sqlite3
from pathlib import Path

from rangelog.core.errors import OffScale, RangelogError


class StoreError(RangelogError):
    """Base of every error about the book file."""


class NotSaved(StoreError):
    """A change did not reach the disk; the caller still holds it and may try again with the same ids.

    Attributes:
        cause: "busy", "disk full", "read-only", "replaced", "damaged" or "disk error".
    """

    def __init__(self, cause: str, title: str, next_step: str = "") -> None:
        super().__init__(title, next_step)
        self.cause = cause


class BookReadOnly(NotSaved):
    """The book was opened for reading only."""

    def __init__(self, title: str, next_step: str = "") -> None:
        super().__init__("read-only", title, next_step)


class BookBusy(StoreError):
    """A read met a writer that did not finish in time."""


class BookMissing(StoreError):
    """There is no book at this path, or it is gone though its backups are still there."""


class BookEmpty(StoreError):
    """A file of zero bytes where a book should be: what was in it is lost, and it is not overwritten."""


class NotABook(StoreError):
    """The file is something else: not a database, or a database of another program."""


class BookDamaged(StoreError):
    """The file is truncated or a page of it cannot be read."""


class BookNewer(StoreError):
    """The book was written by a newer Rangelog."""


class BookElsewhere(StoreError):
    """The folder or file may not be read or written."""


class MigrationFailed(StoreError):
    """The book could not be brought to this version; it stands as it was."""


class BackupRefused(StoreError):
    """A backup or restore was declined so that nothing is lost."""


class UnknownRow(StoreError):
    """A change names a ball, block, form or session that is not in the book."""


class OtherPlayer(StoreError):
    """Rows of another player were about to be mixed into this book."""


class Clash(StoreError):
    """Two different balls claim one number in one session."""


_BUSY = frozenset({"SQLITE_BUSY", "SQLITE_LOCKED", "SQLITE_BUSY_SNAPSHOT", "SQLITE_BUSY_RECOVERY", "SQLITE_BUSY_TIMEOUT"})


def code_name(error: sqlite3.Error) -> str:
    """SQLite's own name of an error, empty where it gives none."""
    return getattr(error, "sqlite_errorname", None) or ""


def is_busy(error: sqlite3.Error) -> bool:
    """Whether another connection stands in the way, so that waiting may help."""
    return code_name(error) in _BUSY


def misfit(error: sqlite3.IntegrityError) -> RangelogError:
    """The typed error for a row that a CHECK, a link or a uniqueness of the book refused: a second net under the checks at the door."""
    if code_name(error) == "SQLITE_CONSTRAINT_CHECK":
        column = str(error).partition("failed: ")[2].split(" ")[0]
        return OffScale(column, f"Not saved: {column} is off its scale.")
    if code_name(error) == "SQLITE_CONSTRAINT_FOREIGNKEY":
        return UnknownRow("Not saved: what it belongs to is not in the book.")
    return Clash("Not saved: its number is taken.", f"The book says: {error}.")


def not_saved(error: sqlite3.Error, path: Path) -> NotSaved:
    """The typed error for a write that failed."""
    name = code_name(error)
    if is_busy(error):
        return NotSaved(
            "busy", "Not saved yet: another program is reading the book.", "It is tried again; close the other program if it lasts."
        )
    if name == "SQLITE_READONLY_DBMOVED":
        return NotSaved("replaced", "Not saved: the book was moved or replaced by another program.", "Save a copy under another name.")
    if name.startswith("SQLITE_FULL"):
        return NotSaved("disk full", "Not saved: the disk is full.", "Make room and try again, or choose another path.")
    if name.startswith(("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_AUTH")):
        return NotSaved("read-only", f"Not saved: {path.name} or its folder cannot be written.", "Make it writable or choose another path.")
    if name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return NotSaved("damaged", f"Not saved: {path.name} is damaged.", "Choose another path; then run: rangelog check")
    if name.startswith("SQLITE_TOOBIG"):
        return NotSaved("too long", "Not saved: the text is too long.", "Shorten it and try again.")
    return NotSaved(
        "disk error", f"Not saved: the disk answered with an error ({name or 'no code'}).", "Try again, or choose another path."
    )


def not_read(error: sqlite3.Error, path: Path) -> StoreError:
    """The typed error for an open or a read that failed."""
    name = code_name(error)
    if is_busy(error):
        return BookBusy(f"{path.name} is being written by another program.", "Try again in a moment.")
    if name == "SQLITE_READONLY_ROLLBACK":
        title = f"{path.name} was left in the midst of a change, and nothing can be written where it lies."
        return BookElsewhere(title, f"Copy it and {path.name}-journal to a disk that can be written, and open it there.")
    if name.startswith("SQLITE_NOTADB"):
        return NotABook(f"{path.name} is not a Rangelog book.", "Check the path; nothing was changed.")
    if name.startswith(("SQLITE_CANTOPEN", "SQLITE_PERM", "SQLITE_READONLY", "SQLITE_AUTH")):
        return BookElsewhere(f"{path} cannot be opened.", "Check the path and its permissions; nothing was changed.")
    if name.startswith("SQLITE_FULL"):
        return BookElsewhere("The disk is full.", "Make room, or choose another path.")
    if name.startswith("SQLITE_IOERR"):
        return BookDamaged(f"{path.name} cannot be read: the disk answered with an error.", "Copy it elsewhere, then run: rangelog check")
    return BookDamaged(f"{path.name} is damaged.", "Run: rangelog check. Nothing was changed.")
