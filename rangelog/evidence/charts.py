"""Sequential charts on solid strikes: tiredness within a session, and the strike gate against the player's own baseline.

Both look again and again at the same balls, so a plain test at every ball would cry wolf. Their limits were set by seeded
simulation so that a striker of 50 to 90 % solid who does not change is alarmed in at most 5 of 100 sessions of 80 balls;
tests/evidence repeats the simulation. Each look is an exact conditional test, so no share needs to be known beforehand.
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate

from rangelog.core.errors import OffScale
from rangelog.core.results import Alarm
from rangelog.evidence.intervals import fisher_lower

DOZEN = 12
"""The stretch of latest balls that the tiredness chart holds against all of today's earlier ones."""

FIRST_FULL_LOOK = 40
FULL_LOOK_P = 0.0178
"""At ball 40 and after every dozen more (52, 64, 76) a one-sided exact p up to this signals: 4 of 12 against 29 of 40 does."""

FIRST_LOOK = 20
BETWEEN_LOOKS_P = 0.0015
"""At every other ball from the 20th only a stark fall signals."""

GATE_WINDOWS = (10, 20, 40)
GATE_P = 0.0016
GATE_P_TIMES_BASELINE = 0.055
"""The strike gate looks at the last 10, 20 and 40 balls after each ball and signals at a one-sided exact p up to
GATE_P + GATE_P_TIMES_BASELINE / baseline balls: the exact test is the more cautious the shorter the baseline."""

BASELINE_AT_LEAST = 10
ABSOLUTE_WINDOW = 10
ABSOLUTE_LIMIT = 3
"""Before a baseline exists, fewer than 3 solid of the last 10 holds the face hints back."""


def _running(solid: Sequence[bool | None]) -> tuple[list[int], list[int]]:
    """Running count of solid balls (with a leading 0), and the place of each ball whose strike is known (1-based)."""
    places = [place for place, ball in enumerate(solid, start=1) if ball is not None]
    total = [0, *accumulate(int(ball) for ball in solid if ball is not None)]
    return total, places


def tired(solid: Sequence[bool | None]) -> Alarm:
    """Whether today's solid share has fallen against today's own earlier balls.

    `solid` holds the session's balls in order (warm-up left out), None where the strike is not known. The recent stretch is the
    last dozen, `before` all earlier ones. A signal stands until a dozen reaches the earlier share again.
    """
    total, places = _running(solid)
    n = len(places)
    signalled, _ = _walk_tired(total)
    recent_n = min(DOZEN, n)
    before_n = n - recent_n
    since = places[signalled - 1] if signalled else 0
    return Alarm(signalled > 0, total[n] - total[before_n], recent_n, total[before_n], before_n, since)


def tired_signals(solid: Sequence[bool | None]) -> tuple[int, ...]:
    """Every ball (1-based) at which `tired` turned on within the session, also where it turned off again."""
    total, places = _running(solid)
    return tuple(places[t - 1] for t in _walk_tired(total)[1])


def late_from(solid: Sequence[bool | None]) -> int:
    """First ball (1-based) of the dozen that made `tired` signal: from there on balls are flagged late. 0 while nothing signals."""
    total, places = _running(solid)
    signalled, _ = _walk_tired(total)
    return places[signalled - DOZEN] if signalled else 0


def _walk_tired(total: list[int]) -> tuple[int, list[int]]:
    """The ball of the signal that stands (0 where none does), and of every signal, counted over balls of known strike."""
    signalled, every = 0, []
    for t in range(FIRST_LOOK, len(total)):
        hits, before_hits, before_n = total[t] - total[t - DOZEN], total[t - DOZEN], t - DOZEN
        lower = hits * before_n < before_hits * DOZEN
        if signalled:
            signalled = signalled if lower else 0
            continue
        limit = FULL_LOOK_P if t >= FIRST_FULL_LOOK and (t - FIRST_FULL_LOOK) % DOZEN == 0 else BETWEEN_LOOKS_P
        if lower and fisher_lower(hits, DOZEN, before_hits, before_n) <= limit:
            signalled = t
            every.append(t)
    return signalled, every


@lru_cache(maxsize=512)
def _gate_limit(window: int, baseline_hits: int, baseline_n: int) -> int:
    """The most hits in a window that still signal against a baseline; -1 where none does."""
    hits, limit = -1, GATE_P + GATE_P_TIMES_BASELINE / baseline_n
    while hits < window and fisher_lower(hits + 1, window, baseline_hits, baseline_n) <= limit:
        hits += 1
    return hits


def strike_gate(solid: Sequence[bool | None], baseline_hits: int = 0, baseline_n: int = 0, limit_hits: int = ABSOLUTE_LIMIT) -> Alarm:
    """Whether the solid share lies below the player's own baseline, so that face hints should pause.

    Args:
        solid: balls after the baseline, in order, one surface only; None where the strike is not known.
        baseline_hits, baseline_n: solid balls of the baseline; fewer than 10 balls count as no baseline.
        limit_hits: without a baseline, fewer solid balls than this among the last 10 signal (0 switches it off).

    The recent stretch is the window that speaks most clearly, the last 10 where none does; `before` is the baseline. A signal
    stands until the last 10 balls reach the baseline's share; the chart then starts afresh from those balls. The limit without
    a baseline has no memory and is wide on purpose: single looks alarm a 50 % striker 5 times in 100, a 60 % striker once.

    Raises:
        OffScale: a baseline whose hits exceed its balls, or a limit outside 0..10.
    """
    if not 0 <= baseline_hits <= baseline_n:
        raise OffScale("baseline", f"A count runs 0 to its total; {baseline_hits} of {baseline_n} cannot be.")
    if not 0 <= limit_hits <= ABSOLUTE_WINDOW:
        raise OffScale("strike limit", "Strike limit runs 0 to 10 of 10.")
    total, places = _running(solid)
    n = len(places)
    if baseline_n < BASELINE_AT_LEAST:
        return _absolute(total, places, limit_hits)
    signalled, window, _ = _walk_gate(total, baseline_hits, baseline_n)
    recent_n = min(window, n)
    since = places[signalled - 1] if signalled else 0
    return Alarm(signalled > 0, total[n] - total[n - recent_n], recent_n, baseline_hits, baseline_n, since)


def gate_signals(solid: Sequence[bool | None], baseline_hits: int, baseline_n: int) -> tuple[int, ...]:
    """Every ball (1-based) at which `strike_gate` turned on against a baseline of at least one ball."""
    total, places = _running(solid)
    return tuple(places[t - 1] for t in _walk_gate(total, baseline_hits, baseline_n)[2])


def _walk_gate(total: list[int], baseline_hits: int, baseline_n: int) -> tuple[int, int, list[int]]:
    """The ball of the signal that stands (0 where none does), the window that spoke, and the ball of every signal."""
    limits = [(window, _gate_limit(window, baseline_hits, baseline_n)) for window in GATE_WINDOWS]
    shortest = GATE_WINDOWS[0]
    signalled, start, shown, every = 0, 0, shortest, []
    for t in range(shortest, len(total)):
        if signalled:
            if (total[t] - total[t - shortest]) * baseline_n >= baseline_hits * shortest:
                signalled, start, shown = 0, t - shortest, shortest
            continue
        for window, most in limits:
            if t - start >= window and total[t] - total[t - window] <= most:
                signalled, shown = t, window
                every.append(t)
                break
    return signalled, shown, every


def _absolute(total: list[int], places: list[int], limit_hits: int) -> Alarm:
    n, signalled = len(places), 0
    for t in range(ABSOLUTE_WINDOW, n + 1):
        below = total[t] - total[t - ABSOLUTE_WINDOW] < limit_hits
        signalled = (signalled or places[t - 1]) if below else 0
    recent_n = min(ABSOLUTE_WINDOW, n)
    return Alarm(signalled > 0, total[n] - total[n - recent_n], recent_n, 0, 0, signalled)
