"""The balls of our own CSV back into a book: the same balls, their sessions, blocks and clubs."""

import csv
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, TextIO

from rangelog.core.errors import OffScale, Refused
from rangelog.exchange import cells
from rangelog.exchange.csv_columns import BY_NAME, NEEDED, PARENTS, Column
from rangelog.exchange.files import text_in
from rangelog.exchange.outcome import BadLine, Imported
from rangelog.exchange.taking import Progress, Source, no_progress, take_in
from rangelog.logbook.archive import Archive

_NUMBER = re.compile(r"^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$")
_FLAGS = {"true": True, "false": False, "1": True, "0": False, "yes": True, "no": False, "": False}
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
    columns = [BY_NAME[name] for name in names]
    known = {kind: {row["id"] for row in archive.rows_of(kind)} for kind in PARENTS}
    for done, (line, found) in enumerate(lines, start=1):
        if not done % 1000:
            progress(1000)
        if isinstance(found, BadLine):
            yield line, found
            continue
        try:
            row = _parted(columns, found)
        except OffScale as error:
            yield line, BadLine(line, str(error))
            continue
        yield from ((line, each) for each in _rows(row, known))


def _parted(columns: list[Column], found: list[str]) -> dict[str, dict[str, Any]]:
    """The cells of one row by kind and field. Raises OffScale naming the column."""
    if len(found) != len(columns):
        raise OffScale("row", f"{len(found)} cells where the header names {len(columns)}.")
    row: dict[str, dict[str, Any]] = {"ball": {}, **{kind: {} for kind in PARENTS}}
    for column, cell in zip(columns, found, strict=True):
        if column.kind:
            row[column.kind][column.field] = _value(column, cell)
    return row


def _value(column: Column, cell: str) -> Any:
    if column.form == "text":
        return cells.plain(cell)
    if column.form == "flag":
        if cell.strip().lower() not in _FLAGS:
            raise OffScale(column.name, f"{column.name}: {cell!r} is not true or false.")
        return _FLAGS[cell.strip().lower()]
    if not cell.strip():
        return None
    if not _NUMBER.match(cell.strip()):
        raise OffScale(column.name, f"{column.name}: {cell!r} is not a number.")
    if column.form == "whole":
        if "." in cell or "e" in cell.lower():
            raise OffScale(column.name, f"{column.name}: {cell!r} is not a whole number.")
        return int(cell)
    return float(cell)


def _rows(row: Mapping[str, dict[str, Any]], known: dict[str, set[str]]) -> Iterator[dict[str, Any]]:
    """What the ball belongs to, each once and only where the book has it not yet; then the ball."""
    ball = dict(row["ball"])
    for kind, field in PARENTS.items():
        found = {key: (None if value == "" else value) for key, value in row[kind].items()}
        parent_id = found.get("id")
        if field:
            ball[field] = parent_id
        if parent_id is None or parent_id in known[kind]:
            continue
        if kind != "player" or not known[kind]:
            known[kind].add(parent_id)
        texts = {key: value for key, value in row[kind].items() if key in {"note", "code", "name"}}
        more = {"session_id": row["session"].get("id")} if kind == "block" else {}
        yield {"kind": kind, **_STAND_INS.get(kind, {}), **found, **texts, **more}
    texts = {key: ball[key] for key in ("target", "note") if key in ball}
    yield {"kind": "ball", **{key: (None if value == "" else value) for key, value in ball.items()}, **texts}
