"""Rows on their way into a book: checked one by one and put aside as they come, then written together.

However many there are, only a few are in memory at a time.
"""

# ruff: noqa: S608 - only names from our own lists are put into SQL; values are always parameters

import sqlite3
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from types import TracebackType
from typing import Any, Self

from rangelog.store import ball_rows, cells, errors, intake_ball, rows, times
from rangelog.store.balls import apply_edits, cell
from rangelog.store.desk import BadRow, insert_sql
from rangelog.store.rows import Row, Shape
from rangelog.store.staging import Staging, name

STATE_KIND = "state"
STATE_COLUMNS = ("key", "value_json", "saved_utc")

_PARENTS: dict[str, dict[str, str]] = {
    "prescription": {"club_id": "club"},
    "block": {"session_id": "session"},
    "ball": {"session_id": "session", "block_id": "block", "prescription_id": "prescription", "club_id": "club"},
    "form": {"session_id": "session"},
    "edit": {"ball_id": "ball"},
}
_FAR = 1_000_000_000
"""Added to a number that is taken until the session is numbered anew."""


def kinds() -> tuple[str, ...]:
    """Every kind of row, parents before children; "state" is what the program on this computer had in mind."""
    return (*rows.SHAPES, STATE_KIND)


@dataclass(frozen=True, slots=True)
class Misfit(BadRow):
    """A row that was set aside.

    Attributes:
        line: the number it came with, 0 for none.
    """

    line: int = 0


@dataclass(frozen=True, slots=True)
class Merged:
    """What came of rows that were taken in.

    Attributes:
        added, changed, same: number of rows by kind that are new, that replaced an older version, and that were there already.
        refused: rows set aside, with the reason; nothing of them is in the book. Their table is the kind.
        differing: ids of balls that both sides hold with different readings and no edit to explain it.
        renumbered: ids of sessions whose balls were put in order and numbered anew.
    """

    added: Mapping[str, int]
    changed: Mapping[str, int]
    same: Mapping[str, int]
    refused: tuple[Misfit, ...]
    differing: tuple[str, ...]
    renumbered: tuple[str, ...]


class Intake:
    """Collects rows with take(), then puts them into the book of a connection with write(). To be used in a with statement."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._staging = Staging(connection, _newer, self._refuse)
        self._state: dict[str, tuple[str, str]] = {}
        self._taken = 0
        self._refused: list[Misfit] = []
        self._differing: list[str] = []
        self._renumbered: list[str] = []
        self._added: Counter[str] = Counter()
        self._changed: Counter[str] = Counter()
        self._same: Counter[str] = Counter()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self._staging.close()

    def result(self) -> Merged:
        """What came of it."""
        return Merged(self._added, self._changed, self._same, tuple(self._refused), tuple(sorted(self._differing)), tuple(self._renumbered))

    def take(self, row: Mapping[str, Any], line: int = 0) -> None:
        """Check one row (with its `kind`) and keep it for writing, or set it aside. Raises sqlite3.Error where there is no room."""
        self._taken += 1
        kind = row.get("kind")
        try:
            if kind == "ball":
                self._take_ball(row, line)
            elif kind == STATE_KIND:
                self._take_state(row)
            elif kind in rows.SHAPES:
                self._take_record(rows.SHAPES[kind], row, line)
            else:
                raise ValueError(f"kind: {kind!r} is not one of {', '.join(kinds())}")
        except (ValueError, TypeError, OverflowError) as error:
            called = str(row.get("id") or row.get("key") or f"row {self._taken}")
            self._refused.append(Misfit(str(kind), called, str(error), line))

    def _refuse(self, shape: Shape, line: int, values: Row, error: Exception) -> None:
        self._refused.append(Misfit(shape.kind, ascii(values[0])[1:-1], str(error), line))

    def _take_state(self, row: Mapping[str, Any]) -> None:
        cells.from_json("value_json", row.get("value_json"))
        key, value, saved = (cells.text(column, row.get(column)) for column in STATE_COLUMNS)
        self._state[key] = max(self._state.get(key, ("", "")), (saved, value))

    def _take_ball(self, row: Mapping[str, Any], line: int) -> None:
        values = intake_ball.checked(tuple(map(row.get, ball_rows.COLUMNS)))
        if not values[0]:
            raise ValueError("id: missing")
        keyed = row.get("keyed_seq")
        keyed = values[2] if keyed is None else cells.whole("keyed_seq", keyed, 1)
        self._staging.add(rows.BALL, line, (*values, keyed))

    def _take_record(self, shape: Shape, row: Mapping[str, Any], line: int) -> None:
        record = shape.record(tuple(map(row.get, shape.columns)))
        if not record.id:
            raise ValueError("id: missing")
        if shape is rows.EDIT:
            cell(record.field, cells.from_json("new_json", record.new))
        self._staging.add(shape, line, (*shape.row(record), *(_extra(shape.kind, column, row) for column in shape.extra)))

    def flush(self) -> None:
        """Everything has been taken; to be called before write(), outside any transaction. Raises sqlite3.Error."""
        self._staging.flush()

    def write(self, connection: sqlite3.Connection) -> None:
        """Put everything into the book, once, inside a transaction of its own. Raises OtherPlayer, sqlite3.Error."""
        players = connection.execute(f"SELECT id FROM players UNION SELECT id FROM {name('player')} LIMIT 2").fetchall()
        if len(players) > 1:
            raise errors.OtherPlayer("The rows belong to another player than this book.", "Keep two players in two books.")
        connection.execute("CREATE INDEX temp.taken_edit_ball ON taken_edit (ball_id)")
        for shape in rows.SHAPES.values():
            self._write_kind(shape)
        self._number_anew()
        self._show_last_edits()
        connection.executemany(
            "INSERT INTO state (key, value_json, saved_utc) VALUES (?, ?, ?) ON CONFLICT (key) DO UPDATE SET "
            "value_json = excluded.value_json, saved_utc = excluded.saved_utc "
            "WHERE (excluded.saved_utc, excluded.value_json) > (state.saved_utc, state.value_json)",
            [(key, value, saved) for key, (saved, value) in self._state.items()],
        )

    def _write_kind(self, shape: Shape) -> None:
        """Insert what is new, replace what is older."""
        self._set_orphans_aside(shape)
        taken, columns = name(shape.kind), shape.all_columns
        mine, theirs = (", ".join(f"{table}.{column}" for column in columns) for table in ("held", "taken"))
        execute = self._connection.execute
        execute("DELETE FROM temp.known")
        execute(
            f"INSERT INTO temp.known SELECT place, ({theirs}) IS NOT ({mine}) FROM {taken} AS taken JOIN {shape.table} AS held "
            f"ON held.id = taken.id"
        )
        (same,) = execute("SELECT count(*) FROM temp.known WHERE NOT differs").fetchone()
        self._count(self._same, shape, same)
        pairs = (
            f"SELECT place, line, {mine}, {theirs} FROM temp.known JOIN {taken} AS taken USING (place) JOIN {shape.table} AS held "
            f"ON held.id = taken.id WHERE differs"
        )
        for page in self._staging.pages(pairs):
            for _, line, *both in page:
                self._settle(shape, line, dict(zip(columns, both, strict=False)), dict(zip(columns, both[len(columns) :], strict=True)))
        self._count(self._added, shape, self._insert(shape))

    def _insert(self, shape: Shape) -> int:
        """Put the new rows of a kind into the book: together, or, where the book itself refuses one, one by one. Returns how many."""
        columns = ", ".join(shape.all_columns)
        fresh = f"SELECT {{}} FROM {name(shape.kind)} WHERE place NOT IN (SELECT place FROM temp.known)"
        together = f"INSERT INTO {shape.table} ({columns}) {fresh.format(columns)} ORDER BY place"
        n = self._try(together)
        if n is None and shape is rows.BALL:
            # most likely two balls claim one number
            self._free_numbers()
            n = self._try(together)
        if n is not None:
            return n
        n = 0
        for page in self._staging.pages(fresh.format(f"place, line, {columns}")):
            n += sum(self._stands(insert_sql(shape), values, shape, values[0], line) for _, line, *values in page)
        return n

    def _try(self, sql: str) -> int | None:
        """Run a change of many rows, whole or not at all. Returns how many rows; None where a rule of the book was broken."""
        execute = self._connection.execute
        execute("SAVEPOINT together")
        n: int | None = None
        try:
            n = execute(sql).rowcount
        except sqlite3.IntegrityError:
            execute("ROLLBACK TO together")
        execute("RELEASE together")
        return n

    def _stands(self, sql: str, values: Sequence[Any], shape: Shape, row_id: str, line: int) -> bool:
        """Run one change; a row that breaks a rule of the book itself is set aside."""
        try:
            self._connection.execute(sql, values)
        except sqlite3.IntegrityError as error:
            self._refused.append(Misfit(shape.kind, row_id, str(errors.misfit(error)).removeprefix("Not saved: "), line))
            return False
        return True

    @staticmethod
    def _count(counter: Counter[str], shape: Shape, n: int) -> None:
        if n:
            counter[shape.kind] += n

    def _set_orphans_aside(self, shape: Shape) -> None:
        """Rows that belong to something that is not there."""
        found: list[tuple[int, Misfit]] = []
        for column, parent in _PARENTS.get(shape.kind, {}).items():
            there = f"SELECT 1 FROM {rows.SHAPES[parent].table} AS parent WHERE parent.id = taken.{column}"
            lost = self._connection.execute(
                f"DELETE FROM {name(shape.kind)} AS taken WHERE {column} IS NOT NULL AND NOT EXISTS ({there}) "
                f"RETURNING place, line, id, {column}"
            )
            for place, line, row_id, value in lost.fetchall():
                found.append((place, Misfit(shape.kind, row_id, f"{column}: no {parent} {value} in the book", line)))
        self._refused += [misfit for _, misfit in sorted(found, key=lambda pair: pair[0])]

    def _settle(self, shape: Shape, line: int, held: dict[str, Any], taken: dict[str, Any]) -> None:
        """Both sides hold this row and differ in it: keep the one changed later."""
        if shape is rows.BALL:
            # its number, and what any edit has touched, are decided elsewhere
            for column in {"seq", *self._edited_columns(held["id"])}:
                del held[column], taken[column]
        if held == taken:
            self._same[shape.kind] += 1
            return
        if shape is rows.BALL:
            self._differing.append(held["id"])
        if _text_rank(held) >= _text_rank(taken):
            self._same[shape.kind] += 1
            return
        sets = ", ".join(f"{column} = ?" for column in taken)
        update = f"UPDATE {shape.table} SET {sets} WHERE id = ?"
        if self._stands(update, (*taken.values(), taken["id"]), shape, taken["id"], line):
            self._changed[shape.kind] += 1

    def _edited_columns(self, ball_id: str) -> set[str]:
        """Columns of a ball that any edit, held or incoming, has touched: what they show is decided by the edits."""
        found = self._connection.execute(
            f"SELECT field FROM edits WHERE ball_id = ? UNION SELECT field FROM {name('edit')} WHERE ball_id = ?", (ball_id, ball_id)
        )
        return {ball_rows.FIELD_COLUMNS.get(field, field) for (field,) in found}

    def _free_numbers(self) -> None:
        """Move new balls whose number is taken far out, until their session is numbered anew."""
        self._connection.execute(
            f"UPDATE {name('ball')} SET seq = {_FAR} + place WHERE place IN (SELECT place FROM "
            "(SELECT place, session_id, seq, row_number() OVER (PARTITION BY session_id, seq ORDER BY place) AS turn "
            f"FROM {name('ball')} WHERE place NOT IN (SELECT place FROM temp.known)) AS fresh "
            "WHERE turn > 1 OR EXISTS (SELECT 1 FROM balls WHERE balls.session_id = fresh.session_id AND balls.seq = fresh.seq))"
        )

    def _number_anew(self) -> None:
        """Sessions that rows came for and in which a ball has not the number it was keyed with."""
        found = self._connection.execute(
            f"SELECT DISTINCT session_id FROM balls WHERE seq <> keyed_seq AND session_id IN (SELECT session_id FROM {name('ball')}) "
            "ORDER BY session_id"
        ).fetchall()
        self._renumbered = [session_id for (session_id,) in found if _renumber(self._connection, session_id)]

    def _show_last_edits(self) -> None:
        """Give every touched ball the last value of each edited field."""
        found = self._connection.execute(
            "SELECT ball_id, field, new_json FROM edits "
            f"WHERE EXISTS (SELECT 1 FROM {name('edit')} AS new WHERE new.ball_id = edits.ball_id) "
            f"OR EXISTS (SELECT 1 FROM {name('ball')} AS new WHERE new.id = edits.ball_id) ORDER BY ball_id, order_utc, id"
        ).fetchall()
        for ball_id, edits in groupby(found, key=lambda edit: edit[0]):
            shown = {field: new for _, field, new in edits if field in ball_rows.FIELD_COLUMNS}
            if shown:
                apply_edits(self._connection, ball_id, shown)


def _extra(kind: str, column: str, row: Mapping[str, Any]) -> Any:
    """A column of the book's own, made up where the row came without it. Raises ValueError."""
    value = row.get(column)
    if value is not None:
        return cells.text(column, value)
    moment = row.get("started_at" if kind == "session" else "at")
    return "" if moment is None else times.utc_text(cells.text("at", moment))


def _text_rank(row: Mapping[str, Any]) -> tuple[str, str]:
    return str(row.get("saved_utc", "")), cells.to_json(dict(row))


def _newer(shape: Shape, held: Row, other: Row) -> bool:
    """Of two rows with one id, whether the second stays."""
    mine, theirs = (_text_rank(dict(zip(shape.all_columns, values, strict=True))) for values in (held, other))
    return theirs > mine


def _renumber(connection: Any, session_id: str) -> bool:
    """Number the balls of a session: as they were keyed, or, where two claim one number, 1.. by number, time and id.

    Depends on nothing but the balls themselves, so that any order of merging ends alike. True where a number changed.
    """
    found = connection.execute("SELECT id, seq, keyed_seq, at FROM balls WHERE session_id = ?", (session_id,)).fetchall()
    if len({keyed for _, _, keyed, _ in found}) == len(found):
        wanted = {ball_id: keyed for ball_id, _, keyed, _ in found}
    else:
        in_order = sorted(found, key=lambda row: (row[2], times.utc_text(row[3]), row[0]))
        wanted = {row[0]: place for place, row in enumerate(in_order, start=1)}
    moves = [(wanted[ball_id], ball_id) for ball_id, seq, _, _ in found if seq != wanted[ball_id]]
    # two passes, since no two balls may share a number at any moment
    connection.executemany("UPDATE balls SET seq = ? WHERE id = ?", [(2 * _FAR + place, ball_id) for place, ball_id in moves])
    connection.executemany("UPDATE balls SET seq = ? WHERE id = ?", moves)
    return bool(moves)
