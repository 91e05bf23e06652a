"""Balls hit while tired: kept, flagged late, and every effect told with and without them."""

from collections.abc import Iterable
from dataclasses import dataclass

from rangelog.core.ball import Ball
from rangelog.core.results import Share
from rangelog.core.words import Strike
from rangelog.evidence.intervals import fisher_two_sided, wilson
from rangelog.logbook.review_session import RECENT


@dataclass(frozen=True, slots=True)
class TiredEnd:
    """The end of one session at which strike fell.

    Attributes:
        session_id: which session.
        late: solid share of its last balls with a strike.
        before: solid share of those before.
        p: two-sided exact p of no difference.
        ball_ids: every ball from the first late one on.
    """

    session_id: str
    late: Share
    before: Share
    p: float
    ball_ids: tuple[str, ...]


def tired_ends(balls: Iterable[Ball]) -> tuple[TiredEnd, ...]:
    """Sessions whose last twelve struck balls were shown to be less solid than those before (exact test, 5 %), in order."""
    sessions: dict[str, list[Ball]] = {}
    for ball in balls:
        if not ball.voided:
            sessions.setdefault(ball.session_id, []).append(ball)
    found = (_end(session_id, sorted(hit, key=lambda ball: ball.seq)) for session_id, hit in sessions.items())
    return tuple(end for end in found if end is not None)


def _end(session_id: str, balls: list[Ball]) -> TiredEnd | None:
    struck = [ball for ball in balls if ball.strike is not None]
    early, late = struck[:-RECENT], struck[-RECENT:]
    if not early:
        return None
    hits, other = (sum(ball.strike is Strike.SOLID for ball in part) for part in (late, early))
    p = fisher_two_sided(hits, len(late), other, len(early))
    if p > 0.05 or hits / len(late) >= other / len(early):
        return None
    ids = tuple(ball.id for ball in balls if ball.seq >= late[0].seq)
    return TiredEnd(session_id, wilson(hits, len(late)), wilson(other, len(early)), p, ids)
