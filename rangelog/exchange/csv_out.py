"""The balls of a book as CSV."""

import csv
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

from rangelog.exchange import cells
from rangelog.exchange.csv_columns import COLUMNS, PARENTS, Column
from rangelog.exchange.files import STANDARD, text_out
from rangelog.exchange.outcome import Exported
from rangelog.exchange.taking import Progress, no_progress
from rangelog.logbook.archive import Archive

Row = Mapping[str, Any]


def _flag(value: Any) -> str:
    return "true" if value else "false"


def _text(value: Any) -> str:
    return "" if value is None else cells.safe(value)


_WRITERS: dict[str, Callable[[Any], str]] = {"text": _text, "number": cells.number, "whole": cells.number, "flag": _flag}


def rows(archive: Archive) -> Iterator[list[str]]:
    """The cells of every ball, in the order of COLUMNS; balls that were taken back are in it, and say so."""
    parents: dict[str, dict[str | None, list[str]]] = {}
    columns = {kind: [column for column in COLUMNS if column.kind == kind] for kind in PARENTS}
    for kind in PARENTS:
        found: dict[str | None, list[str]] = {row["id"]: _cells(columns[kind], row) for row in archive.rows_of(kind)}
        found[None] = [""] * len(columns[kind])
        parents[kind] = found
    player = next((found for key, found in parents["player"].items() if key is not None), parents["player"][None])
    makers = [_maker(column, columns) for column in COLUMNS]
    for ball in archive.rows_of("ball"):
        held = {kind: parents[kind][ball[field]] if field else player for kind, field in PARENTS.items()}
        yield [make(ball, held) for make in makers]


Make = Callable[[Row, Mapping[str, list[str]]], str]


def _maker(column: Column, columns: Mapping[str, list[Column]]) -> Make:
    """What makes the cell of a column from a ball and what it belongs to."""
    if column.kind == "ball":
        field, write = column.field, _WRITERS[column.form]
        return lambda ball, _: write(ball[field])
    if not column.kind:
        return lambda ball, _: _corrected(ball)
    kind, place = column.kind, columns[column.kind].index(column)
    return lambda _, held: held[kind][place]


def _corrected(ball: Row) -> str:
    start = ball["start_deg"]
    return "" if start is None else cells.number(round(start - ball["aim_correction_deg"], 6))


def _cells(columns: list[Column], row: Row) -> list[str]:
    return [_WRITERS[column.form](row[column.field]) for column in columns]


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
    return Exported({"ball": n}, "standard output" if target == STANDARD else str(target))
