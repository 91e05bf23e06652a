"""The balls of our own CSV back into a book: the same balls, their sessions, blocks and clubs."""

import csv
import re
from collections.abc import Callable, Iterator
from operator import itemgetter
from pathlib import Path
from typing import Any, TextIO

from rangelog.core.errors import OffScale, Refused
from rangelog.exchange import cells
from rangelog.exchange.csv_columns import BY_NAME, NEEDED, PARENTS, Column
from rangelog.exchange.files import text_in
from rangelog.exchange.outcome import BadLine, Imported
from rangelog.exchange.taking import Progress, Source, no_progress, take_in
from rangelog.logbook.archive import Archive

_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?\Z")
_WHOLE = re.compile(r"[+-]?[0-9]{1,15}\Z")
_FLAGS = {"true": True, "false": False, "1": True, "0": False, "yes": True, "no": False}
_STAND_INS: dict[str, dict[str, Any]] = {
    "player": {"junior": False, "hub_height_mm": 1350.0},
    "prescription": {
        "set_by": "import",
        "text": "",
        "swing": "half",
        "first_lever": "bow",
        "pain_history": False,
        "ball_cap": 60,
        "stop_rules": "",
    },
}
"""What a ball row does not say of what it belongs to."""


def import_csv(
    archive: Archive, source: Path | str, *, dry_run: bool = False, same_player: bool = False, progress: Progress = no_progress
) -> Imported:
    """Take the balls of our own CSV into a book; taking them in again changes nothing. What the book already knows better stays.

    Args, Raises: as import_jsonl; Refused also where the header is not ours.
    """
    with text_in(source, newline="") as stream:
        return take_in(archive, _source(archive, stream, progress), dry_run=dry_run, same_player=same_player)


def table(stream: TextIO, delimiter: str = ",") -> Iterator[tuple[int, list[str] | BadLine]]:
    """Line number and cells of every row of a CSV, empty rows left out; a row that cannot be taken apart comes as a BadLine."""
    reader = csv.reader(stream, delimiter=delimiter)
    while True:
        line = reader.line_num + 1
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            yield line, BadLine(line, f"This row cannot be read: {error}.")
            continue
        if any(row):
            yield line, row


def header(found: list[str] | BadLine | None) -> list[str]:
    """The names of the first row. Raises Refused where there is none, or one name stands twice."""
    if found is None or isinstance(found, BadLine):
        raise Refused("The file has no header.", "The first line names the columns.")
    names = [name.strip() for name in found]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise Refused(f"The header names {twice[0]!r} twice.", "Every column needs a name of its own.")
    return names


def _source(archive: Archive, stream: TextIO, progress: Progress) -> Source:
    lines = table(stream)
    names = header(next((row for _, row in lines), None))
    missing = [name for name in NEEDED if name not in names]
    unknown = [name for name in names if name not in BY_NAME]
    if missing or unknown:
        wrong = f"{missing[0]} is missing" if missing else f"{unknown[0]!r} is not one of ours"
        raise Refused(f"This is no CSV of Rangelog: {wrong}.", "Import a foreign table with a mapping of its columns.")
    reading = _Reading(archive, names)
    for done, (line, found) in enumerate(lines, start=1):
        if not done % 1000:
            progress(1000)
        if isinstance(found, BadLine):
            yield line, found
            continue
        try:
            made = reading.rows(found)
        except OffScale as error:
            yield line, BadLine(line, str(error))
            continue
        for each in made:
            yield line, each


class _Reading:
    """Rows of a file with a known header. What a ball belongs to is read once, and only where the book has it not yet."""

    def __init__(self, archive: Archive, names: list[str]) -> None:
        columns = [BY_NAME[name] for name in names]
        self._width = len(names)
        self._cells = {kind: [(place, _Reader(column)) for place, column in enumerate(columns) if column.kind == kind] for kind in PARENTS}
        own = [(place, column) for place, column in enumerate(columns) if column.kind == "ball"]
        self._own = itemgetter(*(place for place, _ in own))
        self._readers = [_Reader(column) for _, column in own]
        self._fields = tuple(column.field for _, column in own)
        self._names = itemgetter(*(names.index(_ID_NAMES[kind]) if _ID_NAMES[kind] in names else self._width for kind in PARENTS))
        self._last_names: tuple[str, ...] = ()
        self._last_links: dict[str, str | None] = {}
        self._known = {kind: {row["id"] for row in archive.rows_of(kind)} for kind in PARENTS}
        self._met: dict[str, dict[str, str | None]] = {kind: {"": None} for kind in PARENTS}

    def rows(self, found: list[str]) -> list[dict[str, Any]]:
        """The rows of the book that one row of the file makes, the ball last. Raises OffScale naming the column."""
        if len(found) != self._width:
            raise OffScale("row", f"{len(found)} cells where the header names {self._width}.")
        values = [known[cell] for known, cell in zip(self._readers, self._own(found), strict=True)]
        ball: dict[str, Any] = dict(zip(self._fields, values, strict=True))
        ball["kind"] = "ball"
        ball["target"], ball["note"] = ball.get("target") or "", ball.get("note") or ""
        names = self._names([*found, ""])
        made = [] if names == self._last_names else self._parents(names, found)
        ball |= self._last_links
        made.append(ball)
        return made

    def _parents(self, names: tuple[str, ...], found: list[str]) -> list[dict[str, Any]]:
        """Rows of what a ball belongs to that are met for the first time; `_last_links` becomes what the ball says of them."""
        made: list[dict[str, Any]] = []
        links: dict[str, str | None] = {}
        for (kind, field), name in zip(PARENTS.items(), names, strict=True):
            if name not in self._met[kind]:
                made += self._parent(kind, name, found, links["session_id"] if kind == "block" else None)
            if field:
                links[field] = self._met[kind][name]
        self._last_names, self._last_links = names, links
        return made

    def _parent(self, kind: str, name: str, found: list[str], session_id: str | None) -> list[dict[str, Any]]:
        """The row of what a ball belongs to, the first time it is met; nothing where the book has it."""
        parent_id = cells.plain(name)
        made = []
        if parent_id not in self._known[kind]:
            row = {"kind": kind, **_STAND_INS.get(kind, {}), **({"session_id": session_id} if session_id else {})}
            for place, known in self._cells[kind]:
                value, field = known[found[place]], known.column.field
                row[field] = "" if value is None and field in {"note", "code", "name"} else value
            made.append(row)
            self._known[kind].add(parent_id)
        self._met[kind][name] = parent_id
        return made


_ID_NAMES = {column.kind: column.name for column in BY_NAME.values() if column.field == "id"}
"""The column that holds the id of each kind."""


class _Reader(dict[str, Any]):
    """From a cell of one column to its value, None where it is empty; cells repeat, so what was read is remembered for a while."""

    MOST = 2000

    def __init__(self, column: Column) -> None:
        super().__init__({"": None})
        self.column = column
        self._read = _READERS[column.form]

    def __missing__(self, cell: str) -> Any:
        value = self._read(self.column, cell)
        if len(self) >= self.MOST:
            self.clear()
            self[""] = None
        self[cell] = value
        return value


def _text(_: Column, cell: str) -> str:
    return cells.plain(cell) if cell[0] == "'" else cell


def _number(column: Column, cell: str) -> float:
    if not _NUMBER.match(cell):
        raise OffScale(column.name, f"{column.name}: {cell!r} is not a number.")
    return float(cell)


def _whole(column: Column, cell: str) -> int:
    if not _WHOLE.match(cell):
        raise OffScale(column.name, f"{column.name}: {cell!r} is not a whole number.")
    return int(cell)


def _flag(column: Column, cell: str) -> bool:
    found = _FLAGS.get(cell.strip().lower())
    if found is None:
        raise OffScale(column.name, f"{column.name}: {cell!r} is not true or false.")
    return found


_READERS: dict[str, Callable[[Column, str], Any]] = {"text": _text, "number": _number, "whole": _whole, "flag": _flag}
