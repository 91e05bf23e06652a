"""The demo book: invented balls, brought in from their JSON Lines file."""

from __future__ import annotations

import sysconfig
from pathlib import Path

import rangelog
from rangelog import paths
from rangelog.core.errors import RangelogError

DEMO_FILE = "season.jsonl"


def demo_data() -> Path:
    """The invented season, beside the package or where it was installed.

    Raises:
        RangelogError: this installation came without it.
    """
    beside = Path(rangelog.__file__).parent.parent / "demo_data" / DEMO_FILE
    installed = Path(sysconfig.get_path("data")) / "share" / "rangelog" / DEMO_FILE
    for place in (beside, installed):
        if place.is_file():
            return place
    raise RangelogError("The demo data did not come with this installation.", "Run it from a clone of the project.")


def lay_down(to: Path | None = None) -> Path:
    """A fresh demo book; an older one of ours in the cache folder is replaced, any other file is left alone.

    Raises:
        RangelogError: a file is in the way, or the folder cannot be written.
    """
    from rangelog.exchange.jsonl import import_jsonl
    from rangelog.logbook.archive import Archive

    path = to or paths.cache_folder() / "demo" / "demo.book"
    if to is not None and to.exists():
        raise RangelogError(f"{to} is there already.", "Name another file.")
    if to is None:
        for old in path.parent.glob("demo.book*"):
            old.unlink()
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    with Archive.open(path) as archive:
        import_jsonl(archive, demo_data())
    return path
