"""Control charts for what creeps within a session: EWMA, tabular CUSUM, and the drift of an anchor setting."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from rangelog.core.errors import OffScale
from rangelog.core.results import Estimate

DRIFT_DEG = 3.0
"""Smaller drift of feel cannot be seen in a day."""

DRIFT_CHANCE = 0.95
USUAL_SPREAD_DEG = 3.0
"""Spread of a start direction assumed for an anchor of very few balls (from memory, a default)."""


@dataclass(frozen=True, slots=True)
class Chart:
    """A control chart.

    Attributes:
        upper, lower: the charted statistic, one value per observation. For an EWMA both are the same row.
        upper_limit, lower_limit: the control limits.
        first_signal: 1-based index of the first value beyond a limit, 0 where there is none.
        side: "upper", "lower", or "" for the first signal.
    """

    upper: tuple[float, ...]
    lower: tuple[float, ...]
    upper_limit: float
    lower_limit: float
    first_signal: int
    side: str


def _checked(values: Sequence[float], **positive: float) -> np.ndarray:
    found = np.asarray(values, dtype=float)
    if found.size and not np.all(np.isfinite(found)):
        raise OffScale("values", "Values must be finite numbers.")
    for name, value in positive.items():
        if not (math.isfinite(value) and value > 0):
            raise OffScale(name, f"{name.capitalize()} must be over 0.")
    return found


def ewma(values: Sequence[float], target: float, spread: float, weight: float = 0.3, width: float = 3.0) -> Chart:
    """Exponentially weighted moving average against fixed limits, target +- width * spread * sqrt(weight / (2 - weight)).

    Source: NIST/SEMATECH e-Handbook 6.3.2.4. Limits are the settled ones, so early values are held a little too gently.

    Raises:
        OffScale: a value that is not finite, a spread, weight or width not over 0, or a weight over 1.
    """
    found = _checked(values, spread=spread, weight=weight, width=width)
    if weight > 1:
        raise OffScale("weight", "Weight runs over 0 to 1.")
    row, now = [], target
    for value in found:
        now = weight * float(value) + (1 - weight) * now
        row.append(now)
    reach = width * spread * math.sqrt(weight / (2 - weight))
    beyond = [index for index, value in enumerate(row, start=1) if abs(value - target) > reach]
    first = beyond[0] if beyond else 0
    side = ("upper" if row[first - 1] > target else "lower") if first else ""
    return Chart(tuple(row), tuple(row), target + reach, target - reach, first, side)


def cusum(values: Sequence[float], target: float, slack: float, limit: float) -> Chart:
    """Tabular two-sided CUSUM: upper S = max(0, S + x - target - slack), lower S = max(0, S + target - slack - x).

    `slack` and `limit` are in the unit of the values. Source: NIST/SEMATECH e-Handbook 6.3.2.3.

    Raises:
        OffScale: a value that is not finite, a limit not over 0, or a slack below 0.
    """
    found = _checked(values, limit=limit)
    if not (math.isfinite(slack) and slack >= 0):
        raise OffScale("slack", "Slack must be 0 or more.")
    upper, lower, high, low = [], [], 0.0, 0.0
    first, side = 0, ""
    for index, value in enumerate(found, start=1):
        high = max(0.0, high + float(value) - target - slack)
        low = max(0.0, low + target - slack - float(value))
        upper.append(high)
        lower.append(low)
        if not first and max(high, low) > limit:
            first, side = index, "upper" if high >= low else "lower"
    return Chart(tuple(upper), tuple(lower), limit, limit, first, side)


def residual_chart(residual_deg: Sequence[float], spread_deg: float, slack: float = 0.5, limit: float = 5.0) -> Chart:
    """CUSUM of a session's residuals in units of the player's spread, for the drift view; + side = drifting to the right.

    With slack 0.5 and limit 5 a start line that stays put signals in about 1 session of 6 over 80 balls: a picture to look at,
    not an alarm. Raises OffScale as `cusum`.
    """
    found = _checked(residual_deg, spread=spread_deg)
    return cusum((found / spread_deg).tolist(), 0.0, slack, limit)


@dataclass(frozen=True, slots=True)
class AnchorDrift:
    """Movement of an anchor setting within a session.

    Attributes:
        now: mean of the latest visit, physical degrees, with its 90 % interval.
        moved: latest visit minus the first, physical degrees, with its 90 % interval.
        beyond: chance that it moved by more than 3 degrees, either way.
        on: that chance is over 95 %.
        first_n, last_n: balls of the two visits.
    """

    now: Estimate
    moved: Estimate
    beyond: float
    on: bool
    first_n: int
    last_n: int


def anchor_drift(first_deg: Sequence[float], last_deg: Sequence[float], spread_deg: float = USUAL_SPREAD_DEG) -> AnchorDrift:
    """Whether feel has drifted: the anchor's latest visit against its first, with the player's spread taken as known.

    Visits are 2-3 balls, too few to show a spread of their own. A flat prior on the movement, so the chance is a posterior one.

    Raises:
        OffScale: a value that is not finite, or a spread not over 0.
    """
    first, last = _checked(first_deg, spread=spread_deg), _checked(last_deg)
    z = float(special.ndtri(0.95))
    if not first.size or not last.size:
        unknown = Estimate(math.nan, math.inf, -math.inf, math.inf)
        return AnchorDrift(unknown, unknown, 0.0, False, first.size, last.size)
    now, now_error = float(last.mean()), spread_deg / math.sqrt(last.size)
    moved, error = now - float(first.mean()), spread_deg * math.sqrt(1 / first.size + 1 / last.size)
    beyond = float(special.ndtr((moved - DRIFT_DEG) / error) + special.ndtr((-moved - DRIFT_DEG) / error))
    return AnchorDrift(
        Estimate(now, now_error, now - z * now_error, now + z * now_error),
        Estimate(moved, error, moved - z * error, moved + z * error),
        beyond,
        beyond > DRIFT_CHANCE,
        first.size,
        last.size,
    )
