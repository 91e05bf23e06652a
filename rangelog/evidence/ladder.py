"""The height ladder: does height follow ball position, or does the body travel with the ball?

The body standing still, one ball width forward should launch about 1.7 degrees higher (arc geometry, see
`rangelog.geometry.ball_position`). A body that travels by a share q of the ball's move leaves (1 - q) of that change. Sameness is
claimed only when the interval's far end stays below half of the expected change, never because "nothing was significant".
"""

import math
from collections.abc import Iterable, Sequence

import numpy as np
from scipy import special

from rangelog.core.errors import OffScale
from rangelog.core.results import Estimate
from rangelog.core.words import Height, Strike
from rangelog.evidence import means
from rangelog.evidence.intervals import wilson
from rangelog.evidence.ladder_result import Ladder, LadderBall, LadderCause, LadderRow, LadderVerdict
from rangelog.evidence.ranks import RankTest, jonckheere, permutation_shift
from rangelog.evidence.strike import passing_signature

EXPECTED_DEG_PER_BALL = 1.7
"""Launch change per ball width with a still body, degrees (derived; the launch rule of thumb in it is from memory)."""

EXPECTED_CLASS_PER_BALL = 0.4
"""The same as a change of the mean height class (low 0, mid 1, high 2): a launch spread of 2.5 deg, cuts 1.5 deg either side."""

USUAL_SPREAD_DEG = 2.5
"""Launch spread assumed for planning until the balls show one (from memory, a default)."""

LOW_SHARE = 0.6
LEAST_PER_END = 3
LEAST_FOR_RANKS = 5
_SCORE = {Height.LOW: 0, Height.MID: 1, Height.HIGH: 2}


def balls_to_follow(spread_deg: float, expected_deg: float = 2 * EXPECTED_DEG_PER_BALL) -> int:
    """Balls per end to see the expected change: one-sided 5 %, power 80 %, normal approximation (add 1 for t). Raises OffScale."""
    return _balls(spread_deg, expected_deg, float(special.ndtri(0.95) + special.ndtri(0.80)))


def balls_to_claim_same(spread_deg: float, expected_deg: float = 2 * EXPECTED_DEG_PER_BALL) -> int:
    """Balls per end to show that a true "no change" lies within half the expected change: two one-sided 5 % tests, power 80 %."""
    return _balls(spread_deg, expected_deg / 2, float(special.ndtri(0.95) + special.ndtri(0.90)))


def _balls(spread_deg: float, change_deg: float, reach: float) -> int:
    if not (math.isfinite(spread_deg) and spread_deg > 0 and math.isfinite(change_deg) and change_deg > 0):
        raise OffScale("spread", "Spread and expected change must be over 0 degrees.")
    return math.ceil(2 * (reach * spread_deg / change_deg) ** 2)


def read(balls: Iterable[LadderBall], static_loft_deg: float | None = None, level: float = 0.90) -> Ladder:
    """Read a ladder of counted balls of one club, swing length and grip stick state, at the end of its planned count.

    The ends are the balls within a quarter of the span from the rearmost and the foremost position. Degrees are used where both
    ends have at least 3 launch numbers, else height classes.

    Raises:
        OffScale: a position, launch, loft or level that is not a finite number in its range.
    """
    every = list(balls)
    for ball in every:
        for value in (ball.position, ball.launch_deg):
            if value is not None and not math.isfinite(value):
                raise OffScale("ladder ball", "Ball position and launch must be finite numbers.")
    if static_loft_deg is not None and not 5 <= static_loft_deg <= 70:
        raise OffScale("static loft", "Static loft runs 5 to 70 deg.")
    solid = [ball for ball in every if ball.strike is Strike.SOLID]
    unknown = sum(ball.strike is None for ball in every)
    back, front = _ends(solid)
    apart = float(np.mean([b.position for b in front]) - np.mean([b.position for b in back])) if back and front else 0.0
    basis = _basis(back, front) if apart > 0 else "none"
    trend = _trend(solid) if basis == "classes" else None
    if basis == "degrees":
        expected = EXPECTED_DEG_PER_BALL * apart
        front_deg, back_deg = _launches(front), _launches(back)
        difference = means.difference(front_deg, back_deg, level, pooled=True)
        compared = (len(back_deg), len(front_deg))
        verdict = _by_interval(difference, expected)
    elif basis == "classes":
        expected = EXPECTED_CLASS_PER_BALL * apart
        front_class, back_class = _classes(front), _classes(back)
        difference = _class_difference(front_class, back_class, level)
        compared = (len(back_class), len(front_class))
        verdict = _by_trend(difference, expected, _shift(front_class, back_class, trend), 1 - (1 + level) / 2)
    else:
        expected, compared = EXPECTED_DEG_PER_BALL * apart, (len(back), len(front))
        difference, verdict = Estimate(math.nan, math.inf, -math.inf, math.inf), LadderVerdict.UNDECIDED
    classed = [ball.height for ball in solid if ball.height is not None]
    low = wilson(sum(height is Height.LOW for height in classed), len(classed))
    launches = _launches(solid)
    all_low = low.n > 0 and low.share >= LOW_SHARE
    if launches and static_loft_deg is not None:
        all_low = all_low or float(np.mean(launches)) < static_loft_deg / 2
    travel = _travel(difference, expected)
    needed = 0
    if verdict is LadderVerdict.UNDECIDED:
        spread = _planning_spread(_launches(front), _launches(back)) if basis == "degrees" else USUAL_SPREAD_DEG
        needed = _still_needed(min(compared), spread, EXPECTED_DEG_PER_BALL * (apart or 2.0))
    return Ladder(
        verdict,
        basis,
        difference,
        expected,
        apart,
        *compared,
        dropped=len(every) - len(solid) - unknown,
        unknown=unknown,
        travel=travel,
        low=low,
        all_low=all_low,
        coarse=basis == "classes" and len(set(classed)) == 1,
        trend=trend,
        balls_needed=needed,
        cause=_cause(verdict, travel, all_low, [ball.strike for ball in every]),
        rows=_rows(solid, level),
    )


def _ends(solid: Sequence[LadderBall]) -> tuple[list[LadderBall], list[LadderBall]]:
    if not solid:
        return [], []
    rear, fore = min(ball.position for ball in solid), max(ball.position for ball in solid)
    quarter = (fore - rear) / 4
    if quarter == 0:
        return [], []
    return [b for b in solid if b.position <= rear + quarter], [b for b in solid if b.position >= fore - quarter]


def _launches(balls: Sequence[LadderBall]) -> list[float]:
    return [ball.launch_deg for ball in balls if ball.launch_deg is not None]


def _classes(balls: Sequence[LadderBall]) -> list[int]:
    return [_SCORE[ball.height] for ball in balls if ball.height is not None]


def _basis(back: Sequence[LadderBall], front: Sequence[LadderBall]) -> str:
    if min(len(_launches(back)), len(_launches(front))) >= LEAST_PER_END:
        return "degrees"
    return "classes" if min(len(_classes(back)), len(_classes(front))) >= LEAST_PER_END else "none"


def _trend(solid: Sequence[LadderBall]) -> RankTest:
    positions = sorted({ball.position for ball in solid if ball.height is not None})
    return jonckheere([_classes([ball for ball in solid if ball.position == position]) for position in positions])


def _shift(front: Sequence[int], back: Sequence[int], trend: RankTest | None) -> RankTest:
    """The rank trend once each end has enough balls for its normal curve, the exact permutation before."""
    if trend is not None and min(len(front), len(back)) >= LEAST_FOR_RANKS:
        return trend
    return permutation_shift(front, back)


def _class_difference(front: Sequence[int], back: Sequence[int], level: float) -> Estimate:
    """Difference of the mean classes; its error from half a ball added to every class, so that balls all alike still leave room."""
    variance = 0.0
    for scores in (front, back):
        counts = np.bincount(scores, minlength=3) + 0.5
        share = counts / counts.sum()
        middle = float(share @ np.arange(3))
        variance += (float(share @ np.arange(3) ** 2) - middle**2) / (float(counts.sum()) + 1)
    gap, error = float(np.mean(front) - np.mean(back)), math.sqrt(variance)
    half = float(special.ndtri(0.5 + level / 2)) * error
    return Estimate(gap, error, gap - half, gap + half)


def _by_interval(difference: Estimate, expected: float) -> LadderVerdict:
    if difference.high < 0:
        return LadderVerdict.BACKWARDS
    if difference.low > 0 and difference.mean >= expected / 2:
        return LadderVerdict.FOLLOWS
    return LadderVerdict.DOES_NOT_FOLLOW if difference.high < expected / 2 else LadderVerdict.UNDECIDED


def _by_trend(difference: Estimate, expected: float, shift: RankTest, tail: float) -> LadderVerdict:
    if shift.p_less <= tail:
        return LadderVerdict.BACKWARDS
    if shift.p_greater <= tail and difference.mean >= expected / 2:
        return LadderVerdict.FOLLOWS
    return LadderVerdict.DOES_NOT_FOLLOW if difference.high < expected / 2 else LadderVerdict.UNDECIDED


def _travel(difference: Estimate, expected: float) -> Estimate:
    if expected <= 0 or math.isnan(difference.mean):
        return Estimate(math.nan, math.inf, -math.inf, math.inf)
    return Estimate(1 - difference.mean / expected, difference.sd / expected, 1 - difference.high / expected, 1 - difference.low / expected)


def _planning_spread(front: Sequence[float], back: Sequence[float]) -> float:
    df = len(front) + len(back) - 2
    if df < 4:
        return USUAL_SPREAD_DEG
    squares = sum(float(((np.asarray(row) - np.mean(row)) ** 2).sum()) for row in (front, back))
    return max(math.sqrt(squares / df), 0.5)


def _still_needed(n: int, spread_deg: float, expected_deg: float) -> int:
    for target in (balls_to_follow(spread_deg, expected_deg) + 1, balls_to_claim_same(spread_deg, expected_deg)):
        if n < target:
            return target - n
    return 5


def _cause(verdict: LadderVerdict, travel: Estimate, all_low: bool, strikes: Sequence[Strike | None]) -> LadderCause:
    if verdict is LadderVerdict.DOES_NOT_FOLLOW:
        if all_low:
            return LadderCause.TRAVELS
        return LadderCause.FLIP if passing_signature(strikes) else LadderCause.NONE
    return LadderCause.HANGS_BACK if verdict is LadderVerdict.FOLLOWS and travel.high < 0 else LadderCause.NONE


def _rows(solid: Sequence[LadderBall], level: float) -> tuple[LadderRow, ...]:
    rows = []
    for position in sorted({ball.position for ball in solid}):
        here = [ball for ball in solid if ball.position == position]
        low, mid, high = (sum(ball.height is kind for ball in here) for kind in Height)
        rows.append(LadderRow(position, len(here), low, mid, high, means.mean(_launches(here), level)))
    return tuple(rows)


__all__ = [
    "Ladder",
    "LadderBall",
    "LadderCause",
    "LadderRow",
    "LadderVerdict",
    "balls_to_claim_same",
    "balls_to_follow",
    "read",
]
