"""All rows out, and rows in again so that the same rows in any order, any number of times, make the same book.

Of a row that both sides hold, the one changed later stays (the greater text where that cannot tell); what a ball shows is the last
edit of each field among the edits of both; balls of two laptops that claim one number are put in order and numbered anew.
"""

# ruff: noqa: S608 - only names from our own lists are put into SQL; values are always parameters

import sqlite3
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import suppress
from typing import Any, NoReturn

from rangelog.store import errors, rows
from rangelog.store.desk import Desk
from rangelog.store.intake import STATE_COLUMNS, STATE_KIND, Intake, Merged, kinds

FLAGS = frozenset({"junior", "pain_history", "date_uncertain", "aim_line", "stick", "touched", "counted", "voided", "complete"})

_ORDERS = {
    "session": "ORDER BY order_utc, id",
    "block": "ORDER BY session_id, seq, id",
    "form": "ORDER BY session_id, after_seq, at, id",
    "edit": "ORDER BY order_utc, id",
}


class Merge(Desk):
    """The part of a book that gives all and takes in all."""

    def kinds(self) -> tuple[str, ...]:
        """Every kind of row, parents before children."""
        return kinds()

    def rows_of(self, kind: str) -> Iterator[dict[str, Any]]:
        """Every row of a kind as it stands, bad ones too, each with its `kind`; order does not depend on how the rows came in.

        Raises KeyError for an unknown kind.
        """
        if kind == STATE_KIND:
            columns: tuple[str, ...] = STATE_COLUMNS
            found = self._fetch(f"SELECT {', '.join(columns)} FROM state ORDER BY key")
        elif kind == "ball":
            yield from self._ball_rows()
            return
        else:
            shape = rows.SHAPES[kind]
            columns = shape.all_columns
            found = self._fetch(f"SELECT {', '.join(columns)} FROM {shape.table} {_ORDERS.get(kind, 'ORDER BY id')}")
        for row in found:
            yield _as_mapping(kind, columns, row)

    def _ball_rows(self) -> Iterator[dict[str, Any]]:
        columns = rows.BALL.all_columns
        for (session_id,) in self._fetch("SELECT id FROM sessions ORDER BY order_utc, id"):
            for row in self._fetch(f"SELECT {', '.join(columns)} FROM balls WHERE session_id = ? ORDER BY seq", (session_id,)):
                yield _as_mapping("ball", columns, row)

    def insert_rows(self, kind: str, new: Iterable[Mapping[str, Any]]) -> Merged:
        """Take in rows of one kind; see merge_rows."""
        return self.merge_rows({"kind": kind, **row} for row in new)

    def merge_rows(self, new: Iterable[Mapping[str, Any]]) -> Merged:
        """Take in rows of any kinds (each with its `kind`), in any order, all in one transaction.

        Rows that do not fit are refused one by one and listed. Raises OtherPlayer where a player of another id is among them, NotSaved;
        the book is then as it was.
        """
        return self.take_rows((0, row) for row in new)

    def take_rows(self, new: Iterable[tuple[int, Mapping[str, Any]]], *, dry_run: bool = False) -> Merged:
        """As merge_rows, each row with the number of its line; with `dry_run` everything is tried and nothing kept.

        Rows are read one by one and never held all at once, and the book is not locked while they are read.
        """
        self._write(lambda _: None)  # a book that takes nothing says so before anything is read
        try:
            with Intake(self._connection) as intake:
                for line, row in new:
                    intake.take(row, line)
                intake.flush()
                with suppress(_OnlyLooking):
                    self._write(_only_looking(intake.write) if dry_run else intake.write)
                return intake.result()
        except sqlite3.Error as error:
            raise errors.not_saved(error, self.path) from error


class _OnlyLooking(Exception):
    """Leaves a transaction so that nothing of it stays."""


def _only_looking(work: Callable[[sqlite3.Connection], None]) -> Callable[[sqlite3.Connection], NoReturn]:
    def look(connection: sqlite3.Connection) -> NoReturn:
        work(connection)
        raise _OnlyLooking

    return look


def _as_mapping(kind: str, columns: tuple[str, ...], row: tuple[Any, ...]) -> dict[str, Any]:
    found: dict[str, Any] = {"kind": kind}
    for column, cell in zip(columns, row, strict=True):
        found[column] = bool(cell) if column in FLAGS and cell in (0, 1) else cell
    return found
