"""Sessions, blocks and forms."""

# ruff: noqa: S608 - only names from our own lists are put into SQL; values are always parameters

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from rangelog.core.session import Block, Form, Session
from rangelog.store import errors, rows, times
from rangelog.store.desk import Desk

_NEWEST_FIRST = "ORDER BY order_utc DESC, id DESC"
_OLDEST_FIRST = "ORDER BY order_utc, id"


@dataclass(frozen=True, slots=True)
class SessionCount:
    """One session with its numbers, voided balls left out.

    Attributes:
        balls, counted: all balls and those that take part in fits.
        strike_known, solid: balls with a strike keyed, and solid ones among them.
        seen, on_line: balls whose start was seen, and those classed on line (class as keyed; a number decides where there is one).
    """

    session: Session
    balls: int
    counted: int
    strike_known: int
    solid: int
    seen: int
    on_line: int


class Sessions(Desk):
    """The part of a book that says when, in what blocks, and how the player was."""

    def sessions(self, limit: int | None = None, newest_first: bool = True) -> list[Session]:
        """Sessions in the order they took place."""
        return self._records(rows.SESSION, f"{_NEWEST_FIRST if newest_first else _OLDEST_FIRST} LIMIT ?", (-1 if limit is None else limit,))

    def session(self, session_id: str) -> Session | None:
        """One session by id."""
        found = self._records(rows.SESSION, "WHERE id = ?", (session_id,))
        return found[0] if found else None

    def last_session(self) -> Session | None:
        """The latest session, running or ended."""
        found = self.sessions(limit=1)
        return found[0] if found else None

    def session_counts(self, window_deg: float = 2.0, newest_first: bool = True, limit: int | None = None) -> list[SessionCount]:
        """Sessions with their numbers, in one query: all, or the first `limit`. `window_deg` classes the balls that have a number."""
        columns = ", ".join(f"sessions.{column}" for column in rows.SESSION.columns)
        order = "ORDER BY sessions.order_utc DESC, sessions.id DESC" if newest_first else "ORDER BY sessions.order_utc, sessions.id"
        # counted session by session along the index of balls, and joined afterwards: nothing of the balls has to be sorted in memory
        found = self._fetch(
            f"WITH chosen AS (SELECT * FROM sessions {order} LIMIT ?), counted AS (SELECT session_id, count(*) AS n, "
            "sum(counted) AS kept, sum(strike IS NOT NULL) AS struck, sum(coalesce(strike = 'solid', 0)) AS solid, "
            "sum(side IS NOT NULL OR start_deg IS NOT NULL) AS seen, "
            "sum(coalesce(CASE WHEN start_deg IS NULL THEN side = 'on line' ELSE abs(start_deg - aim_correction_deg) <= ? END, 0)) AS hits "
            "FROM balls WHERE session_id IN (SELECT id FROM chosen) AND NOT voided GROUP BY session_id) "
            f"SELECT {columns}, coalesce(n, 0), coalesce(kept, 0), coalesce(struck, 0), coalesce(solid, 0), coalesce(seen, 0), "
            f"coalesce(hits, 0) FROM chosen AS sessions LEFT JOIN counted ON counted.session_id = sessions.id {order}",
            (-1 if limit is None else limit, window_deg),
        )
        width = len(rows.SESSION.columns)
        counted = []
        for row in found:
            for session in self._read_rows(rows.SESSION, [row[:width]]):
                counted.append(SessionCount(session, *row[width:]))
        return counted

    def start_session(self, session: Session, state: Mapping[str, Any] | None = None) -> None:
        """Open a session; the same id again changes nothing.

        With an uncertain date it is placed after all others, whatever its clock said. Raises NotSaved.
        """

        def work(connection: Any) -> None:
            order = times.utc_text(session.started_at)
            if session.date_uncertain:
                (newest,) = connection.execute("SELECT max(order_utc) FROM sessions").fetchone()
                order = times.after(newest, session.started_at)
            self._put(connection, rows.SESSION, session, order, times.utc_text(self._now()))
            self._put_state(connection, state)

        self._write(work)

    def save_session(self, session: Session) -> None:
        """Change what is said of a session (its note, surface, aim line); its start and place stay. Raises NotSaved, UnknownRow."""
        self._change(rows.SESSION, session.id, rows.session_row(session), keep=("id", "started_at", "date_uncertain"))

    def end_session(self, session_id: str, at: str, state: Mapping[str, Any] | None = None) -> None:
        """Close a session. Raises NotSaved, UnknownRow."""
        self._set(rows.SESSION, session_id, {"ended_at": at}, state)

    def newest_time(self) -> datetime | None:
        """The latest moment the book knows, None where it is empty: a clock before it is wrong."""
        texts = self._fetch(
            "SELECT started_at, ended_at, (SELECT at FROM balls WHERE session_id = sessions.id ORDER BY seq DESC LIMIT 1) "
            "FROM sessions WHERE NOT date_uncertain ORDER BY order_utc DESC, id DESC LIMIT 3"
        )
        moments = []
        for text in (text for row in texts for text in row if text):
            try:
                moments.append(times.instant(text))
            except ValueError:
                continue
        return max(moments, default=None)

    def blocks(self, session_id: str) -> list[Block]:
        """Blocks of a session in order."""
        return self._records(rows.BLOCK, "WHERE session_id = ? ORDER BY seq, id", (session_id,))

    def block(self, block_id: str) -> Block | None:
        """One block by id."""
        found = self._records(rows.BLOCK, "WHERE id = ?", (block_id,))
        return found[0] if found else None

    def start_block(self, block: Block, state: Mapping[str, Any] | None = None) -> None:
        """Open a block; the same id again changes nothing. Raises NotSaved."""

        def work(connection: Any) -> None:
            self._put(connection, rows.BLOCK, block, times.utc_text(self._now()))
            self._put_state(connection, state)

        self._write(work)

    def end_block(self, block_id: str, at: str, outcome: str, state: Mapping[str, Any] | None = None) -> None:
        """Close a block with its outcome (see Block). Raises NotSaved, UnknownRow, OffScale for another word."""
        self._set(rows.BLOCK, block_id, {"ended_at": at, "outcome": outcome}, state)

    def save_block(self, block: Block, state: Mapping[str, Any] | None = None) -> None:
        """Change a block (its planned count, plan, end). Raises NotSaved, UnknownRow."""
        self._change(rows.BLOCK, block.id, rows.block_row(block), keep=("id", "session_id"), state=state)

    def forms(self, session_id: str | None = None, name: str | None = None) -> list[Form]:
        """Forms of a session (or of all), in the order they were answered, half-filled ones too."""
        return self._records(
            rows.FORM,
            "WHERE session_id = coalesce(?, session_id) AND name = coalesce(?, name) ORDER BY session_id, after_seq, at, id",
            (session_id, name),
        )

    def add_form(self, form: Form, state: Mapping[str, Any] | None = None) -> None:
        """Keep a form; the same id again changes nothing. Raises NotSaved."""

        def work(connection: Any) -> None:
            self._put(connection, rows.FORM, form, times.utc_text(self._now()))
            self._put_state(connection, state)

        self._write(work)

    def update_form(self, form: Form, state: Mapping[str, Any] | None = None) -> None:
        """Fill a form further. Raises NotSaved, UnknownRow."""
        self._change(rows.FORM, form.id, rows.form_row(form), keep=("id", "session_id"), state=state)

    def _change(
        self, shape: rows.Shape, row_id: str, cells: rows.Row, keep: tuple[str, ...], state: Mapping[str, Any] | None = None
    ) -> None:
        self._set(shape, row_id, {name: cell for name, cell in zip(shape.columns, cells, strict=True) if name not in keep}, state)

    def _set(self, shape: rows.Shape, row_id: str, values: Mapping[str, Any], state: Mapping[str, Any] | None) -> None:
        def work(connection: Any) -> None:
            stamped = {**values, "saved_utc": self._stamp(connection, shape, row_id)}
            names = ", ".join(f"{column} = ?" for column in stamped)
            changed = connection.execute(f"UPDATE {shape.table} SET {names} WHERE id = ?", (*stamped.values(), row_id))
            if changed.rowcount != 1:
                raise errors.UnknownRow(f"No such {shape.kind} is in the book.")
            self._put_state(connection, state)

        self._write(work)
