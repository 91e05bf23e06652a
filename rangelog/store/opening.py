"""From a path to an open connection: what the file is, who holds it, whether it may be written; an error leaves it untouched."""

import os
import sqlite3
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from rangelog.store import backup, errors, migrations, places, schema
from rangelog.store.lock import Holder, WriterLock
from rangelog.store.opened import Opened

LEAST_SQLITE = (3, 37, 0)
OPENING_PATIENCE_S = 2.0
_CACHE_KIB = 65536

_PRAGMAS = (
    "foreign_keys = ON",
    "synchronous = EXTRA",
    "fullfsync = ON",
    "checkpoint_fullfsync = ON",
    "trusted_schema = OFF",
    "cell_size_check = ON",
    "temp_store = MEMORY",
    f"cache_size = -{_CACHE_KIB}",
)


def connect(path: Path, *, query_only: bool) -> sqlite3.Connection:
    """A connection with our pragmas, that waits a little where a commit of another is under way. The file must exist.

    Raises sqlite3.Error.

    A reader also opens for writing where it may, since only then can SQLite roll back what a crash left half written.
    """
    connection = sqlite3.connect(f"{path.as_uri()}?mode=rw", uri=True, timeout=OPENING_PATIENCE_S, isolation_level=None)
    try:
        for pragma in _PRAGMAS:
            connection.execute(f"PRAGMA {pragma}")
        if query_only:
            connection.execute("PRAGMA query_only = ON")
    except sqlite3.Error:
        connection.close()
        raise
    return connection


def settled(path: Path | str) -> Path:
    """An absolute path with links resolved, so that two names of one file meet one lock. Raises BookElsewhere."""
    try:
        return Path(path).expanduser().resolve()
    except (OSError, RuntimeError, ValueError) as error:
        raise errors.BookElsewhere(f"{path} is no path that can be followed.", "Check the path.") from error


def open_book(path: Path | str, *, read_only: bool, create: bool, now: Callable[[], datetime], daily_backup: bool) -> Opened:
    """Open or create a book. See Book.open for what is raised."""
    if sqlite3.sqlite_version_info < LEAST_SQLITE:
        raise errors.StoreError("The SQLite of this Python is too old.", f"Version {'.'.join(map(str, LEAST_SQLITE))} or newer is needed.")
    book = settled(path)
    look(book, may_create=create and not read_only)
    if read_only:
        return _reader(book, "the book was opened for reading only", None)
    lock = WriterLock(book)
    try:
        places.make_private_folder(book.parent)
        holder = lock.take(now())
    except (OSError, NotImplementedError) as error:
        if not book.exists():
            raise errors.BookElsewhere(f"{book} cannot be made.", "Choose a folder that can be written.") from error
        return _reader(book, "its folder cannot be written", None)
    if holder is not None:
        return _reader(book, f"{holder} holds the book", holder)
    try:
        return _writer(book, lock, now, daily_backup)
    except BaseException:
        lock.release()
        raise


def look(book: Path, *, may_create: bool) -> None:
    """Refuse what is no book before anything is touched."""
    try:
        size = os.stat(book).st_size
        is_file = book.is_file()
    except FileNotFoundError:
        _refuse_or_create(book, may_create)
        return
    except (OSError, ValueError) as error:
        raise errors.BookElsewhere(f"{book} cannot be reached.", "Check the path and its permissions.") from error
    if not is_file:
        raise errors.NotABook(f"{book} is not a file.", "Give the path of a book.")
    if size == 0:
        raise errors.BookEmpty(f"{book.name} is empty: its balls are lost from this file.", _offer(book) or "Move it away to start anew.")


def _refuse_or_create(book: Path, may_create: bool) -> None:
    if not may_create:
        raise errors.BookMissing(f"There is no book at {book}.", _offer(book) or "Check the path.")
    if journal_path(book).exists():
        raise errors.BookMissing(f"{book.name} is gone, but its journal is still there.", _offer(book) or "Put the book back beside it.")
    offer = _offer(book)
    if offer:
        raise errors.BookMissing(f"{book.name} is gone, but its backups are still there.", offer)


def _offer(book: Path) -> str:
    """The next step where a good backup is there."""
    newest = backup.newest_good(book)
    if newest is None:
        return ""
    return f"Go back to {newest.path.name} ({newest.balls} balls) with: rangelog backup --restore newest"


def journal_path(book: Path) -> Path:
    """SQLite's rollback journal of a book."""
    return book.with_name(book.name + "-journal")


def _reader(book: Path, reason: str, holder: Holder | None) -> Opened:
    if not book.exists():
        raise errors.BookBusy(f"{book.name} is just being made by another program.", "Try again in a moment.")
    connection = _gated(book, query_only=True)
    try:
        if len(migrations.applied(connection)) < len(migrations.STEPS):
            raise errors.MigrationFailed(f"{book.name} is from an older Rangelog.", "Open it once for writing to bring it forward.")
    except BaseException:
        connection.close()
        raise
    return Opened(book, _waiting_for_nobody(connection), None, reason, holder, _warnings(book))


def _writer(book: Path, lock: WriterLock, now: Callable[[], datetime], daily_backup: bool) -> Opened:
    places.sweep(book.parent, book.name)
    places.sweep(backup.folder_of(book), book.name)
    if not book.exists():
        create_file(book, now())
    if not os.access(book, os.W_OK) or not os.access(book.parent, os.W_OK):
        lock.release()
        return _reader(book, "its file or folder cannot be written", None)
    connection = _gated(book, query_only=False)
    try:
        opened = Opened(book, connection, lock, "", None, _warnings(book))
        _journal_mode(connection, book)
        _bring_forward(connection, book, now())
        if daily_backup:
            _try_daily(opened, now())
        _waiting_for_nobody(connection)
    except BaseException:
        connection.close()
        raise
    return opened


def _waiting_for_nobody(connection: sqlite3.Connection) -> sqlite3.Connection:
    """From now on the book itself waits and retries, so that a screen is never frozen inside SQLite."""
    connection.execute("PRAGMA busy_timeout = 0")
    return connection


def _warnings(book: Path) -> list[str]:
    kind = places.network_kind(book)
    return [f"The book lies on a network file system ({kind}); keep it on a disk of this computer."] if kind else []


def _gated(book: Path, *, query_only: bool) -> sqlite3.Connection:
    """A connection to what is a Rangelog book of a version we know. Raises NotABook, BookNewer, BookDamaged, BookElsewhere."""
    try:
        connection = connect(book, query_only=query_only)
    except sqlite3.Error as error:
        raise errors.not_read(error, book) from error
    try:
        (mark,) = _first(connection, "PRAGMA application_id")
        (version,) = _first(connection, "PRAGMA user_version")
        names = migrations.applied(connection)
    except sqlite3.Error as error:
        connection.close()
        raise errors.not_read(error, book) from error
    known = tuple(step.name for step in migrations.STEPS)
    if mark != schema.APPLICATION_ID:
        connection.close()
        raise errors.NotABook(f"{book.name} is a database of another program.", "Check the path; nothing was changed.")
    if version > len(known) or not set(names) <= set(known):
        connection.close()
        raise errors.BookNewer(f"{book.name} was written by a newer Rangelog.", "Update Rangelog; nothing was changed.")
    return connection


def _first(connection: sqlite3.Connection, sql: str) -> tuple[int]:
    row: tuple[int] = connection.execute(sql).fetchone()
    return row


def _journal_mode(connection: sqlite3.Connection, book: Path) -> None:
    """Rollback journal, whatever another tool made of the file."""
    try:
        (mode,) = connection.execute("PRAGMA journal_mode = DELETE").fetchone()
    except sqlite3.Error as error:
        raise errors.not_read(error, book) from error
    if mode != "delete":
        raise errors.BookBusy(f"{book.name} is open in another program.", "Close it and try again.")


def create_file(book: Path, now: datetime) -> None:
    """Make a new book under a temporary name and give it its own only when it is whole and on the disk.

    So a crash never leaves a half-made book, and an empty file always means loss. Raises BookElsewhere.
    """
    draft = places.draft_beside(book)
    try:
        with suppress(FileNotFoundError):
            draft.unlink()
        places.make_private_file(draft)
        connection = connect(draft, query_only=False)
        try:
            migrations.build(connection, now, migrations.STEPS)
        finally:
            connection.close()
        places.sync_file(draft)
        places.give_name(draft, book)
        places.sync_folder(book.parent)
    except FileExistsError as error:
        raise errors.BookBusy(f"{book.name} has just been made by another program.", "Open it again.") from error
    except sqlite3.Error as error:
        raise errors.not_read(error, book) from error
    except OSError as error:
        raise errors.BookElsewhere(f"{book} cannot be made.", "Choose a folder that can be written.") from error
    finally:
        for left in (draft, journal_path(draft)):
            with suppress(OSError):
                left.unlink()


def _bring_forward(connection: sqlite3.Connection, book: Path, now: datetime) -> None:
    """Take pending steps of the schema, with a backup before."""
    done = len(migrations.applied(connection))
    if done == len(migrations.STEPS):
        return
    backup.before_migration(connection, book, now, done)
    try:
        migrations.forward(connection, migrations.STEPS)
        (verdict,) = connection.execute("PRAGMA quick_check(1)").fetchone()
    except sqlite3.Error as error:
        title = f"{book.name} could not be brought forward: {error}."
        raise errors.MigrationFailed(title, "It stands as it was; a backup was made.") from error
    if verdict != "ok":
        raise errors.BookDamaged(f"{book.name} is damaged: {verdict}.", "A backup from before was made. Run: rangelog check")


def _try_daily(opened: Opened, now: datetime) -> None:
    """The backup of the day; where it fails the player is told and plays on."""
    try:
        backup.daily(opened.connection, opened.path, now)
    except (errors.StoreError, OSError) as error:
        opened.warnings.append(f"No backup was made today: {error}")


def open_for_check(path: Path | str) -> sqlite3.Connection:
    """A reading connection to a file that may be damaged. Raises as Book.open, but not for damage past the header."""
    book = settled(path)
    look(book, may_create=False)
    return _gated(book, query_only=True)
