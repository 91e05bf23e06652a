"""The thin piece between a book and everything that reads it offline: reviews, the coach's page, export, import and merge."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rangelog.core import scales
from rangelog.core.errors import Refused
from rangelog.core.player import Prescription
from rangelog.core.results import Setting
from rangelog.store import Book, ball_rows

if TYPE_CHECKING:
    from rangelog.logbook.review_kept import Done
    from rangelog.logbook.review_table import BallTable

BALL_COLUMNS = (*ball_rows.COLUMNS, "keyed_seq")
"""What a ball is in the file, column by column."""


CACHE_KIB = 16_384


class Archive(Book):
    """A book opened for reading as a whole, or for taking in rows. Numpy waits until a table is asked for."""

    @classmethod
    def look(cls, path: Path | str) -> Archive:
        """A book for reading only. Raises a StoreError where it cannot be read."""
        found = cls.open(path, read_only=True, create=False)
        assert isinstance(found, cls)
        # who reads a book from end to end meets each page once, so that a large cache only costs memory
        found._fetch(f"PRAGMA cache_size = -{CACHE_KIB}")
        return found

    @classmethod
    def take(cls, path: Path | str, *, create: bool = True, daily_backup: bool = True) -> Archive:
        """A book for taking rows in.

        Raises:
            StoreError: it cannot be opened.
            Refused: another program holds it, or its place is read-only.
        """
        found = cls.open(path, create=create, daily_backup=daily_backup)
        assert isinstance(found, cls)
        if found.read_only:
            reason = found.read_only_reason
            found.close()
            raise Refused(f"Nothing was taken in: {reason}.", "Close the other program, or choose another book.")
        return found

    def table(self, since: str = "") -> BallTable:
        """All balls that stand, as columns, or those of sessions from a date on."""
        from rangelog.logbook.review_reading import read_table

        return read_table(self._fetch, since)

    def edges(self) -> tuple[float, float]:
        """Window and wide edge of the prescription in force."""
        found = self.prescription() or Prescription(id="")
        return found.window_deg, found.wide_deg

    def relabelled(self, since: str = "") -> list[tuple[str, int]]:
        """Balls whose intended bow or grip is no longer what it was when they were hit, by the last reason a player gave."""
        rows = self._fetch(
            "SELECT edits.ball_id, edits.field, edits.old_json, edits.new_json, edits.reason, edits.undoes_group_id IS NULL FROM edits "
            "JOIN balls ON balls.id = edits.ball_id JOIN sessions ON sessions.id = balls.session_id "
            "WHERE edits.field IN ('bow', 'grip') AND balls.voided = 0 AND substr(sessions.started_at, 1, 10) >= ? "
            "ORDER BY edits.order_utc, edits.id",
            (since,),
        )
        first: dict[tuple[str, str], str] = {}
        last: dict[tuple[str, str], str] = {}
        reasons: dict[str, str] = {}
        for ball, field, old, new, reason, own in rows:
            first.setdefault((ball, field), old)
            last[ball, field] = new
            if own:
                reasons[ball] = reason
        changed = {ball for (ball, field), old in first.items() if last[ball, field] != old}
        counts = Counter(reasons.get(ball, "") for ball in changed)
        return sorted(counts.items(), key=lambda item: (-item[1], item[0]))

    def corrected(self, since: str = "") -> int:
        """Balls whose start carries a later correction of the aim line."""
        return int(
            self._fetch(
                "SELECT count(*) FROM balls JOIN sessions ON sessions.id = balls.session_id WHERE balls.aim_correction_deg <> 0 "
                "AND balls.voided = 0 AND substr(sessions.started_at, 1, 10) >= ?",
                (since,),
            )[0][0]
        )

    def comfort(self, since: str = "") -> dict[Setting, tuple[float, int]]:
        """Mean comfort, 1-5, and number of answers by setting."""
        rows = self._fetch(
            "SELECT balls.bow_notches, balls.grip_deg, avg(balls.comfort), count(*) FROM balls "
            "JOIN sessions ON sessions.id = balls.session_id WHERE balls.comfort IS NOT NULL AND balls.voided = 0 "
            "AND balls.bow_notches IS NOT NULL AND balls.grip_deg IS NOT NULL AND substr(sessions.started_at, 1, 10) >= ? GROUP BY 1, 2",
            (since,),
        )
        return {Setting(bow, grip): (mean, n) for bow, grip, mean, n in rows}

    def ball_cells(self) -> Iterator[tuple[Any, ...]]:
        """The cells of every ball as they stand, in the order of BALL_COLUMNS, read session by session."""
        select = f"SELECT {', '.join(BALL_COLUMNS)} FROM balls WHERE session_id = ? ORDER BY seq"  # noqa: S608 - our own names
        for (session_id,) in self._fetch("SELECT id FROM sessions ORDER BY order_utc, id"):
            yield from self._fetch(select, (session_id,))

    def done_under(self, asked: Prescription, pain: int | None = None) -> Done:
        """What was done under one version of a prescription; warm-up balls count as hit."""
        from rangelog.logbook.review_kept import Done

        limit = scales.BOW_RANGE[1] if asked.wrist_limit_bow is None else asked.wrist_limit_bow
        mine = "FROM balls WHERE balls.prescription_id = ? AND balls.voided = 0"
        n, club, swing, above, bows, grips = self._fetch(
            f"SELECT count(*), total(coalesce(club_id, '') = ?), total(swing = ?), total(bow_notches > ?), count(DISTINCT bow_notches), "
            f"count(DISTINCT grip_deg) {mine}",
            (asked.club_id, asked.swing, limit, asked.id),
        )[0]
        visits = self._fetch(f"SELECT count(*) {mine} GROUP BY session_id", (asked.id,))
        return Done(
            balls=n,
            with_club=int(club),
            with_swing=int(swing),
            above_limit=int(above),
            sessions=len(visits),
            over_cap=sum(hit > asked.ball_cap for (hit,) in visits),
            moved_bow=bows,
            moved_grip=grips,
            pain=pain,
            first_moved=self._first_moved(asked),
        )

    def _first_moved(self, asked: Prescription) -> str:
        """The lever that left its first value first, over the counted balls of the first sessions under a prescription."""
        # CROSS JOIN keeps the sessions outside, in their order, so that reading ends with the last of these balls
        rows = self._fetch(
            "SELECT balls.bow_notches, balls.grip_deg FROM sessions CROSS JOIN balls ON balls.session_id = sessions.id "
            "WHERE balls.prescription_id = ? AND balls.voided = 0 AND balls.bow_notches IS NOT NULL AND balls.grip_deg IS NOT NULL "
            "ORDER BY sessions.order_utc, sessions.id, balls.seq LIMIT 500",
            (asked.id,),
        )
        for bow, grip in rows:
            if bow != rows[0][0]:
                return "bow" if grip == rows[0][1] else "both"
            if grip != rows[0][1]:
                return "grip"
        return ""
