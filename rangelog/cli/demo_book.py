"""The demo book: invented balls, brought in from their JSON Lines file."""

from __future__ import annotations

import json
import sysconfig
from collections.abc import Iterable, Iterator
from datetime import datetime, timedelta
from pathlib import Path

import rangelog
from rangelog import paths
from rangelog.core.errors import RangelogError
from rangelog.core.times import local_now

DEMO_FILE = "season.jsonl"
SINCE_LAST_BALL = timedelta(minutes=2)
TIMES = frozenset({"at", "made_at", "started_at", "ended_at", "saved_utc"})


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


def shifted(lines: Iterable[str], now: datetime) -> Iterator[str]:
    """The season moved in time so that its last ball was hit a few minutes ago: the demo opens where it stopped."""
    rows = [json.loads(line) for line in lines]
    latest = max(datetime.fromisoformat(row["at"]) for row in rows if row["kind"] == "ball")
    move = now - SINCE_LAST_BALL - latest
    for row in rows:
        for name in TIMES & row.keys():
            if row[name]:
                row[name] = (datetime.fromisoformat(row[name]) + move).isoformat(timespec="milliseconds")
        yield json.dumps(row, ensure_ascii=False)


def lay_down(to: Path | None = None, now: datetime | None = None) -> Path:
    """A fresh demo book; an older one of ours in the cache folder is replaced, any other file is left alone.

    Raises:
        RangelogError: a file is in the way, or the folder cannot be written.
    """
    from rangelog.exchange.jsonl import parsed
    from rangelog.exchange.taking import take_in
    from rangelog.logbook.archive import Archive

    path = to or paths.cache_folder() / "demo" / "demo.db"
    if to is not None and to.exists():
        raise RangelogError(f"{to} is there already.", "Name another file.")
    if to is None:
        for old in path.parent.glob("demo.db*"):
            old.unlink()
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    with demo_data().open(encoding="utf-8") as lines, Archive.take(path, daily_backup=False) as archive:
        take_in(archive, parsed(shifted(lines, now or local_now())))
    return path
