"""The book: one SQLite file per player, safe against crashes, full disks and second programs.

`Book` is the door; every error is a StoreError with a title and a next step.
"""

from rangelog.store.book import Book
from rangelog.store.desk import BadRow
from rangelog.store.errors import (
    BackupRefused,
    BookBusy,
    BookDamaged,
    BookElsewhere,
    BookEmpty,
    BookMissing,
    BookNewer,
    BookReadOnly,
    Clash,
    MigrationFailed,
    NotABook,
    NotSaved,
    OtherPlayer,
    StoreError,
    UnknownRow,
)
from rangelog.store.lock import Holder
from rangelog.store.sessions import SessionCount

__all__ = [
    "BackupRefused",
    "BadRow",
    "Book",
    "BookBusy",
    "BookDamaged",
    "BookElsewhere",
    "BookEmpty",
    "BookMissing",
    "BookNewer",
    "BookReadOnly",
    "Clash",
    "Holder",
    "MigrationFailed",
    "NotABook",
    "NotSaved",
    "OtherPlayer",
    "SessionCount",
    "StoreError",
    "UnknownRow",
]
