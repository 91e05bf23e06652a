"""Back from a backup, and a bad file out of the way: only when asked, and never by deleting anything."""

import os
import sqlite3
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from rangelog.store import backup, errors, opening, places
from rangelog.store.lock import WriterLock


@dataclass(frozen=True, slots=True)
class Restored:
    """What restore did.

    Attributes:
        path: the book that stands now.
        balls: balls in it, voided ones too.
        aside: where the file that was there lies now, None where there was none.
    """

    path: Path
    balls: int
    aside: Path | None


def move_aside(path: Path | str, now: datetime) -> Path:
    """Give a file (and its journal) a dated name beside it and return that name.

    Raises BookMissing, BackupRefused where another program holds the book or the folder cannot be written.
    """
    book = opening.settled(path)
    if not book.exists():
        raise errors.BookMissing(f"There is no file at {book}.", "Check the path.")
    lock = _locked(book, now)
    try:
        return _aside(book, now)
    finally:
        lock.release()


def _aside(book: Path, now: datetime) -> Path:
    stamp = now.strftime("%Y-%m-%dT%H%M%S")
    aside = places.free_name(book.with_name(f"{book.stem}.aside-{stamp}{book.suffix}"))
    try:
        # the book first: a book left without the journal that belongs to it would read wrong
        book.rename(aside)
        with suppress(FileNotFoundError):
            opening.journal_path(book).rename(opening.journal_path(aside))
        places.sync_folder(book.parent)
    except OSError as error:
        raise errors.BackupRefused(f"{book.name} cannot be moved: {error.strerror}.", "Check the folder.") from error
    return aside


def _locked(book: Path, now: datetime) -> WriterLock:
    lock = WriterLock(book)
    try:
        holder = lock.take(now)
    except (OSError, NotImplementedError) as error:
        raise errors.BackupRefused(f"The folder of {book.name} cannot be written.", "Check its permissions.") from error
    if holder is not None:
        raise errors.BackupRefused(f"{holder} holds the book.", "Close it first.")
    return lock


def restore(source: Path | str, to: Path | str, *, now: datetime, move_old_aside: bool = False) -> Restored:
    """Make a backup the book again. What stood there is moved aside when `move_old_aside` allows it, never deleted.

    Raises BookMissing where there is no such backup, BackupRefused where it is not whole, where a file is in the way, or where another
    program holds the book. Then everything is as it was.
    """
    kept, book = opening.settled(source), opening.settled(to)
    if not kept.is_file():
        raise errors.BookMissing(f"There is no backup at {kept}.", "Check the path.")
    if backup.balls_in(kept) < 0:
        raise errors.BackupRefused(f"{kept.name} cannot be read as a book.", "Choose another backup.")
    try:
        places.make_private_folder(book.parent)
    except OSError as error:
        raise errors.BackupRefused(f"The folder {book.parent} cannot be made.", "Check its permissions.") from error
    lock = _locked(book, now)
    try:
        in_the_way = os.path.lexists(book) or opening.journal_path(book).exists()
        if in_the_way and not move_old_aside:
            raise errors.BackupRefused(f"{book.name} is still there.", "Allow it to be moved aside; it is kept.")
        places.sweep(book.parent, book.name)
        draft = book.with_name(f".{book.name}.restored.new")
        balls = _copy(kept, draft)
        aside = None
        if in_the_way:
            aside = _aside_or_journal(book, now)
        places.give_name(draft, book)
        places.sync_folder(book.parent)
    except OSError as error:
        raise errors.BackupRefused(f"{book.name} cannot be put in its place: {error.strerror}.", "What was there is kept.") from error
    finally:
        lock.release()
    return Restored(book, balls, aside)


def _aside_or_journal(book: Path, now: datetime) -> Path:
    """Move the old book aside; a journal without a book goes alone."""
    if os.path.lexists(book):
        return _aside(book, now)
    journal = opening.journal_path(book)
    aside = places.free_name(journal.with_name(f"{journal.name}.aside-{now.strftime('%Y-%m-%dT%H%M%S')}"))
    journal.rename(aside)
    return aside


def _copy(kept: Path, draft: Path) -> int:
    try:
        connection = sqlite3.connect(f"{kept.as_uri()}?mode=ro", uri=True, timeout=0, isolation_level=None)
    except sqlite3.Error as error:
        raise errors.not_read(error, kept) from error
    try:
        return backup.copy_to(connection, draft)
    finally:
        connection.close()
