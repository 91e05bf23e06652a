"""The balls of a book as CSV."""

import csv
import re
from collections.abc import Callable, Iterator
from itertools import groupby
from pathlib import Path
from typing import Any

from rangelog.exchange import cells
from rangelog.exchange.csv_columns import COLUMNS, PARENTS, Column
from rangelog.exchange.files import STANDARD, text_out
from rangelog.exchange.outcome import Exported
from rangelog.exchange.taking import Progress, no_progress
from rangelog.logbook.archive import BALL_COLUMNS, Archive

_LINE_END = "\r\n"
_QUOTED = re.compile(r'[,"\r\n]')
"""Signs for which a cell is put in quotes."""

_FREE_TEXT = frozenset({"id", "session_id", "block_id", "prescription_id", "club_id", "target", "note", "code", "name"})
"""Fields that may hold any text; the others are numbers, times or words of closed vocabularies, which no spreadsheet misreads."""

_FLAGS = {0: "false", 1: "true"}


def _flag(value: Any) -> str:
    return _FLAGS.get(value, "")


def _text(value: Any) -> str:
    return cells.safe(cells.harmless(value)) if value else ""


_WRITERS: dict[str, Callable[[Any], str]] = {"text": _text, "number": cells.number, "whole": cells.number, "flag": _flag}


def _written(*texts: str) -> str:
    """Some cells of a line as the csv module writes them, with the commas between them."""
    if not any(map(_QUOTED.search, texts)):
        return ",".join(texts)
    lines: list[str] = []
    csv.writer(_Lines(lines), lineterminator=_LINE_END).writerow(texts)
    return lines[0].removesuffix(_LINE_END)


class _Lines:
    """What the csv module writes to."""

    def __init__(self, lines: list[str]) -> None:
        self.write = lines.append


class _Cells(dict[Any, str]):
    """From a value of one column to its cell in the file; values repeat, so what was written is remembered for a while."""

    MOST = 2000

    def __init__(self, column: Column) -> None:
        super().__init__()
        self._to_text = str if column.form == "text" and column.field not in _FREE_TEXT else _WRITERS[column.form]

    def __missing__(self, value: Any) -> str:
        if len(self) >= self.MOST:
            self.clear()
        self[value] = written = "" if value is None else _written(self._to_text(value))
        return written


def lines(archive: Archive) -> Iterator[str]:
    """The line of every ball, in the order of COLUMNS; balls that were taken back are in it, and say so."""
    known: dict[str, dict[Any, str]] = {kind: _parents(archive, kind) for kind in PARENTS}
    known["player"] = {None: next((cell for key, cell in known["player"].items() if key is not None), known["player"][None])}
    # a ball is looked at with two cells more: None, for the one player, and the corrected start
    fields = [*BALL_COLUMNS, PARENTS["player"], "corrected_start_deg"]
    parts: list[tuple[int, dict[Any, str]]] = []
    for kind, columns in groupby(COLUMNS, key=lambda column: column.kind):
        if kind in PARENTS:
            parts.append((fields.index(PARENTS[kind]), known[kind]))
        else:
            parts += [(fields.index(column.field or column.name), _Cells(column)) for column in columns]
    start, correction = fields.index("start_deg"), fields.index("aim_correction_deg")
    for ball in archive.ball_cells():
        corrected = None if ball[start] is None else round(ball[start] - ball[correction], 6)
        whole = (*ball, None, corrected)
        yield ",".join([written[whole[place]] for place, written in parts]) + _LINE_END


def _parents(archive: Archive, kind: str) -> dict[str | None, str]:
    """The piece of a line for every row of a kind by its id; empty cells for a ball that belongs to none."""
    columns = [column for column in COLUMNS if column.kind == kind]
    found: dict[str | None, str] = {
        row["id"]: _written(*(_WRITERS[column.form](row[column.field]) for column in columns)) for row in archive.rows_of(kind)
    }
    found[None] = _written(*[""] * len(columns))
    return found


def export_csv(archive: Archive, target: Path | str = STANDARD, progress: Progress = no_progress) -> Exported:
    """Write the balls of a book as CSV, one row a ball; "-" is standard output.

    Raises Refused where the target cannot be written; what stood there is then unchanged.
    """
    n = 0
    with text_out(target, newline="") as stream:
        stream.write(_written(*(column.name for column in COLUMNS)) + _LINE_END)
        for line in lines(archive):
            stream.write(line)
            n += 1
            if not n % 1000:
                progress(1000)
    return Exported({"ball": n}, "standard output" if str(target) == STANDARD else str(target))
