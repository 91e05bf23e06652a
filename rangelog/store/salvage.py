"""From a damaged book, every row that can still be read, into a new one; what cannot is listed by id. The damaged file is only read."""

# ruff: noqa: S608 - only names from our own lists are put into SQL; values are always parameters

import shutil
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from rangelog.store import errors, opening, places, rows, schema
from rangelog.store.desk import BadRow
from rangelog.store.intake import Intake
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


def salvage(path: Path | str, out: Path | str, now: datetime, progress: Callable[[int], None] = lambda _: None) -> SalvageReport:
    """Copy all readable rows of a damaged book into a new book at `out`, a few in memory at a time.

    `progress` is told how many rows were looked at since its last call.

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
            if not any(next(_Table(connection, shape).rows(), None) for shape in rows.SHAPES.values()):
                raise errors.BookDamaged(f"{book.name} is damaged past reading.", "Restore a backup.")
            return _into(target, connection, now, progress)
        finally:
            connection.close()


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
    connection = sqlite3.connect(copy, timeout=0, isolation_level=None)
    try:
        # without this SQLite refuses a file that is shorter than its header says
        connection.execute("PRAGMA writable_schema = ON")
        connection.execute("PRAGMA cell_size_check = ON")
        mark = connection.execute("PRAGMA application_id").fetchone()[0]
    except sqlite3.Error as error:
        connection.close()
        raise errors.not_read(error, book) from error
    if mark != schema.APPLICATION_ID:
        connection.close()
        raise errors.NotABook(f"{book.name} is a database of another program.", "Check the path.")
    return connection


class _Table:
    """One table of a damaged book.

    Attributes:
        lost: places whose row could not be read, once rows() has ended.
        end_unread: neither the last rows of the table nor their ids could be.
    """

    def __init__(self, connection: sqlite3.Connection, shape: Shape) -> None:
        self._connection = connection
        self.shape = shape
        self.lost: list[int] = []
        self.end_unread = False
        self._ids: dict[int, str] = {}

    def rows(self) -> Iterator[tuple[int, tuple[Any, ...]]]:
        """Place and cells of every row that some way still leads to: forwards, backwards, then place by place in between."""
        select = f"SELECT rowid, {', '.join(self.shape.all_columns)} FROM {self.shape.table} NOT INDEXED"
        try:
            self._connection.execute(f"SELECT 1 FROM {self.shape.table} LIMIT 0")
        except sqlite3.DatabaseError:
            # the page that says where the table lies, or the first page of the table, is gone
            self.end_unread = True
            return
        last, first = 0, None
        forwards = _Way(self._connection, f"{select} ORDER BY rowid")
        for place, values in forwards:
            last = place
            yield place, values
        if not forwards.broken:
            return
        for place, values in _Way(self._connection, f"{select} ORDER BY rowid DESC"):
            if place <= last:
                break
            first = place
            yield place, values
        ids_broken = self._find_ids(last, first)
        self.end_unread = first is None and ids_broken
        for place in range(last + 1, first or max(self._ids, default=last) + 1):
            found = next(iter(_Way(self._connection, f"{select} WHERE rowid = {place}")), None)
            if found is None:
                self.lost.append(place)
            else:
                yield found

    def _find_ids(self, last: int, first: int | None) -> bool:
        """Keep the ids that the index still knows of places between two others. True where a page of the index could not be read."""
        broken = False
        for order in ("ASC", "DESC"):
            index = f"INDEXED BY sqlite_autoindex_{self.shape.table}_1"
            way = _Way(self._connection, f"SELECT rowid, id FROM {self.shape.table} {index} ORDER BY id {order}")
            self._ids.update({place: row_id for place, (row_id,) in way if place > last and (first is None or place < first)})
            broken |= way.broken
        return broken

    def name(self, place: int, row_id: object = None) -> str:
        """The id of a row, or its place where even the id is gone."""
        return row_id if isinstance(row_id, str) and row_id else self._ids.get(place, f"row {place}")

    def gone(self) -> Iterator[BadRow]:
        """What could not be read, once rows() has ended."""
        for place in self.lost:
            yield BadRow(self.shape.table, self.name(place), "its page cannot be read")
        if self.end_unread:
            last = max((*self.lost, *self._ids), default=0)
            yield BadRow(self.shape.table, f"row {last + 1} and after", "the end of the table cannot be read")


class _Way:
    """Rows (place first) of a query, one at a time up to the first that cannot be read; `broken` says whether there was one."""

    def __init__(self, connection: sqlite3.Connection, sql: str) -> None:
        self._connection = connection
        self._sql = sql
        self.broken = False

    def __iter__(self) -> Iterator[tuple[int, tuple[Any, ...]]]:
        try:
            for whole in self._connection.execute(self._sql):
                yield whole[0], whole[1:]
        except sqlite3.DatabaseError:
            self.broken = True


class _Mending:
    """Gives rows whose parents are gone a place: a stand-in session, or no block, prescription or club. Parents come first.

    Attributes:
        loosened: rows that lost what they belonged to.
    """

    def __init__(self) -> None:
        self._ids: dict[str, set[str]] = {kind: set() for kind in ("session", "block", "prescription", "club")}
        self.loosened: list[BadRow] = []

    def mend(self, shape: Shape, row: Row) -> Iterator[Row]:
        """The row as it may stand, and before it the session that it lacks."""
        if shape.kind in self._ids:
            self._ids[shape.kind].add(row["id"])
        if shape.kind in ("ball", "prescription"):
            for column, parent in (("block_id", "block"), ("prescription_id", "prescription"), ("club_id", "club")):
                if row.get(column) is not None and row[column] not in self._ids[parent]:
                    self.loosened.append(BadRow(shape.table, row["id"], f"its {parent} {row[column]} was lost"))
                    row[column] = None
        session_id = row.get("session_id")
        if session_id is not None and session_id not in self._ids["session"]:
            self._ids["session"].add(session_id)
            start = row.get("at") or row.get("started_at") or "1970-01-01T00:00:00+00:00"
            stand_in = {"kind": "session", "id": session_id, "started_at": start, "surface": row.get("surface") or "mat"}
            yield {**stand_in, "date_uncertain": 1, "aim_line": row.get("aim_line", 1), "note": "salvaged"}
        yield row


def _into(target: Path, source: sqlite3.Connection, now: datetime, progress: Callable[[int], None]) -> SalvageReport:
    try:
        places.make_private_folder(target.parent)
    except OSError as error:
        raise errors.BackupRefused(f"The folder {target.parent} cannot be made.", "Choose another one.") from error
    opening.create_file(target, now)
    connection = opening.connect(target, query_only=False)
    mending, lost = _Mending(), list[BadRow]()
    try:
        with Intake(connection) as taking:
            for shape in rows.SHAPES.values():
                _take(_Table(source, shape), taking, mending, lost, progress)
            taking.flush()
            connection.execute("BEGIN IMMEDIATE")
            taking.write(connection)
            connection.execute("COMMIT")
            taken = taking.result()
    except sqlite3.Error as error:
        raise errors.not_saved(error, target) from error
    finally:
        connection.close()
    lost += [BadRow(rows.SHAPES[bad.table].table, bad.id, bad.why) for bad in taken.refused]
    return SalvageReport(target, dict(taken.added), tuple(lost), tuple(mending.loosened))


def _take(table: _Table, taking: Intake, mending: _Mending, lost: list[BadRow], progress: Callable[[int], None]) -> None:
    """Every readable row of one table; those that make no sense, or are gone, are listed as lost."""
    shape, width = table.shape, len(table.shape.columns)
    for seen, (place, values) in enumerate(table.rows(), start=1):
        if not seen % 1000:
            progress(1000)
        try:
            shape.record(values[:width])
        except ValueError as error:
            lost.append(BadRow(shape.table, table.name(place, values[0]), str(error)))
            continue
        row = {"kind": shape.kind, **dict(zip(shape.all_columns, values, strict=True))}
        for each in mending.mend(shape, row):
            taking.take(each)
    lost += table.gone()
