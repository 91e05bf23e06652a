"""Dated copies beside the book, checked before they count, pruned to 7 days and 4 months; and back again."""

import os
import re
import sqlite3
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from rangelog.store import errors, places, schema

DAYS_KEPT = 7
MONTHS_KEPT = 4

PAGES_A_STEP = 256
BETWEEN_STEPS_S = 0.005
TRIES_IN_STEPS = 4


@dataclass(frozen=True, slots=True)
class Backup:
    """One backup file.

    Attributes:
        path: where it lies.
        day: date in its name.
        balls: balls in it, voided ones too; -1 where it cannot be read.
        schema: 0 for a backup of a day, else the schema version before a migration.
    """

    path: Path
    day: date
    balls: int
    schema: int = 0


def folder_of(book: Path) -> Path:
    """The folder of a book's backups."""
    return book.parent / "backups"


def name_for(book: Path, day: date, before_schema: int = 0) -> str:
    """Name of a backup: the book's own name, the date, and the schema where it was made before a migration."""
    mark = f".schema{before_schema}" if before_schema else ""
    return f"{book.name}.{day.isoformat()}{mark}.db"


def all_of(book: Path) -> list[Backup]:
    """Backups of a book, oldest first. Reads the number of balls from each."""
    pattern = re.compile(re.escape(book.name) + r"\.(\d{4}-\d{2}-\d{2})(?:\.schema(\d+))?\.db")
    found = []
    try:
        names = sorted(os.listdir(folder_of(book)))
    except OSError:
        return []
    for name in names:
        match = pattern.fullmatch(name)
        if match is None:
            continue
        with suppress(ValueError):
            path = folder_of(book) / name
            found.append(Backup(path, date.fromisoformat(match[1]), balls_in(path), int(match[2] or 0)))
    return sorted(found, key=lambda item: (item.day, item.path.name))


def newest_good(book: Path) -> Backup | None:
    """The newest backup that can be read and holds balls."""
    good = [item for item in all_of(book) if item.balls > 0]
    return good[-1] if good else None


def _look_into(path: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True, timeout=0, isolation_level=None)


def balls_in(path: Path) -> int:
    """Balls in a file, -1 where it is no readable book."""
    try:
        connection = _look_into(path)
    except sqlite3.Error:
        return -1
    try:
        if connection.execute("PRAGMA application_id").fetchone() != (schema.APPLICATION_ID,):
            return -1
        count: int = connection.execute("SELECT count(*) FROM balls").fetchone()[0]
        return count
    except sqlite3.Error:
        return -1
    finally:
        connection.close()


def copy_to(connection: sqlite3.Connection, target: Path) -> int:
    """A whole, checked copy of the open book under a name that is free or may be replaced; returns its number of balls.

    Made beside the target, checked, synced, and only then named. Raises BackupRefused where the copy is not whole or cannot be
    written; the target is then as it was.
    """
    draft = places.draft_beside(target)
    try:
        with suppress(FileNotFoundError):
            draft.unlink()
        places.make_private_file(draft)
        _copy_into(connection, draft)
        balls = _checked(draft)
        places.sync_file(draft)
        draft.replace(target)
        places.sync_folder(target.parent)
    except sqlite3.Error as error:
        raise errors.BackupRefused(f"The copy could not be made: {error}.", "Check the disk; the book itself is untouched.") from error
    except OSError as error:
        raise errors.BackupRefused(
            f"The copy could not be made: {error.strerror}.", "Check the folder; the book itself is untouched."
        ) from error
    finally:
        with suppress(OSError):
            draft.unlink()
    return balls


def _copy_into(connection: sqlite3.Connection, draft: Path) -> None:
    """Copy the book a few pages at a time, so that a ball that is hit meanwhile gets its turn to be stored.

    A commit makes the copy begin again; a player who is quicker than the copy time and again is asked to wait for one whole copy.
    """
    remaining: list[int] = []

    def turn(_status: int, left: int, _total: int) -> None:
        if len(remaining) >= TRIES_IN_STEPS:
            raise _Overtaken
        if not remaining or left > remaining[-1]:
            remaining.append(left)
        remaining[-1] = left

    target = sqlite3.connect(draft, isolation_level=None)
    try:
        try:
            connection.backup(target, pages=PAGES_A_STEP, progress=turn, sleep=BETWEEN_STEPS_S)
        except _Overtaken:
            connection.backup(target)
    finally:
        target.close()


class _Overtaken(Exception):
    """The book changed too often while it was copied in steps."""


def _checked(path: Path) -> int:
    """Number of balls of a file that passes quick_check. Raises sqlite3.DatabaseError where it does not."""
    connection = _look_into(path)
    try:
        (verdict,) = connection.execute("PRAGMA quick_check(1)").fetchone()
        if verdict != "ok":
            raise sqlite3.DatabaseError(verdict)
        count: int = connection.execute("SELECT count(*) FROM balls").fetchone()[0]
        return count
    finally:
        connection.close()


def daily(connection: sqlite3.Connection, book: Path, now: datetime) -> Path | None:
    """The backup of the day, once a day; None where it is there already or there is no ball to keep. Prunes afterwards.

    Raises BackupRefused.
    """
    target = folder_of(book) / name_for(book, now.date())
    if target.exists() or not connection.execute("SELECT EXISTS (SELECT 1 FROM balls)").fetchone()[0]:
        return None
    return make(connection, book, now)


def make(connection: sqlite3.Connection, book: Path, now: datetime, before_schema: int = 0) -> Path:
    """A backup now. One with more balls is never replaced. Raises BackupRefused."""
    folder = folder_of(book)
    target = folder / name_for(book, now.date(), before_schema)
    try:
        places.make_private_folder(folder)
    except OSError as error:
        raise errors.BackupRefused(f"The folder {folder} cannot be made.", "Check its permissions.") from error
    if target.exists():
        held, mine = balls_in(target), connection.execute("SELECT count(*) FROM balls").fetchone()[0]
        if held > mine:
            raise errors.BackupRefused(
                f"Today's backup holds {held} balls, the book only {mine}.", f"It is kept. Move {target.name} away to make another."
            )
    copy_to(connection, target)
    prune(book)
    return target


def before_migration(connection: sqlite3.Connection, book: Path, now: datetime, version: int) -> Path:
    """The backup that a migration may not go without. Raises BackupRefused."""
    return make(connection, book, now, max(version, 1))


def prune(book: Path) -> list[Path]:
    """Remove all but the last 7 daily and 4 monthly backups; the fullest one and those before migrations stay. Returns what went."""
    days = [item for item in all_of(book) if not item.schema and item.balls >= 0]
    if not days:
        return []
    months = {(item.day.year, item.day.month): item for item in reversed(days)}
    monthly = [months[month] for month in sorted(months)[-MONTHS_KEPT:]]
    fullest = max(days, key=lambda item: (item.balls, item.day))
    kept = {item.path for item in (*days[-DAYS_KEPT:], *monthly, fullest)}
    gone = []
    for item in days:
        if item.path not in kept:
            with suppress(OSError):
                item.path.unlink()
                gone.append(item.path)
    return gone


def save_copy(connection: sqlite3.Connection, target: Path) -> int:
    """A whole copy under a free name; returns its number of balls. Raises BackupRefused."""
    if os.path.lexists(target):
        raise errors.BackupRefused(f"{target.name} is there already.", "Choose another name.")
    try:
        places.make_private_folder(target.parent)
    except OSError as error:
        raise errors.BackupRefused(f"The folder {target.parent} cannot be made.", "Choose another one.") from error
    return copy_to(connection, target)
