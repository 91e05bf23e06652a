"""From a damaged book, every row that can still be read, into a new one; what cannot is listed by id. The damaged file is only read."""

# ruff: noqa: S608 - only names from our own lists are put into SQL; values are always parameters

import shutil
import sqlite3
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from rangelog.store import errors, intake, opening, places, rows, schema
from rangelog.store.desk import BadRow
from rangelog.store.rows import Shape

Row = dict[str, Any]


@dataclass(frozen=True, slots=True)
class SalvageReport:
    """What was saved.

    Attributes:
        path: the new book.
        kept: number of rows by kind.
        lost: rows that could not be read or make no sense, by id, or by place ("row 12") where even the id is gone.
        loosened: balls that were kept but lost their block, prescription or club with it.
    """

    path: Path
    kept: dict[str, int]
    lost: tuple[BadRow, ...]
    loosened: tuple[BadRow, ...]


@dataclass(slots=True)
class _Found:
    """Rows of one table by their place in the file, and the ids its index still knows.

    `broken` where a page of the table could not be read, `ids_broken` where one of the index, `end_unread` where the last page could not.
    """

    rows: dict[int, tuple[Any, ...]] = field(default_factory=dict)
    ids: dict[int, str] = field(default_factory=dict)
    broken: bool = False
    ids_broken: bool = False
    end_unread: bool = False


def salvage(path: Path | str, out: Path | str, now: datetime) -> SalvageReport:
    """Copy all readable rows of a damaged book into a new book at `out`.

    Close the damaged book first. Raises BookMissing, BookEmpty, NotABook (not even its header can be read), BookDamaged (not a
    row of it can), BackupRefused where `out` is there already or cannot be written.
    """
    book, target = opening.settled(path), opening.settled(out)
    opening.look(book, may_create=False)
    if target.exists():
        raise errors.BackupRefused(f"{target.name} is there already.", "Choose another name.")
    with tempfile.TemporaryDirectory(prefix="rangelog-") as work:
        connection = _open_copy(book, Path(work))
        try:
            found = {kind: _collect(connection, shape) for kind, shape in rows.SHAPES.items()}
        finally:
            connection.close()
    if not any(table.rows for table in found.values()):
        raise errors.BookDamaged(f"{book.name} is damaged past reading.", "Restore a backup.")
    kept, lost = _readable(found)
    loosened = _mend_links(kept)
    taken = _write(kept, target, now)
    lost += [BadRow(rows.SHAPES[bad.table].table, bad.id, bad.why) for bad in taken.refused]
    return SalvageReport(target, dict(taken.added), tuple(lost), tuple(loosened))


def _open_copy(book: Path, work: Path) -> sqlite3.Connection:
    """A connection to a copy, its journal played back where that works, that reads past a missing end."""
    copy = work / "book.db"
    journal = opening.journal_path(book)
    try:
        shutil.copyfile(book, copy)
        if journal.exists():
            shutil.copyfile(journal, opening.journal_path(copy))
    except OSError as error:
        raise errors.BookElsewhere(f"{book.name} cannot be copied: {error.strerror}.", "Check the disk and its free room.") from error
    try:
        connection = sqlite3.connect(copy, timeout=0, isolation_level=None)
        # without this SQLite refuses a file that is shorter than its header says
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute("PRAGMA cell_size_check = ON")
        mark = connection.execute("PRAGMA application_id").fetchone()[0]
    except sqlite3.Error as error:
        raise errors.not_read(error, book) from error
    if mark != schema.APPLICATION_ID:
        connection.close()
        raise errors.NotABook(f"{book.name} is a database of another program.", "Check the path.")
    return connection


def _until_broken(connection: sqlite3.Connection, sql: str, into: dict[int, Any]) -> bool:
    """Take rows (place first) one at a time up to the first that cannot be read. True where there was one."""
    try:
        for whole in connection.execute(sql):
            into[whole[0]] = whole[1:]
    except sqlite3.DatabaseError:
        return True
    return False


def _collect(connection: sqlite3.Connection, shape: Shape) -> _Found:
    """Every row of a table that some way still leads to: forwards, backwards, then place by place."""
    found, known_ids = _Found(), dict[int, tuple[str]]()
    table, columns, index = shape.table, ", ".join(shape.all_columns), f"sqlite_autoindex_{shape.table}_1"
    try:
        connection.execute(f"SELECT 1 FROM {table} LIMIT 0")
    except sqlite3.DatabaseError:
        # the page that says where the table lies, or the first page of the table, is gone
        return _Found(broken=True, ids_broken=True, end_unread=True)
    for order in ("ASC", "DESC"):
        known = len(found.rows)
        found.broken |= _until_broken(connection, f"SELECT rowid, {columns} FROM {table} NOT INDEXED ORDER BY rowid {order}", found.rows)
        found.end_unread = found.broken and len(found.rows) == known
        found.ids_broken |= _until_broken(connection, f"SELECT rowid, id FROM {table} INDEXED BY {index} ORDER BY id {order}", known_ids)
    found.ids = {place: row_id for place, (row_id,) in known_ids.items()}
    if found.broken:
        for place in range(1, _last_place(found) + 1):
            if place not in found.rows:
                _until_broken(connection, f"SELECT rowid, {columns} FROM {table} NOT INDEXED WHERE rowid = {place}", found.rows)
    return found


def _last_place(found: _Found) -> int:
    return max((*found.rows, *found.ids), default=0)


def _readable(found: Mapping[str, _Found]) -> tuple[dict[str, list[Row]], list[BadRow]]:
    """Rows that make sense, by kind, and those that do not or are gone."""
    kept: dict[str, list[Row]] = {}
    lost: list[BadRow] = []
    for kind, shape in rows.SHAPES.items():
        table, width = found[kind], len(shape.columns)
        kept[kind] = []
        for place, values in sorted(table.rows.items()):
            try:
                shape.record(values[:width])
            except ValueError as error:
                lost.append(BadRow(shape.table, _name(table, place, values), str(error)))
                continue
            kept[kind].append({"kind": kind, **dict(zip(shape.all_columns, values, strict=True))})
        if table.broken:
            gone = [place for place in range(1, _last_place(table) + 1) if place not in table.rows]
            lost += [BadRow(shape.table, table.ids.get(place, f"row {place}"), "its page cannot be read") for place in gone]
        if table.end_unread and table.ids_broken:
            lost.append(BadRow(shape.table, f"row {_last_place(table) + 1} and after", "the end of the table cannot be read"))
    return kept, lost


def _name(table: _Found, place: int, values: tuple[Any, ...]) -> str:
    return str(values[0]) if isinstance(values[0], str) and values[0] else table.ids.get(place, f"row {place}")


def _mend_links(kept: dict[str, list[Row]]) -> list[BadRow]:
    """Give rows whose parents are gone a place: a stand-in session, or no block, prescription or club. Returns the balls concerned."""
    ids = {kind: {row["id"] for row in found} for kind, found in kept.items()}
    loosened = []
    for row in (*kept["ball"], *kept["prescription"]):
        for column, parent in (("block_id", "block"), ("prescription_id", "prescription"), ("club_id", "club")):
            if row.get(column) is not None and row[column] not in ids[parent]:
                loosened.append(BadRow(rows.SHAPES[row["kind"]].table, row["id"], f"its {parent} {row[column]} was lost"))
                row[column] = None
    for row in (*kept["ball"], *kept["block"], *kept["form"]):
        if row["session_id"] not in ids["session"]:
            start = row.get("at") or row.get("started_at") or "1970-01-01T00:00:00+00:00"
            stand_in = {"kind": "session", "id": row["session_id"], "started_at": start, "surface": row.get("surface") or "mat"}
            kept["session"].append({**stand_in, "date_uncertain": 1, "aim_line": row.get("aim_line", 1), "note": "salvaged"})
            ids["session"].add(row["session_id"])
    return loosened


def _write(kept: Mapping[str, list[Row]], target: Path, now: datetime) -> intake.Merged:
    try:
        places.make_private_folder(target.parent)
    except OSError as error:
        raise errors.BackupRefused(f"The folder {target.parent} cannot be made.", "Choose another one.") from error
    opening.create_file(target, now)
    connection = opening.connect(target, query_only=False)
    try:
        with intake.Intake(connection) as taking:
            for kind in rows.SHAPES:
                for row in kept[kind]:
                    taking.take(row)
            taking.flush()
            connection.execute("BEGIN IMMEDIATE")
            taking.write(connection)
            connection.execute("COMMIT")
            return taking.result()
    except sqlite3.Error as error:
        raise errors.not_saved(error, target) from error
    finally:
        connection.close()
