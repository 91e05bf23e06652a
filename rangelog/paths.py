"""Where things lie on this computer. Nothing is created here."""

import os
from collections.abc import Mapping
from pathlib import Path

BOOK_VARIABLE = "RANGELOG_BOOK"
BOOK_NAME = "rangelog.db"


def data_folder() -> Path:
    """Folder of the book and its backups."""
    import platformdirs

    return Path(platformdirs.user_data_dir("rangelog", appauthor=False))


def settings_file() -> Path:
    """The player's settings."""
    import platformdirs

    return Path(platformdirs.user_config_dir("rangelog", appauthor=False)) / "settings.toml"


def cache_folder() -> Path:
    """What may be lost: crash reports and other leftovers."""
    import platformdirs

    return Path(platformdirs.user_cache_dir("rangelog", appauthor=False))


def default_book(environment: Mapping[str, str] = os.environ) -> Path:
    """The book to open when none is named: RANGELOG_BOOK where it is set and not empty, else the one in the data folder."""
    named = environment.get(BOOK_VARIABLE, "").strip()
    return Path(named).expanduser() if named else data_folder() / BOOK_NAME


def backups_folder(book: Path) -> Path:
    """Where the backups of a book lie: beside it."""
    return book.parent / "backups"
