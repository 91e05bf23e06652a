"""Balls and their edits: nothing is ever deleted, every correction keeps the old value."""

# ruff: noqa: S608 - only names from our own lists are put into SQL; values are always parameters

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from rangelog.core import scales
from rangelog.core.ball import FIELD_WORDS, Ball
from rangelog.core.errors import OffScale
from rangelog.core.session import Edit
from rangelog.store import ball_rows, cells, errors, rows, times
from rangelog.store.desk import Desk

_COLUMNS = ", ".join(f"balls.{column}" for column in ball_rows.COLUMNS)
_ORDERED = "ORDER BY sessions.order_utc, sessions.id, balls.seq"

_NUMBERS: dict[str, Callable[[Any], float]] = {
    "bow": scales.bow,
    "felt_bow": scales.bow,
    "grip": scales.grip,
    "position_balls": scales.position,
    "start_deg": scales.start_deg,
    "launch_deg": lambda value: scales.number("launch", value, *scales.LAUNCH_RANGE, "deg"),
    "apex_m": lambda value: scales.number("apex", value, *scales.APEX_RANGE, "m"),
    "comfort": lambda value: int(scales.number("comfort", value, *scales.COMFORT_RANGE)),
    "aim_correction_deg": lambda value: scales.number("aim correction", value, -90, 90, "deg"),
}
_FLAGS = frozenset({"stick", "aim_line", "touched", "counted", "voided"})


class Balls(Desk):
    """The part of a book that holds what was hit."""

    def add_ball(self, ball: Ball, *, state: Mapping[str, Any] | None = None) -> None:
        """Store one ball, on the disk when this returns. Sending the same ball (same id) again changes nothing.

        Raises NotSaved, Clash where another ball has its number, OffScale where a cell cannot be kept.
        """

        def work(connection: Any) -> None:
            self._put(connection, rows.BALL, ball, ball.seq)
            self._put_state(connection, state)

        self._write(work)

    def add_balls(self, balls: Iterable[Ball]) -> int:
        """Store many balls, all or none; those already there change nothing. Returns how many are new. Raises as add_ball."""
        return self._write(lambda connection: sum(self._put(connection, rows.BALL, ball, ball.seq) for ball in balls))

    def edit_balls(self, edits: Sequence[Edit], *, state: Mapping[str, Any] | None = None) -> None:
        """Store corrections and the values they give, all or none. An edit already there (same id) changes nothing.

        Raises NotSaved, UnknownRow for a ball that is not there, OffScale for a field or value that cannot be.
        """

        def work(connection: Any) -> None:
            (newest,) = connection.execute("SELECT max(order_utc) FROM edits").fetchone()
            changed: dict[str, dict[str, str]] = {}
            for edit in edits:
                if edit.field not in ball_rows.FIELD_COLUMNS:
                    raise OffScale(edit.field, f"{edit.field} of a ball cannot be edited.")
                place = times.after(newest, edit.at)
                if self._put(connection, rows.EDIT, edit, place):
                    newest = place
                    changed.setdefault(edit.ball_id, {})[edit.field] = edit.new
            for ball_id, values in changed.items():
                apply_edits(connection, ball_id, values)
            self._put_state(connection, state)

        known = {edit.ball_id for edit in edits}
        missing = sorted(ball_id for ball_id in known if self._value("SELECT 1 FROM balls WHERE id = ?", (ball_id,)) is None)
        if missing:
            raise errors.UnknownRow("No such ball is in the book.", f"Its id was {missing[0]}.")
        self._write(work)

    def ball(self, ball_id: str) -> Ball | None:
        """One ball by id, voided or not."""
        found = self._records(rows.BALL, "WHERE id = ?", (ball_id,))
        return found[0] if found else None

    def balls(self, session_id: str, include_voided: bool = False) -> list[Ball]:
        """Balls of a session in sequence."""
        return self._records(rows.BALL, "WHERE session_id = ? AND (voided = 0 OR ?) ORDER BY seq", (session_id, int(include_voided)))

    def recent_balls(self, sessions: int = 20, before: str | None = None, include_voided: bool = False) -> list[Ball]:
        """Balls of the last sessions that have any, in order of session and sequence.

        `before` is the id of a session: only sessions before it are taken.
        """
        limit = "" if before is None else "AND (order_utc, id) < (SELECT order_utc, id FROM sessions WHERE id = ?)"
        found = self._fetch(
            f"SELECT {_COLUMNS} FROM (SELECT id, order_utc FROM sessions WHERE EXISTS (SELECT 1 FROM balls WHERE session_id = sessions.id) "
            f"{limit} ORDER BY order_utc DESC, id DESC LIMIT ?) AS sessions JOIN balls ON balls.session_id = sessions.id "
            f"WHERE balls.voided = 0 OR ? {_ORDERED}",
            (*(() if before is None else (before,)), sessions, int(include_voided)),
        )
        return self._read_rows(rows.BALL, found)

    def count_balls(self, session_id: str, include_voided: bool = False) -> int:
        """Balls of a session."""
        count: int = self._value("SELECT count(*) FROM balls WHERE session_id = ? AND (voided = 0 OR ?)", (session_id, int(include_voided)))
        return count

    def last_seq(self, session_id: str) -> int:
        """Highest number in a session, voided balls too; 0 where there is none."""
        return self._value("SELECT max(seq) FROM balls WHERE session_id = ?", (session_id,)) or 0

    def total_balls(self) -> int:
        """All balls of the book, voided ones too."""
        count: int = self._value("SELECT count(*) FROM balls")
        return count

    def edits(self, ball_id: str | None = None, session_id: str | None = None) -> list[Edit]:
        """Edits in the order they were made, of one ball, one session, or all."""
        names = ", ".join(f"edits.{column}" for column in rows.EDIT.columns)
        order = "ORDER BY edits.order_utc, edits.id"
        if ball_id is not None:
            found = self._fetch(f"SELECT {names} FROM edits WHERE ball_id = ? {order}", (ball_id,))
        elif session_id is not None:
            found = self._fetch(
                f"SELECT {names} FROM edits JOIN balls ON balls.id = edits.ball_id WHERE balls.session_id = ? {order}", (session_id,)
            )
        else:
            found = self._fetch(f"SELECT {names} FROM edits {order}")
        return self._read_rows(rows.EDIT, found)


def apply_edits(connection: Any, ball_id: str, values: Mapping[str, str]) -> None:
    """Give a ball the new values of its edits (field to JSON text). Raises OffScale where a value cannot be."""
    columns = [ball_rows.FIELD_COLUMNS[field] for field in values]
    new = [cell(field, cells.from_json(field, text)) for field, text in values.items()]
    sets = ", ".join(f"{column} = ?" for column in columns)
    connection.execute(f"UPDATE balls SET {sets} WHERE id = ?", (*new, ball_id))


def cell(field: str, value: Any) -> Any:
    """A value of an edit as it stands in the file. Raises OffScale naming the field."""
    if field in FIELD_WORDS:
        return None if value is None else str(scales.word(field, value, FIELD_WORDS[field]))
    if field in _FLAGS:
        if not isinstance(value, bool):
            raise OffScale(field, f"{field} is yes or no.")
        return int(value)
    if field in {"block_id", "prescription_id", "club_id"}:
        return cells.blank(value or "")
    if field in {"note", "target"}:
        return cells.clean(str(value or ""))
    if value is None:
        if field in {"position_balls", "aim_correction_deg"}:
            raise OffScale(field, f"{field} cannot be empty.")
        return None
    return _NUMBERS[field](value)
