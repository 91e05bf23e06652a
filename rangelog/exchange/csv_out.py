"""The balls of a book as CSV."""

import csv
from collections.abc import Callable, Iterator, Mapping
from operator import itemgetter
from pathlib import Path
from typing import Any

from rangelog.exchange import cells
from rangelog.exchange.csv_columns import COLUMNS, PARENTS
from rangelog.exchange.files import STANDARD, text_out
from rangelog.exchange.outcome import Exported
from rangelog.exchange.taking import Progress, no_progress
from rangelog.logbook.archive import BALL_COLUMNS, Archive

Row = Mapping[str, Any]

_FREE_TEXT = frozenset({"id", "session_id", "block_id", "prescription_id", "club_id", "target", "note", "code", "name"})
"""Fields that may hold any text; the others are numbers, times or words of closed vocabularies, which no spreadsheet misreads."""

_FLAGS = {0: "false", 1: "true"}


def _flag(value: Any) -> str:
    return _FLAGS.get(value, "")


def _text(value: Any) -> str:
    return cells.safe(cells.harmless(value)) if value else ""


_WRITERS: dict[str, Callable[[Any], str]] = {"text": _text, "number": cells.number, "whole": cells.number, "flag": _flag}


def rows(archive: Archive) -> Iterator[list[str]]:
    """The cells of every ball, in the order of COLUMNS; balls that were taken back are in it, and say so."""
    parents = {kind: _parents(archive, kind) for kind in PARENTS}
    player = next((found for key, found in parents["player"].items() if key is not None), parents["player"][None])
    links = [(BALL_COLUMNS.index(field), parents[kind]) for kind, field in PARENTS.items() if field]
    loose = [column for column in COLUMNS if column.kind in {"ball", ""}]
    in_order = itemgetter(*_places([column.name for column in loose]))
    changed = [
        (place, _WRITERS[column.form])
        for place, column in enumerate(loose)
        if column.kind and (column.form != "text" or column.field in _FREE_TEXT)
    ]
    taken = itemgetter(*(BALL_COLUMNS.index(column.field) for column in loose if column.kind))
    corrected = next(place for place, column in enumerate(loose) if not column.kind)
    start, correction = BALL_COLUMNS.index("start_deg"), BALL_COLUMNS.index("aim_correction_deg")
    for ball in archive.ball_cells():
        own = list(taken(ball))
        own.insert(corrected, None if ball[start] is None else cells.number(round(ball[start] - ball[correction], 6)))
        for place, write in changed:
            value = own[place]
            if value is not None:
                own[place] = write(value)
        held = player.copy()
        for field, known in links:
            held += known[ball[field]]
        yield list(in_order([*own, *held]))


def _places(loose: list[str]) -> list[int]:
    """Where each column of COLUMNS stands in a row of the ball's own cells followed by those of what it belongs to."""
    held = [column.name for kind in PARENTS for column in COLUMNS if column.kind == kind]
    return [[*loose, *held].index(column.name) for column in COLUMNS]


def _parents(archive: Archive, kind: str) -> dict[str | None, list[str]]:
    """Cells of every row of a kind by its id; empty ones for a ball that belongs to none."""
    columns = [column for column in COLUMNS if column.kind == kind]
    found: dict[str | None, list[str]] = {
        row["id"]: [_WRITERS[column.form](row[column.field]) for column in columns] for row in archive.rows_of(kind)
    }
    found[None] = [""] * len(columns)
    return found


def export_csv(archive: Archive, target: Path | str = STANDARD, progress: Progress = no_progress) -> Exported:
    """Write the balls of a book as CSV, one row a ball; "-" is standard output.

    Raises Refused where the target cannot be written; what stood there is then unchanged.
    """
    n = 0
    with text_out(target, newline="") as stream:
        writer = csv.writer(stream, lineterminator="\r\n")
        writer.writerow([column.name for column in COLUMNS])
        for cell_row in rows(archive):
            writer.writerow(cell_row)
            n += 1
            if not n % 1000:
                progress(1000)
    return Exported({"ball": n}, "standard output" if str(target) == STANDARD else str(target))
