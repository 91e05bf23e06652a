"""What several commands share: the book they mean, JSON output, and a progress bar for what takes over a second."""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangelog import paths

if TYPE_CHECKING:
    from rangelog.logbook.archive import Archive

ROWS_A_SECOND = 20_000
"""About how many rows a second an import or export handles; what is expected to take longer gets a bar."""

as_json_option = click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")


def book_of(choices: dict[str, Any]) -> Path:
    """The book that was named, or the player's own."""
    named: Path | None = choices["book"]
    return named or paths.default_book()


def open_archive(choices: dict[str, Any], *, read_only: bool = True) -> Archive:
    """The book, open as a whole. Raises a RangelogError where it cannot be used; a missing one is never begun here."""
    from rangelog.logbook.archive import Archive

    return Archive.look(book_of(choices)) if read_only else Archive.take(book_of(choices), create=False)


def finite(value: Any) -> Any:
    """The same with null for what is infinite or no number, since JSON knows neither."""
    if isinstance(value, dict):
        return {str(key): finite(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [finite(item) for item in value]
    if isinstance(value, float) and not math.isfinite(value):
        return None
    if isinstance(value, Path):
        return str(value)
    return value


def print_json(value: Any) -> None:
    """One JSON object on standard output."""
    click.echo(json.dumps(finite(value), ensure_ascii=False, default=str))


@contextmanager
def bar(label: str, rows: int) -> Iterator[Callable[[int], None]]:
    """A progress bar on standard error for what takes over a second; nothing where that is no terminal."""
    if rows < ROWS_A_SECOND or not sys.stderr.isatty():
        yield lambda _: None
        return
    with click.progressbar(length=rows, label=label, file=sys.stderr) as shown:
        yield shown.update
