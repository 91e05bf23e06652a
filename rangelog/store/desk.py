"""The open connection of a book: one short fetch for every read, one short synced transaction for every change."""

# ruff: noqa: S608 - only names from our own lists are put into SQL; values are always parameters

import sqlite3
import time
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Self, TypeVar

from rangelog.store import cells, errors, times
from rangelog.store.opened import Opened
from rangelog.store.rows import Shape
from rangelog.store.witness import Stand, Witness, stand_of

Result = TypeVar("Result")

SLOW_COMMIT_MS = 100.0
SLOW_IN_A_ROW = 3
"""One slow commit is a hiccup; so many one after the other are a slow disk."""

FIRST_WAIT_S = 0.001
LONGEST_WAIT_S = 0.1
_NO_UTF8 = "Could not decode to UTF-8"
"""How Python's sqlite3 begins its complaint of a text cell (its source, from memory; a test lays such a cell)."""


@dataclass(frozen=True, slots=True)
class BadRow:
    """A row that cannot be read as what it should be; it stays in the file and is listed, never guessed at.

    Attributes:
        table: where it stands.
        id: its id, or "row 12" where even that cannot be read.
        why: which cell does not fit.
    """

    table: str
    id: str
    why: str


class Desk:
    """Reads and writes for the parts of Book. Not for use by itself, and bound to the thread that opened it.

    Attributes:
        path: the file, links resolved.
        read_only: no change will be taken.
        read_only_reason: why, in words; empty for a writer.
        holder: who holds the book, where that is the reason.
        warnings: sentences for the player, such as a network file system or a slow disk.
        last_commit_ms: how long the last change took to be on the disk, in milliseconds.
        bad_rows: rows met so far that could not be read, by table and id.
        overwritten: the last change met a file that no longer holds what was written to it.
    """

    def __init__(self, opened: Opened, now: Callable[[], datetime], sleep: Callable[[float], None], patience_s: float) -> None:
        self.path = opened.path
        self.read_only_reason = opened.read_only_reason
        self.holder = opened.holder
        self.warnings = opened.warnings
        self.last_commit_ms = 0.0
        self.bad_rows: dict[tuple[str, str], BadRow] = {}
        self._connection = opened.connection
        self._lock = opened.lock
        self._now = now
        self._sleep = sleep
        self._patience_s = patience_s
        self.overwritten = False
        self._slow = 0
        self._stand = stand_of(opened.path)
        self._version = 0
        self._witness, self._fresh = Witness(), Witness()
        if not self.read_only:
            self._version = self._data_version()
            self._witness = Witness.of(self._connection)

    @property
    def read_only(self) -> bool:
        return bool(self.read_only_reason)

    def close(self) -> None:
        """Close the file and give the lock back. May be called twice."""
        self._connection.close()
        if self._lock is not None:
            self._lock.release()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _waits(self) -> Iterable[float]:
        wait, left = FIRST_WAIT_S, self._patience_s
        while left > 0:
            yield min(wait, left)
            left -= wait
            wait = min(wait * 2, LONGEST_WAIT_S)

    def _patiently(self, sql: str, parameters: Any = ()) -> sqlite3.Cursor:
        """Run one statement, waiting a little longer each time another connection is in the way. Raises sqlite3.Error."""
        for wait in self._waits():
            try:
                return self._connection.execute(sql, parameters)
            except sqlite3.OperationalError as error:
                if not errors.is_busy(error):
                    raise
            self._sleep(wait)
        return self._connection.execute(sql, parameters)

    def _fetch(self, sql: str, parameters: Any = ()) -> list[tuple[Any, ...]]:
        """All rows of one query, read at once so that no open read stands in the way of a commit.

        Raises BookBusy, BookDamaged or another StoreError.
        """
        waits = iter(self._waits())
        while True:
            try:
                return self._connection.execute(sql, parameters).fetchall()
            except sqlite3.Error as error:
                if _NO_UTF8 in str(error) and self._connection.text_factory is str:
                    # one bad cell must not hide all others: it is read as what does not fit, and its row is listed
                    self._connection.text_factory = _as_it_stands
                    continue
                wait = next(waits, None) if errors.is_busy(error) else None
                if wait is None:
                    raise errors.not_read(error, self.path) from error
            self._sleep(wait)

    def _value(self, sql: str, parameters: Any = ()) -> Any:
        """First cell of the first row, None where there is none."""
        rows = self._fetch(sql, parameters)
        return rows[0][0] if rows else None

    def _records(self, shape: Shape, tail: str = "", parameters: Any = ()) -> list[Any]:
        """Records of a table; rows that do not fit are set aside in bad_rows."""
        names = ", ".join(f"{shape.table}.{column}" for column in shape.columns)
        rows = self._fetch(f"SELECT {names} FROM {shape.table} {tail}", parameters)
        return self._read_rows(shape, rows)

    def _read_rows(self, shape: Shape, rows: Iterable[tuple[Any, ...]]) -> list[Any]:
        record, found = shape.record, []
        for row in rows:
            try:
                found.append(record(row))
            except ValueError as error:
                bad = BadRow(shape.table, cells.clean(str(row[0])), str(error))
                self.bad_rows[bad.table, bad.id] = bad
        return found

    def _write(self, work: Callable[[sqlite3.Connection], Result]) -> Result:
        """Run `work` in one IMMEDIATE transaction that is on the disk when this returns.

        Raises NotSaved (or BookReadOnly) where it is not; then nothing of it is in the file, or, after a disk error in the last
        moment of a commit, all of it: the same ids may be sent again either way. Other typed errors of `work` pass through.
        """
        if self.read_only:
            step = "Close the other program, or choose another path." if self.holder else "Choose a path that can be written."
            raise errors.BookReadOnly(f"Not saved: {self.read_only_reason}.", step)
        self._still_ours()
        started = time.perf_counter()
        self._fresh = Witness()
        try:
            self._patiently("BEGIN IMMEDIATE")
            result = work(self._connection)
            self._patiently("COMMIT")
        except sqlite3.IntegrityError as error:
            raise errors.misfit(error) from error
        except sqlite3.Error as error:
            raise errors.not_saved(error, self.path) from error
        finally:
            # also after a signal or an error of ours: an open transaction would hold the book
            if self._connection.in_transaction:
                self._connection.execute("ROLLBACK")
        self._witness.add(self._fresh)
        self._stand = self._same_file()
        self.last_commit_ms = (time.perf_counter() - started) * 1000
        self._look_at_pace()
        return result

    def _same_file(self) -> Stand:
        """A synced folder may put another file under our name; what is written then goes to a file without one."""
        found = stand_of(self.path)
        if found is None or self._stand is None or not found.is_file_of(self._stand):
            raise errors.NotSaved(
                "replaced",
                "Not saved: the book was moved or replaced by another program.",
                "Save a copy under another name; then open it and merge the two.",
            )
        return found

    def _still_ours(self) -> None:
        """Another program may also write into the very file: a row changed by hand is welcome, a content without ours is not written to.

        Costs one look at the file and one at its header; only where either has changed since our last commit are rows looked up.
        """
        found, version = self._same_file(), self._data_version()
        if (found, version) == (self._stand, self._version) and not self.overwritten:
            return
        was = self.overwritten
        try:
            self.overwritten = not self._witness.speaks_for(self.path)
        except sqlite3.Error as error:
            if errors.is_busy(error):
                raise errors.not_saved(error, self.path) from error
            self.overwritten = True
        if self.overwritten:
            raise errors.NotSaved(
                "replaced",
                "Not saved: the book was replaced by another program.",
                "Choose another path: this visit goes on there; then merge the two.",
            )
        if not was and version not in (self._version, -1):
            self._stand, self._version = found, version
        else:
            self._look_afresh()

    def _look_afresh(self) -> None:
        """Another connection: what this one remembers of the file may be of a content that lay there for a while."""
        from rangelog.store import opening

        try:
            fresh = opening.connect(self.path, query_only=False)
            fresh.execute("PRAGMA busy_timeout = 0")
        except sqlite3.Error as error:
            raise errors.not_saved(error, self.path) from error
        self._connection.close()
        self._connection = fresh
        self._stand, self._version = self._same_file(), self._data_version()

    def _data_version(self) -> int:
        """SQLite's number of what others have committed to the file; -1 where the file cannot be read as a book."""
        try:
            (version,) = self._connection.execute("PRAGMA data_version").fetchone()
        except sqlite3.Error:
            return -1
        return int(version)

    def _look_at_pace(self) -> None:
        """Tell of a slow disk once."""
        if self._slow >= SLOW_IN_A_ROW:
            return
        self._slow = self._slow + 1 if self.last_commit_ms > SLOW_COMMIT_MS else 0
        if self._slow == SLOW_IN_A_ROW:
            self.warnings.append(f"The disk is slow: saving took {self.last_commit_ms:.0f} ms.")

    def _put_state(self, connection: sqlite3.Connection, state: Mapping[str, Any] | None) -> None:
        if not state:
            return
        stamp = times.utc_text(self._now())
        self._fresh.stamp = stamp
        connection.executemany(
            "INSERT INTO state (key, value_json, saved_utc) VALUES (?, ?, ?) "
            "ON CONFLICT (key) DO UPDATE SET value_json = excluded.value_json, saved_utc = max(excluded.saved_utc, saved_utc)",
            [(key, cells.to_json(value), stamp) for key, value in state.items()],
        )

    def _put(self, connection: sqlite3.Connection, shape: Shape, record: Any, *extra: Any) -> bool:
        """Insert one record unless its id is there already, so that sending it again is harmless. True where it is new."""
        cursor = connection.execute(insert_sql(shape), (*shape.row(record), *extra))
        self._fresh.rows[shape.table] = record.id
        return cursor.rowcount == 1

    def _stamp(self, connection: sqlite3.Connection, shape: Shape, row_id: str) -> str:
        """Time of the last change for a row, always later than the one before."""
        found = connection.execute(f"SELECT saved_utc FROM {shape.table} WHERE id = ?", (row_id,)).fetchone()
        return times.after(found[0] if found else None, self._now())


def _as_it_stands(cell: bytes) -> str:
    """A text cell, with lone surrogates in place of what is no UTF-8."""
    return cell.decode("utf-8", "surrogateescape")


def insert_sql(shape: Shape) -> str:
    """INSERT of all columns of a kind that leaves a row of the same id alone."""
    columns = shape.all_columns
    marks = ", ".join("?" * len(columns))
    return f"INSERT INTO {shape.table} ({', '.join(columns)}) VALUES ({marks}) ON CONFLICT (id) DO NOTHING"
