"""An open file with what belongs to it, before it becomes a book."""

import sqlite3
from dataclasses import dataclass
from pathlib import Path

from rangelog.store.lock import Holder, WriterLock


@dataclass(slots=True)
class Opened:
    """What opening a file gave: see rangelog.store.opening."""

    path: Path
    connection: sqlite3.Connection
    lock: WriterLock | None
    read_only_reason: str
    holder: Holder | None
    warnings: list[str]
