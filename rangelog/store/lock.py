"""One writer per book: a lock of the operating system beside the file, and a note of who holds it.

The lock itself dies with its process, so a crash leaves nothing to clear away. The note may be left over; it is only believed
while somebody holds the lock.
"""

import json
import os
import socket
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from rangelog.store import places

if TYPE_CHECKING:
    from filelock import BaseFileLock


@dataclass(frozen=True, slots=True)
class Holder:
    """Who has the book open for writing. `process_id` 0 and empty texts where it cannot be told."""

    process_id: int = 0
    host: str = ""
    since: str = ""

    def __str__(self) -> str:
        if not self.process_id:
            return "another program"
        place = "" if self.host == socket.gethostname() else f" on {self.host}"
        return f"another Rangelog (process {self.process_id}{place}, since {self.since[:16].replace('T', ' ')})"


def lock_path(book: Path) -> Path:
    """The file that is locked."""
    return book.with_name(book.name + ".lock")


def holder_path(book: Path) -> Path:
    """The note of who holds it."""
    return book.with_name(book.name + ".holder")


def read_holder(book: Path) -> Holder:
    """The note beside a book, or an unknown holder where it is missing or makes no sense."""
    try:
        found = json.loads(holder_path(book).read_text(encoding="utf-8"))
        return Holder(int(found["process_id"]), str(found["host"]), str(found["since"]))
    except (OSError, ValueError, KeyError, TypeError):
        return Holder()


class WriterLock:
    """The right to write a book, held from take() to release()."""

    def __init__(self, book: Path) -> None:
        self.book = book
        self._lock: BaseFileLock | None = None

    def take(self, now: datetime) -> Holder | None:
        """Take the lock without waiting.

        Returns None when it is ours now, else who holds it. Raises OSError where the folder cannot be written.
        """
        from filelock import FileLock, Timeout

        lock = FileLock(str(lock_path(self.book)), timeout=0, mode=0o600, thread_local=False)
        try:
            lock.acquire()
        except Timeout:
            return read_holder(self.book)
        self._lock = lock
        self._sign(now)
        return None

    def _sign(self, now: datetime) -> None:
        note = holder_path(self.book)
        draft = note.with_name(note.name + ".new")
        draft.unlink(missing_ok=True)
        try:
            places.make_private_file(draft)
            mine = Holder(os.getpid(), socket.gethostname(), now.isoformat(timespec="seconds"))
            draft.write_text(json.dumps(asdict(mine)), encoding="utf-8")
            draft.replace(note)
        except OSError:
            # a full disk must not keep the player out: the lock counts, the note is a courtesy
            draft.unlink(missing_ok=True)

    def release(self) -> None:
        """Give the lock back; harmless when it is not held."""
        if self._lock is None:
            return
        holder_path(self.book).unlink(missing_ok=True)
        self._lock.release()
        self._lock = None
