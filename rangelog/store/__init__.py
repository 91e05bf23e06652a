"""The book: one SQLite file per player, safe against crashes, full disks and second programs.

`Book` is the door, `TeeBook` the part of it that a key needs; every error is a StoreError with a title and a next step.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
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
    from rangelog.store.tee_book import TeeBook

_PLACES = {
    "BackupRefused": "errors",
    "BadRow": "desk",
    "Book": "book",
    "BookBusy": "errors",
    "BookDamaged": "errors",
    "BookElsewhere": "errors",
    "BookEmpty": "errors",
    "BookMissing": "errors",
    "BookNewer": "errors",
    "BookReadOnly": "errors",
    "Clash": "errors",
    "Holder": "lock",
    "MigrationFailed": "errors",
    "NotABook": "errors",
    "NotSaved": "errors",
    "OtherPlayer": "errors",
    "SessionCount": "sessions",
    "StoreError": "errors",
    "TeeBook": "tee_book",
    "UnknownRow": "errors",
}


def __getattr__(name: str) -> Any:
    """A public name, loaded when it is first asked for (PEP 562): the tee must not pay for reviews and merges."""
    if name not in _PLACES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"rangelog.store.{_PLACES[name]}"), name)


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
    "TeeBook",
    "UnknownRow",
]
