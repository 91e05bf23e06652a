"""Intervals for numbers: a mean, a spread, and the difference of two means.

Where the balls cannot tell (none, one, or all alike to the last digit) an interval is infinite, never of width 0.
"""

import math
from collections.abc import Sequence

import numpy as np
from scipy import special

from rangelog.core.errors import OffScale
from rangelog.core.results import Estimate


def _numbers(values: Sequence[float], field: str = "values") -> np.ndarray:
    found = np.asarray(values, dtype=float)
    if found.size and not np.all(np.isfinite(found)):
        raise OffScale(field, f"{field.capitalize()} must be finite numbers.")
    return found


def student(level: float, df: float) -> float:
    """Two-sided Student t point: 1.734 for level 0.90 and 18 degrees of freedom. Raises OffScale for a level outside 0..1."""
    if not 0.0 < level < 1.0:
        raise OffScale("level", "A level lies between 0 and 1.")
    return float(special.stdtrit(df, 0.5 + level / 2))


def mean(values: Sequence[float], level: float = 0.90) -> Estimate:
    """Mean with its t interval; `sd` is the standard error. Infinite ends for fewer than 2 values or no spread at all.

    Raises:
        OffScale: a value that is not finite, or a level outside 0..1.
    """
    found = _numbers(values)
    n = found.size
    if n == 0:
        return Estimate(math.nan, math.inf, -math.inf, math.inf)
    middle = float(found.mean())
    error = float(found.std(ddof=1)) / math.sqrt(n) if n > 1 else 0.0
    if error <= 1e-12 * max(1.0, abs(middle)):
        return Estimate(middle, math.inf, -math.inf, math.inf)
    half = student(level, n - 1) * error
    return Estimate(middle, error, middle - half, middle + half)


def spread(values: Sequence[float], level: float = 0.95) -> Estimate:
    """Standard deviation with its chi-square interval, for normal balls; `sd` is its rough standard error.

    With fewer than 2 values, or no spread seen, the interval is 0..infinity.

    Raises:
        OffScale: a value that is not finite, or a level outside 0..1.
    """
    found = _numbers(values)
    if found.size < 2:
        return Estimate(math.nan, math.inf, 0.0, math.inf)
    seen = float(found.std(ddof=1))
    if seen <= 1e-12 * max(1.0, float(np.abs(found).max())):
        return Estimate(0.0, math.inf, 0.0, math.inf)
    low, high = spread_factors(found.size, level)
    return Estimate(seen, seen / math.sqrt(2 * (found.size - 1)), seen * low, seen * high)


def spread_factors(n: int, level: float = 0.95) -> tuple[float, float]:
    """What an SD seen over n balls is multiplied by to get the ends of its interval: 0.69 and 1.83 for 10 balls at 95 %.

    Raises:
        OffScale: n below 2, or a level outside 0..1.
    """
    if n < 2:
        raise OffScale("balls", "A spread needs at least 2 balls.")
    if not 0.0 < level < 1.0:
        raise OffScale("level", "A level lies between 0 and 1.")
    df, tail = n - 1, (1.0 - level) / 2
    return math.sqrt(df / float(special.chdtri(df, tail))), math.sqrt(df / float(special.chdtri(df, 1.0 - tail)))


def difference(first: Sequence[float], second: Sequence[float], level: float = 0.90, pooled: bool = False) -> Estimate:
    """Mean of `first` minus mean of `second` with a t interval; Welch's unless `pooled`, which holds both spreads equal.

    Infinite ends where either side has fewer than 2 values, or nothing spreads.

    Raises:
        OffScale: a value that is not finite, or a level outside 0..1.
    """
    a, b = _numbers(first), _numbers(second)
    if a.size == 0 or b.size == 0:
        return Estimate(math.nan, math.inf, -math.inf, math.inf)
    gap = float(a.mean() - b.mean())
    if a.size < 2 or b.size < 2:
        return Estimate(gap, math.inf, -math.inf, math.inf)
    return difference_from_summary(
        (float(a.mean()), float(a.std(ddof=1)), a.size), (float(b.mean()), float(b.std(ddof=1)), b.size), level, pooled
    )


def difference_from_summary(
    first: tuple[float, float, int], second: tuple[float, float, int], level: float = 0.90, pooled: bool = False
) -> Estimate:
    """As `difference`, from (mean, SD, n) of each side; n at least 2 each."""
    (mean_a, sd_a, n_a), (mean_b, sd_b, n_b) = first, second
    gap = mean_a - mean_b
    if n_a < 2 or n_b < 2:
        raise OffScale("balls", "A difference of means needs at least 2 balls on each side.")
    if pooled:
        df = float(n_a + n_b - 2)
        variance = ((n_a - 1) * sd_a**2 + (n_b - 1) * sd_b**2) / df
        error = math.sqrt(variance * (1 / n_a + 1 / n_b))
    else:
        part_a, part_b = sd_a**2 / n_a, sd_b**2 / n_b
        error = math.sqrt(part_a + part_b)
        df = (part_a + part_b) ** 2 / (part_a**2 / (n_a - 1) + part_b**2 / (n_b - 1)) if error > 0 else 1.0
    if error <= 1e-12 * max(1.0, abs(mean_a), abs(mean_b)):
        return Estimate(gap, math.inf, -math.inf, math.inf)
    half = student(level, df) * error
    return Estimate(gap, error, gap - half, gap + half)


def line(x: Sequence[float], y: Sequence[float], level: float = 0.90) -> tuple[Estimate, Estimate, float]:
    """Least squares of y on x: (slope, value at x = 0, residual SD), intervals by Student t on n - 2.

    Infinite ends for fewer than 3 points, or points without scatter; NaN slope where x never moved.

    Raises:
        OffScale: lengths that differ, or a value that is not finite.
    """
    a, b = _numbers(x), _numbers(y)
    if a.size != b.size:
        raise OffScale("values", "Both rows must have the same length.")
    unknown = Estimate(math.nan, math.inf, -math.inf, math.inf)
    if a.size < 2 or float(np.ptp(a)) == 0.0:
        return unknown, unknown, math.nan
    centred = a - a.mean()
    sum_squares = float(centred @ centred)
    slope = float(centred @ b) / sum_squares
    start = float(b.mean()) - slope * float(a.mean())
    residual = b - start - slope * a
    if a.size < 3 or float(np.abs(residual).max()) <= 1e-12 * max(1.0, float(np.abs(b).max())):
        return Estimate(slope, math.inf, -math.inf, math.inf), Estimate(start, math.inf, -math.inf, math.inf), 0.0
    scatter = math.sqrt(float(residual @ residual) / (a.size - 2))
    t = student(level, a.size - 2)
    slope_error = scatter / math.sqrt(sum_squares)
    start_error = scatter * math.sqrt(1 / a.size + float(a.mean()) ** 2 / sum_squares)
    return (
        Estimate(slope, slope_error, slope - t * slope_error, slope + t * slope_error),
        Estimate(start, start_error, start - t * start_error, start + t * start_error),
        scatter,
    )


def share_inside(window_deg: float, bias_deg: float, spread_deg: float) -> float:
    """Share of normal balls that start inside +-window with this bias and spread: 50 % for +-2 deg at no bias and spread 3.

    Raises:
        OffScale: a window or spread not over 0, or a number that is not finite.
    """
    _numbers([window_deg, bias_deg, spread_deg], "degrees")
    if window_deg <= 0 or spread_deg <= 0:
        raise OffScale("degrees", "Window and spread must be over 0 degrees.")
    return float(special.ndtr((window_deg - bias_deg) / spread_deg) - special.ndtr((-window_deg - bias_deg) / spread_deg))
