"""Is the book whole? The pages, the links between rows, every cell, and the numbering of balls."""

# ruff: noqa: S608 - only names from our own lists are put into SQL; values are always parameters

import os
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from rangelog.store import opening, rows
from rangelog.store.desk import BadRow

_RUN = 2000
"""Rows in one fetch."""

_BYTES_A_ROW = 270


@dataclass(frozen=True, slots=True)
class Gap:
    """Numbers of a session that no ball has, both ends included."""

    session_id: str
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class CheckReport:
    """What a check found; nothing was changed.

    Attributes:
        balls: balls that could be counted, -1 where even that failed.
        pages: what SQLite says of its pages and indexes, empty where all is well.
        links: rows whose parent is missing.
        bad_rows: rows with a cell that does not fit.
        gaps: numbers missing within a session.
    """

    balls: int
    pages: tuple[str, ...]
    links: tuple[BadRow, ...]
    bad_rows: tuple[BadRow, ...]
    gaps: tuple[Gap, ...]

    @property
    def whole(self) -> bool:
        """Nothing is wrong."""
        return self.balls >= 0 and not (self.pages or self.links or self.bad_rows or self.gaps)

    @property
    def readable(self) -> bool:
        """The pages are sound, whatever stands in the rows."""
        return self.balls >= 0 and not self.pages


Progress = Callable[[int], None]
"""Told how many rows were looked at since the last call."""


def no_progress(_: int) -> None:
    """For callers without a progress bar."""


def about_rows(path: Path | str) -> int:
    """About how many rows a file holds, by its size: enough for a progress bar, and never an error."""
    try:
        return os.stat(path).st_size // _BYTES_A_ROW
    except OSError:
        return 0


def check(path: Path | str, progress: Progress = no_progress) -> CheckReport:
    """Check a file without changing it.

    Raises BookMissing, BookEmpty, NotABook, BookNewer, BookElsewhere, or BookDamaged where not even the header can be read.
    """
    opened = opening.open_for_check(path)
    try:
        return check_connection(opened, progress)
    finally:
        opened.close()


def check_connection(connection: sqlite3.Connection, progress: Progress = no_progress) -> CheckReport:
    """Check an open book, some rows at a time, so that no read stays open for long; see check."""
    pages = quick_check(connection)
    links: list[BadRow] = []
    bad_rows: list[BadRow] = []
    for kind, shape in rows.SHAPES.items():
        try:
            links += _links(connection, shape)
            bad_rows += _bad_rows(connection, shape, progress)
        except sqlite3.DatabaseError as error:
            pages = (*pages, f"{kind} rows cannot all be read: {error}")
    try:
        balls = connection.execute("SELECT count(*) FROM balls").fetchone()[0]
        gaps = tuple(_gaps(connection))
    except sqlite3.DatabaseError:
        balls, gaps = -1, ()
    return CheckReport(balls, pages, tuple(links), tuple(bad_rows), gaps)


def quick_check(connection: sqlite3.Connection) -> tuple[str, ...]:
    """SQLite's own check of pages, indexes and CHECKs: empty where all is well."""
    try:
        found = [row[0] for row in connection.execute("PRAGMA integrity_check(100)").fetchall()]
    except sqlite3.DatabaseError as error:
        return (str(error),)
    return () if found == ["ok"] else tuple(found)


def _links(connection: sqlite3.Connection, shape: rows.Shape) -> list[BadRow]:
    found = connection.execute(f"PRAGMA foreign_key_check({shape.table})").fetchall()
    names = dict(connection.execute(f"SELECT rowid, id FROM {shape.table}").fetchall()) if found else {}
    return [BadRow(shape.table, str(names.get(rowid, f"row {rowid}")), f"its row in {parent} is missing") for _, rowid, parent, _ in found]


def _bad_rows(connection: sqlite3.Connection, shape: rows.Shape, progress: Progress) -> list[BadRow]:
    bad: list[BadRow] = []
    select = f"SELECT rowid, {', '.join(shape.columns)} FROM {shape.table} WHERE rowid > ? ORDER BY rowid LIMIT {_RUN}"
    place = 0
    while run := connection.execute(select, (place,)).fetchall():
        for _, *row in run:
            try:
                shape.record(tuple(row))
            except ValueError as error:
                bad.append(BadRow(shape.table, str(row[0]), str(error)))
        place = run[-1][0]
        progress(len(run))
    return bad


def _gaps(connection: sqlite3.Connection) -> list[Gap]:
    found = connection.execute(
        "SELECT session_id, before, seq FROM (SELECT session_id, seq, lag(seq, 1, 0) OVER (PARTITION BY session_id ORDER BY seq) AS before "
        "FROM balls) WHERE seq > before + 1"
    ).fetchall()
    return [Gap(session_id, before + 1, seq - 1) for session_id, before, seq in found]
