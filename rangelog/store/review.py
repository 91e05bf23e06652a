"""Balls by filter, in windows and in runs: every look is one short fetch, however large the book."""

# ruff: noqa: S608 - only names from our own lists are put into SQL; values are always parameters

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from rangelog.core.ball import Ball
from rangelog.core.words import BlockKind, Surface, Swing
from rangelog.store import ball_rows, rows
from rangelog.store.desk import Desk

_COLUMNS = ", ".join(f"balls.{column}" for column in ball_rows.COLUMNS)
_SESSION_ORDER = "sessions.order_utc, sessions.id"
_SESSION_ORDER_BACK = "sessions.order_utc DESC, sessions.id DESC"


@dataclass(frozen=True, slots=True)
class BallFilter:
    """Which balls to look at; None means any.

    Attributes:
        date_from, date_to: local dates of the session, YYYY-MM-DD, both included.
        session_id, club_id: by id; an empty club_id means balls without a club.
        surface, stick, swing, block_kind, counted: as stored with each ball.
        stated: both levers stated.
        include_voided: balls taken back, too.
    """

    date_from: str | None = None
    date_to: str | None = None
    session_id: str | None = None
    club_id: str | None = None
    surface: Surface | None = None
    stick: bool | None = None
    swing: Swing | None = None
    block_kind: BlockKind | None = None
    counted: bool | None = None
    stated: bool | None = None
    include_voided: bool = False

    def sql(self) -> tuple[str, list[Any]]:
        """The condition and its parameters, over tables balls, sessions and blocks."""
        parts: list[str] = [] if self.include_voided else ["balls.voided = 0"]
        values: list[Any] = []
        pairs: tuple[tuple[str, Any], ...] = (
            ("substr(sessions.started_at, 1, 10) >= ?", self.date_from),
            ("substr(sessions.started_at, 1, 10) <= ?", self.date_to),
            ("balls.session_id = ?", self.session_id),
            ("coalesce(balls.club_id, '') = ?", self.club_id),
            ("balls.surface = ?", self.surface),
            ("balls.stick = ?", self.stick),
            ("balls.swing = ?", self.swing),
            ("blocks.block_kind = ?", self.block_kind),
            ("balls.counted = ?", self.counted),
            ("(balls.bow_notches IS NOT NULL AND balls.grip_deg IS NOT NULL) = ?", self.stated),
        )
        for part, value in pairs:
            if value is not None:
                parts.append(part)
                values.append(value)
        return " AND ".join(parts) or "1", values

    @property
    def joins(self) -> str:
        """The tables the condition needs, and no other."""
        dated = self.date_from is not None or self.date_to is not None
        sessions = " JOIN sessions ON sessions.id = balls.session_id" if dated else ""
        blocks = " LEFT JOIN blocks ON blocks.id = balls.block_id" if self.block_kind is not None else ""
        return f"balls{sessions}{blocks}"


ALL_BALLS = BallFilter()


class Review(Desk):
    """The part of a book that is read offline."""

    def matching(self, chosen: BallFilter = ALL_BALLS) -> int:
        """How many balls a filter finds."""
        where, values = chosen.sql()
        count: int = self._value(f"SELECT count(*) FROM {chosen.joins} WHERE {where}", values)
        return count

    def window(self, offset: int, limit: int, chosen: BallFilter = ALL_BALLS, newest_first: bool = True) -> list[Ball]:
        """Some rows of the list of all balls a filter finds.

        The sessions before the offset are stepped over by their counts, so that the last page costs what the first does.
        """
        where, values = chosen.sql()
        found: list[Ball] = []
        for session_id, count in self._runs(chosen, newest_first):
            if offset >= count:
                offset -= count
                continue
            order = "DESC" if newest_first else "ASC"
            page = self._fetch(
                f"SELECT {_COLUMNS} FROM {chosen.joins} WHERE balls.session_id = ? AND {where} ORDER BY balls.seq {order} LIMIT ? OFFSET ?",
                (session_id, *values, limit - len(found), offset),
            )
            found += self._read_rows(rows.BALL, page)
            offset = 0
            if len(found) >= limit:
                break
        return found

    def _runs(self, chosen: BallFilter, newest_first: bool) -> list[tuple[str, int]]:
        """Sessions in order with how many balls a filter finds in each; kept until the book changes."""
        key = (chosen, newest_first)
        version = (self._value("PRAGMA data_version"), self._connection.total_changes)
        if self._runs_known is None or self._runs_known[0] != (key, version):
            where, values = chosen.sql()
            order = _SESSION_ORDER_BACK if newest_first else _SESSION_ORDER
            # counted by the balls' own index before anything is said of the sessions: a hundred thousand are gone through in 20 ms
            counts = f"SELECT balls.session_id, count(*) AS n FROM {chosen.joins} WHERE {where} GROUP BY balls.session_id"
            found = self._fetch(
                f"SELECT sessions.id, runs.n FROM ({counts}) AS runs JOIN sessions ON sessions.id = runs.session_id ORDER BY {order}",
                values,
            )
            self._runs_known = ((key, version), [(row[0], row[1]) for row in found])
        return self._runs_known[1]

    _runs_known: tuple[Any, list[tuple[str, int]]] | None = None

    def each_ball(self, chosen: BallFilter = ALL_BALLS) -> Iterator[Ball]:
        """Balls in order of session and sequence, read session by session so that no read stays open between them."""
        where, values = chosen.sql()
        for session_id, _ in self._runs(chosen, newest_first=False):
            page = self._fetch(
                f"SELECT {_COLUMNS} FROM {chosen.joins} WHERE balls.session_id = ? AND {where} ORDER BY balls.seq", (session_id, *values)
            )
            yield from self._read_rows(rows.BALL, page)

    def find_notes(self, text: str, limit: int = 200) -> list[Ball]:
        """Balls whose note holds a text, whatever the case of its letters, newest first."""
        noted = self._fetch(
            f"SELECT balls.id, balls.note FROM balls JOIN sessions ON sessions.id = balls.session_id "
            f"WHERE balls.note <> '' AND balls.voided = 0 ORDER BY {_SESSION_ORDER_BACK}, balls.seq DESC"
        )
        wanted = text.casefold()
        found: list[Ball] = []
        for ball_id, note in noted:
            if wanted in str(note).casefold():
                found += self._records(rows.BALL, "WHERE id = ?", (ball_id,))
                if len(found) >= limit:
                    break
        return found
