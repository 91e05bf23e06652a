"""Rows on their way into a book: checked one by one, then written together."""

# ruff: noqa: S608 - only names from our own lists are put into SQL; values are always parameters

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rangelog.store import ball_rows, cells, errors, rows, times
from rangelog.store.balls import apply_edits, cell
from rangelog.store.desk import BadRow, insert_sql
from rangelog.store.rows import Row, Shape

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
class Merged:
    """What came of rows that were taken in.

    Attributes:
        added, changed, same: number of rows by kind that are new, that replaced an older version, and that were there already.
        refused: rows set aside, with the reason; nothing of them is in the book.
        differing: ids of balls that both sides hold with different readings and no edit to explain it.
        renumbered: ids of sessions whose balls were put in order and numbered anew.
    """

    added: Mapping[str, int]
    changed: Mapping[str, int]
    same: Mapping[str, int]
    refused: tuple[BadRow, ...]
    differing: tuple[str, ...]
    renumbered: tuple[str, ...]


class Intake:
    """Collects rows with take(), then puts them into a book with write()."""

    def __init__(self) -> None:
        self._rows: dict[str, dict[str, Row]] = {kind: {} for kind in rows.SHAPES}
        self._state: dict[str, tuple[str, str]] = {}
        self._taken = 0
        self._refused: list[BadRow] = []
        self._fresh_start()

    def _fresh_start(self) -> None:
        self._orphans: list[BadRow] = []
        self._differing: list[str] = []
        self._renumbered: list[str] = []
        self._added: Counter[str] = Counter()
        self._changed: Counter[str] = Counter()
        self._same: Counter[str] = Counter()

    def result(self) -> Merged:
        """What came of it."""
        refused = (*self._refused, *self._orphans)
        return Merged(self._added, self._changed, self._same, refused, tuple(sorted(self._differing)), tuple(self._renumbered))

    def take(self, row: Mapping[str, Any]) -> None:
        """Check one row (with its `kind`) and keep it for writing, or set it aside."""
        self._taken += 1
        kind = row.get("kind")
        name = str(row.get("id") or row.get("key") or f"row {self._taken}")
        try:
            if kind == STATE_KIND:
                self._take_state(row)
            elif kind in rows.SHAPES:
                self._take_record(rows.SHAPES[kind], row)
            else:
                raise ValueError(f"kind: {kind!r} is not one of {', '.join(kinds())}")
        except (ValueError, TypeError, OverflowError) as error:
            self._refused.append(BadRow(str(kind), name, str(error)))

    def _take_state(self, row: Mapping[str, Any]) -> None:
        cells.from_json("value_json", row.get("value_json"))
        key, value, saved = (cells.text(column, row.get(column)) for column in STATE_COLUMNS)
        self._state[key] = max(self._state.get(key, ("", "")), (saved, value))

    def _take_record(self, shape: Shape, row: Mapping[str, Any]) -> None:
        record = shape.record(tuple(map(row.get, shape.columns)))
        if not record.id:
            raise ValueError("id: missing")
        if shape is rows.EDIT:
            cell(record.field, cells.from_json("new_json", record.new))
        values = (*shape.row(record), *(_extra(shape.kind, name, row) for name in shape.extra))
        held = self._rows[shape.kind].get(record.id)
        self._rows[shape.kind][record.id] = values if held is None else max(held, values, key=lambda one: _rank(shape, one))

    def write(self, connection: Any) -> None:
        """Put everything into a book, inside a transaction of its own. Raises OtherPlayer, sqlite3.Error."""
        self._fresh_start()
        self._one_player(connection)
        edited = self._edited_columns(connection)
        ids: dict[str, set[str]] = {}
        for kind, shape in rows.SHAPES.items():
            ids[kind] = {row_id for (row_id,) in connection.execute(f"SELECT id FROM {shape.table}")}
            self._write_kind(connection, shape, ids, edited)
        sessions = {values[1] for values in self._rows["ball"].values() if values[0] in ids["ball"]}
        self._renumbered = [session_id for session_id in sorted(sessions) if _renumber(connection, session_id)]
        self._show_last_edits(connection)
        connection.executemany(
            "INSERT INTO state (key, value_json, saved_utc) VALUES (?, ?, ?) ON CONFLICT (key) DO UPDATE SET "
            "value_json = excluded.value_json, saved_utc = excluded.saved_utc "
            "WHERE (excluded.saved_utc, excluded.value_json) > (state.saved_utc, state.value_json)",
            [(key, value, saved) for key, (saved, value) in self._state.items()],
        )

    def _one_player(self, connection: Any) -> None:
        ids = {row_id for (row_id,) in connection.execute("SELECT id FROM players")} | set(self._rows["player"])
        if len(ids) > 1:
            raise errors.OtherPlayer("The rows belong to another player than this book.", "Keep two players in two books.")

    def _edited_columns(self, connection: Any) -> dict[str, set[str]]:
        """Columns of each ball that any edit, held or incoming, has touched: what they show is decided by the edits."""
        edited: dict[str, set[str]] = {}
        pairs = [tuple(row) for row in connection.execute("SELECT DISTINCT ball_id, field FROM edits")]
        pairs += [(values[1], values[2]) for values in self._rows["edit"].values()]
        for ball_id, field in pairs:
            edited.setdefault(ball_id, set()).add(ball_rows.FIELD_COLUMNS.get(field, field))
        return edited

    def _write_kind(self, connection: Any, shape: Shape, ids: dict[str, set[str]], edited: Mapping[str, set[str]]) -> None:
        """Insert what is new, replace what is older; `ids` gains the new ids."""
        fresh: list[Row] = []
        select = f"SELECT {', '.join(shape.all_columns)} FROM {shape.table} WHERE id = ?"
        for row_id, values in self._rows[shape.kind].items():
            orphan = _orphan(shape, values, ids)
            if orphan:
                self._orphans.append(BadRow(shape.kind, row_id, orphan))
            elif row_id not in ids[shape.kind]:
                fresh.append(values)
            else:
                self._settle(connection, shape, tuple(connection.execute(select, (row_id,)).fetchone()), values, edited)
        if shape is rows.BALL:
            fresh = _with_free_numbers(connection, fresh)
        connection.executemany(insert_sql(shape), fresh)
        ids[shape.kind].update(values[0] for values in fresh)
        if fresh:
            self._added[shape.kind] += len(fresh)

    def _settle(self, connection: Any, shape: Shape, held: Row, values: Row, edited: Mapping[str, set[str]]) -> None:
        """Both sides hold this row: keep the one changed later."""
        if held == values:
            self._same[shape.kind] += 1
            return
        apart = {"seq", *edited.get(values[0], ())} if shape is rows.BALL else set()
        columns = [column for column in shape.all_columns if column not in apart]
        mine = {column: value for column, value in zip(shape.all_columns, held, strict=True) if column in columns}
        theirs = {column: value for column, value in zip(shape.all_columns, values, strict=True) if column in columns}
        if mine == theirs:
            self._same[shape.kind] += 1
            return
        if shape is rows.BALL:
            self._differing.append(values[0])
        if _text_rank(mine) >= _text_rank(theirs):
            self._same[shape.kind] += 1
            return
        sets = ", ".join(f"{column} = ?" for column in theirs)
        connection.execute(f"UPDATE {shape.table} SET {sets} WHERE id = ?", (*theirs.values(), values[0]))
        self._changed[shape.kind] += 1

    def _show_last_edits(self, connection: Any) -> None:
        """Give every touched ball the last value of each edited field."""
        touched = {values[1] for values in self._rows["edit"].values()} | set(self._rows["ball"])
        last: dict[str, dict[str, str]] = {}
        for ball_id, field, new in connection.execute("SELECT ball_id, field, new_json FROM edits ORDER BY order_utc, id"):
            if ball_id in touched and field in ball_rows.FIELD_COLUMNS:
                last.setdefault(ball_id, {})[field] = new
        for ball_id, shown in last.items():
            apply_edits(connection, ball_id, shown)


def _extra(kind: str, name: str, row: Mapping[str, Any]) -> Any:
    """A column of the book's own, made up where the row came without it. Raises ValueError."""
    value = row.get(name)
    if name == "keyed_seq":
        return cells.whole(name, row.get("seq") if value is None else value, 1)
    if value is not None:
        return cells.text(name, value)
    moment = row.get("started_at" if kind == "session" else "at")
    return "" if moment is None else times.utc_text(cells.text("at", moment))


def _text_rank(row: Mapping[str, Any]) -> tuple[str, str]:
    return str(row.get("saved_utc", "")), cells.to_json(dict(row))


def _rank(shape: Shape, values: Row) -> tuple[str, str]:
    return _text_rank(dict(zip(shape.all_columns, values, strict=True)))


def _orphan(shape: Shape, values: Row, ids: Mapping[str, set[str]]) -> str:
    """Why a row has no place: something it belongs to is not there. Empty where all is well."""
    for column, parent in _PARENTS.get(shape.kind, {}).items():
        value = values[shape.columns.index(column)]
        if value is not None and value not in ids[parent]:
            return f"{column}: no {parent} {value} in the book"
    return ""


def _with_free_numbers(connection: Any, fresh: list[Row]) -> list[Row]:
    """The same balls, those whose number is taken moved far out until their session is numbered anew."""
    taken: set[tuple[str, int]] = set()
    for session_id in {values[1] for values in fresh}:
        taken |= {(session_id, seq) for (seq,) in connection.execute("SELECT seq FROM balls WHERE session_id = ?", (session_id,))}
    placed = []
    for turn, values in enumerate(fresh, start=1):
        seq = values[2] if (values[1], values[2]) not in taken else _FAR + turn
        taken.add((values[1], seq))
        placed.append((*values[:2], seq, *values[3:]))
    return placed


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
