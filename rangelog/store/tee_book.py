"""The book as the tee needs it: what a key touches, and nothing that only a review, a merge or a check would load."""

import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Self

from rangelog.core.times import local_now
from rangelog.store import backup, errors, opening
from rangelog.store.balls import Balls
from rangelog.store.people import People
from rangelog.store.sessions import Sessions

PATIENCE_S = 2.0


class TeeBook(People, Sessions, Balls):
    """An open book. Every change is one short transaction that is on the disk when the method returns.

    Every reading method is one short fetch, so that no open read stands in the way of a commit. All raise StoreError or one of its
    kinds. A book belongs to the thread that opened it; another thread opens its own with reader().
    """

    @classmethod
    def open(
        cls,
        path: Path | str,
        *,
        read_only: bool = False,
        create: bool = True,
        now: Callable[[], datetime] = local_now,
        sleep: Callable[[float], None] = time.sleep,
        patience_s: float = PATIENCE_S,
        daily_backup: bool = True,
    ) -> Self:
        """Open the book at a path, or make a new one.

        Held by another program, or on a place that cannot be written, it opens read-only and says why in read_only_reason.
        `patience_s` is how long a busy book is waited for; `sleep` does the waiting.

        Raises BookMissing, BookEmpty, NotABook, BookDamaged, BookNewer, BookElsewhere, BookBusy, MigrationFailed, BackupRefused (before a
        migration only). The file is then as it was.
        """
        opened = opening.open_book(path, read_only=read_only, create=create, now=now, daily_backup=daily_backup)
        try:
            return cls(opened, now, sleep, patience_s)
        except BaseException:
            opened.connection.close()
            if opened.lock is not None:
                opened.lock.release()
            raise

    def reader(self) -> Self:
        """A second, read-only view of the same file, for another thread or a review."""
        return type(self).open(self.path, read_only=True, now=self._now, sleep=self._sleep, patience_s=self._patience_s)

    def daily_backup(self) -> Path | None:
        """The backup of the day, unless it is there already or there is no ball to keep. Raises BackupRefused.

        For a program that opened with daily_backup=False so as to show its first screen sooner.
        """
        with self._waiting():
            return backup.daily(self._connection, self.path, self._now())

    def backup(self) -> Path:
        """Make today's backup now. Raises BackupRefused."""
        with self._waiting():
            return backup.make(self._connection, self.path, self._now())

    def save_copy(self, to: Path | str) -> int:
        """A whole copy of the book under a free name, also when the book's own file was moved or its disk is full.

        Returns its number of balls. Raises BackupRefused.
        """
        with self._waiting():
            return backup.save_copy(self._connection, opening.settled(to))

    @contextmanager
    def _waiting(self) -> Iterator[None]:
        """Backups read in many statements, which would each have to wait for a commit under way: here SQLite waits."""
        self._connection.execute(f"PRAGMA busy_timeout = {round(self._patience_s * 1000)}")
        try:
            yield
        except sqlite3.Error as error:
            raise errors.BackupRefused(f"The copy could not be made: {error}.", "Try again; the book itself is untouched.") from error
        finally:
            self._connection.execute("PRAGMA busy_timeout = 0")
