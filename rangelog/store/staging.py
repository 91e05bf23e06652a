"""A private place beside the book for rows that wait to be written: tables of the connection's own, on disk where they grow large.

Nothing of it is in the book, nobody else sees it, and it is gone when it is closed.
"""

# ruff: noqa: S608 - only names from our own lists are put into SQL; values are always parameters

import sqlite3
from collections.abc import Callable, Iterator
from typing import Any

from rangelog.store import rows
from rangelog.store.rows import Row, Shape

BATCH = 1000
"""Rows that are put down, or looked at, together."""


def name(kind: str) -> str:
    """The table in which rows of a kind wait: their columns, and `place` (order of arrival) and `line` before them."""
    return f"temp.taken_{kind}"


class Staging:
    """Rows of every kind, each id once. The connection must be in no transaction when this is made, filled or closed.

    Args:
        newer: whether the second of two rows of one id is to stand in place of the first.
        refuse: told of a row that no file can hold: shape, line, row, and why.
    """

    def __init__(
        self,
        connection: sqlite3.Connection,
        newer: Callable[[Shape, Row, Row], bool],
        refuse: Callable[[Shape, int, Row, Exception], None],
    ) -> None:
        self._connection = connection
        self._newer = newer
        self._refuse = refuse
        self._waiting: dict[str, list[Row]] = {kind: [] for kind in rows.SHAPES}
        # what is staged may be larger than memory should hold; changing this drops every temporary table
        connection.execute("PRAGMA temp_store = FILE")
        for kind, shape in rows.SHAPES.items():
            connection.execute(
                f"CREATE TABLE {name(kind)} (place INTEGER PRIMARY KEY, line, id UNIQUE, {', '.join(shape.all_columns[1:])})"
            )
        connection.execute("CREATE TABLE temp.known (place INTEGER PRIMARY KEY, differs)")

    def close(self) -> None:
        """Drop everything; what is half done in an open transaction is not kept."""
        if self._connection.in_transaction:
            self._connection.execute("ROLLBACK")
        self._connection.execute("PRAGMA temp_store = MEMORY")

    def add(self, shape: Shape, line: int, values: Row) -> None:
        """Keep one row; of two with one id the newer stays. Raises sqlite3.Error."""
        waiting = self._waiting[shape.kind]
        waiting.append((line, *values))
        if len(waiting) >= BATCH:
            self._put(shape)

    def flush(self) -> None:
        """Put down what still waits. Raises sqlite3.Error."""
        for kind in self._waiting:
            self._put(rows.SHAPES[kind])

    def _put(self, shape: Shape) -> None:
        batch = self._waiting[shape.kind]
        if not batch:
            return
        columns = ("line", *shape.all_columns)
        insert = (
            f"INSERT INTO {name(shape.kind)} ({', '.join(columns)}) VALUES ({', '.join('?' * len(columns))}) ON CONFLICT (id) DO NOTHING"
        )
        self._connection.execute("BEGIN")
        try:
            alone = self._connection.executemany(insert, batch).rowcount < len(batch)
        except (ValueError, OverflowError):
            alone = True
        if alone:
            # an id stood there already, stands twice in the batch, or a cell is no text that a file could hold
            for row in batch:
                self._put_one(shape, insert, row)
        self._connection.execute("COMMIT")
        batch.clear()

    def _put_one(self, shape: Shape, insert: str, row: Row) -> None:
        try:
            if self._connection.execute(insert, row).rowcount:
                return
        except (ValueError, OverflowError) as error:
            self._refuse(shape, row[0], row[1:], error)
            return
        columns = ", ".join(shape.all_columns)
        held = self._connection.execute(f"SELECT {columns} FROM {name(shape.kind)} WHERE id = ?", (row[1],)).fetchone()
        if held != row[1:] and self._newer(shape, held, row[1:]):
            marks = ", ".join("?" * len(shape.all_columns))
            self._connection.execute(f"UPDATE {name(shape.kind)} SET ({columns}) = ({marks}) WHERE id = ?", (*row[1:], row[1]))

    def pages(self, sql: str) -> Iterator[list[tuple[Any, ...]]]:
        """Rows of a query that begins with the place and ends with a condition, in runs between which the tables may change."""
        place = 0
        while page := self._connection.execute(f"{sql} AND place > ? ORDER BY place LIMIT {BATCH}", (place,)).fetchall():
            yield page
            place = page[-1][0]
