"""JSON Lines: every row of a book, a `kind` in each, and the same book back from it."""

import json
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from rangelog.core.errors import Refused
from rangelog.exchange import cells
from rangelog.exchange.files import STANDARD, text_in, text_out
from rangelog.exchange.outcome import BadLine, Exported, Imported
from rangelog.exchange.taking import Progress, Source, no_progress, take_in
from rangelog.logbook.archive import Archive

_WRITE = json.JSONEncoder(ensure_ascii=False, separators=(", ", ": "), allow_nan=False).encode


def lines(archive: Archive) -> Iterator[str]:
    """Every row of a book as one line of JSON, parents before children."""
    for kind in archive.kinds():
        for row in archive.rows_of(kind):
            yield cells.escaped(_WRITE(row))


def export_jsonl(archive: Archive, target: Path | str = STANDARD, progress: Progress = no_progress) -> Exported:
    """Write a whole book as JSON Lines; "-" is standard output.

    Raises Refused where the target cannot be written; what stood there is then unchanged.
    """
    counts: dict[str, int] = {}
    with text_out(target) as stream:
        for kind in archive.kinds():
            counts[kind] = 0
            for row in archive.rows_of(kind):
                stream.write(cells.escaped(_WRITE(row)))
                stream.write("\n")
                counts[kind] += 1
                if not counts[kind] % 1000:
                    progress(1000)
    return Exported(counts, "standard output" if str(target) == STANDARD else str(target))


def import_jsonl(
    archive: Archive, source: Path | str, *, dry_run: bool = False, same_player: bool = False, progress: Progress = no_progress
) -> Imported:
    """Take the rows of an export into a book; taking them in again changes nothing.

    Args:
        archive: a book that may be written, empty or of the same player.
        source: file, or "-" for standard input.
        dry_run: check everything and write nothing.
        same_player: the player has said that the two are one, though their ids differ; never across hands.
        progress: called with the number of lines read since the last call.

    Raises:
        Refused: no such file, or the rows are of another player or of the other hand; nothing is changed then.
    """
    with text_in(source) as stream:
        return take_in(archive, parsed(stream, progress), dry_run=dry_run, same_player=same_player)


def restore(source: Path | str, path: Path | str, progress: Progress = no_progress) -> Imported:
    """Lay an export down as a new book at a free path.

    Raises:
        Refused: there is something at the path already, or there is no such file.
    """
    book = Path(path)
    if book.exists():
        raise Refused(f"{book} is there already.", "Name another file.")
    with Archive.take(book, daily_backup=False) as archive:
        return import_jsonl(archive, source, progress=progress)


def parsed(stream: Iterable[str], progress: Progress = no_progress) -> Source:
    """Rows of lines with their line numbers; a line that is no row comes as a BadLine."""
    for number, line in enumerate(stream, start=1):
        if not number % 1000:
            progress(1000)
        if line.strip():
            row = _row(line)
            yield number, row if row is not None else BadLine(number, "Not a JSON object.")


def _row(line: str) -> Mapping[str, Any] | None:
    try:
        row = json.loads(line, parse_constant=_no_number)
    except (ValueError, RecursionError):
        return None
    return row if isinstance(row, dict) else None


def _no_number(word: str) -> None:
    raise ValueError(f"{word} is no number")
