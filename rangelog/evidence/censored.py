"""Maximum likelihood of a normal linear model whose answers are numbers, intervals, or open to one side.

With 1/spread and coefficients/spread as the unknowns the log-likelihood is concave (Olsen 1978, Econometrica 46, 1211-1215; Pratt
1981, JASA 76, 103-106), so Newton's method from any start finds the one optimum.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import log_ndtr, ndtr

from rangelog.core.errors import OffScale

Floats = NDArray[np.float64]
MAX_STEPS = 200
SETTLED = 1e-14
"""Newton decrement, twice the log-likelihood still to be gained, at which the climb ends."""

_LOG_ROOT_2PI = 0.5 * math.log(2 * math.pi)


@dataclass(frozen=True, slots=True)
class CensoredFit:
    """The optimum.

    Attributes:
        coefficients: (k,) effects in the unit of the answers; standard_errors: (k,) from the observed information.
        spread: standard deviation around the line; spread_error: its standard error.
        log_likelihood: at the optimum; a density for numbers, a probability for intervals.
    """

    coefficients: tuple[float, ...]
    standard_errors: tuple[float, ...]
    spread: float
    spread_error: float
    log_likelihood: float


def fit(low: ArrayLike, high: ArrayLike, features: ArrayLike) -> CensoredFit | None:
    """Fit answers known to lie between `low` and `high` (equal for a number) on `features`.

    Args:
        low, high: (n,) ends, infinite where open.
        features: (n, k), a column of ones included where an intercept is wanted.

    Returns:
        The optimum, or None where there is none: fewer answers than unknowns, or answers that a line meets without any spread.

    Raises:
        OffScale: NaN, a pair that runs backwards, or shapes that do not fit.
    """
    lows, highs, rows = np.asarray(low, dtype=float), np.asarray(high, dtype=float), np.asarray(features, dtype=float)
    if rows.ndim != 2 or lows.shape != highs.shape or lows.shape != (len(rows),):
        raise OffScale("answers", "Answers and features must have one row each.")
    if np.isnan(lows).any() or np.isnan(highs).any() or not np.isfinite(rows).all() or (lows > highs).any():
        raise OffScale("answers", "An answer lies between two ends, the lower one first.")
    n, k = rows.shape
    if n <= k or np.linalg.matrix_rank(rows) < k:
        return None
    middle = np.where(np.isfinite(lows) & np.isfinite(highs), (lows + highs) / 2, np.where(np.isfinite(lows), lows, highs))
    middle = np.where(np.isfinite(middle), middle, 0.0)
    start, *_ = np.linalg.lstsq(rows, middle, rcond=None)
    spread = max(float(np.std(middle - rows @ start)), 1e-3 * (1 + float(np.abs(middle).max())))
    point = np.append(start / spread, 1 / spread)
    return _climb(point, lows, highs, rows)


def _climb(point: Floats, low: Floats, high: Floats, rows: Floats) -> CensoredFit | None:
    value, slope, bend = _look(point, low, high, rows)
    for _ in range(MAX_STEPS):
        try:
            step = np.linalg.solve(-bend, slope)
        except np.linalg.LinAlgError:
            return None
        if float(slope @ step) < SETTLED:
            return _told(point, value, bend)
        size = 1.0
        while True:
            ahead = point + size * step
            found = _look(ahead, low, high, rows) if ahead[-1] > 0 else None
            if found is not None and found[0] >= value - 1e-12:
                break
            size /= 2
            if size < 1e-12:
                return None
        point, (value, slope, bend) = ahead, found
        if not np.isfinite(value) or point[-1] > 1e8:
            return None
    return None


def _told(point: Floats, value: float, bend: Floats) -> CensoredFit | None:
    """Back from (coefficients / spread, 1 / spread), with the delta method for the errors."""
    inverse = point[-1]
    spread = 1 / inverse
    k = len(point) - 1
    jacobian = np.zeros((k + 1, k + 1))
    jacobian[:k, :k] = np.eye(k) * spread
    jacobian[:k, k] = -point[:k] * spread**2
    jacobian[k, k] = -(spread**2)
    try:
        cov = jacobian @ np.linalg.inv(-bend) @ jacobian.T
    except np.linalg.LinAlgError:
        return None
    errors = np.sqrt(np.clip(np.diag(cov), 0, None))
    return CensoredFit(tuple((point[:k] * spread).tolist()), tuple(errors[:k].tolist()), float(spread), float(errors[k]), value)


def _look(point: Floats, low: Floats, high: Floats, rows: Floats) -> tuple[float, Floats, Floats]:
    """Log-likelihood, gradient (k + 1,) and Hessian (k + 1, k + 1) at (coefficients / spread, 1 / spread)."""
    inverse, line = point[-1], rows @ point[:-1]
    exact = low == high
    above, below = inverse * high - line, inverse * low - line
    log_mass = np.empty(len(rows))
    log_mass[exact] = math.log(inverse) - 0.5 * above[exact] ** 2 - _LOG_ROOT_2PI
    log_mass[~exact] = _log_between(below[~exact], above[~exact])
    total = float(log_mass.sum())
    # for an interval: ratios of the density at an end to the mass between the ends
    with np.errstate(over="ignore", invalid="ignore"):
        upper = np.where(np.isfinite(above), np.exp(-0.5 * above**2 - _LOG_ROOT_2PI - log_mass), 0.0)
        lower = np.where(np.isfinite(below), np.exp(-0.5 * below**2 - _LOG_ROOT_2PI - log_mass), 0.0)
    z_up, z_low = (np.where(np.isfinite(z), z, 0.0) for z in (above, below))
    y_up, y_low = (np.where(np.isfinite(y), y, 0.0) for y in (high, low))
    first = np.where(exact, -z_up, upper - lower)
    by_scale = np.where(exact, 1 / inverse - z_up * y_up, y_up * upper - y_low * lower)
    slope = np.append(-(first @ rows), by_scale.sum())
    # d z / d(coefficients) = -x, d z / d(1/spread) = y: every second derivative is a weighted sum of their products
    c_zz = np.where(exact, -1.0, -(z_up * upper - z_low * lower) - first**2)
    c_zy = np.where(exact, -y_up, -(z_up * y_up * upper - z_low * y_low * lower) - first * by_scale)
    c_yy = np.where(exact, -(1 / inverse**2) - y_up**2, -(z_up * y_up**2 * upper - z_low * y_low**2 * lower) - by_scale**2)
    k = rows.shape[1]
    bend = np.empty((k + 1, k + 1))
    bend[:k, :k] = (rows * c_zz[:, None]).T @ rows
    bend[:k, k] = bend[k, :k] = -(rows.T @ c_zy)
    bend[k, k] = c_yy.sum()
    return total, slope, bend


def _log_between(low: Floats, high: Floats) -> Floats:
    """Logarithm of the normal mass between two ends, also far out in a tail."""
    flip = low > 0
    first, last = np.where(flip, -high, low), np.where(flip, -low, high)
    top, bottom = log_ndtr(last), log_ndtr(first)
    with np.errstate(divide="ignore"):
        return np.asarray(top + np.log1p(-np.exp(np.minimum(bottom - top, 0.0))))


def fit_mean(ends: Sequence[tuple[float, float]]) -> tuple[float, float, float] | None:
    """Mean, its standard error, and spread of numbers and classes of one setting.

    Returns None where no spread can be told: fewer than two answers, or one value that all of them allow.
    """
    if len(ends) < 2 or max(low for low, _ in ends) <= min(high for _, high in ends):
        return None
    lows, highs = zip(*ends, strict=True)
    found = fit(lows, highs, np.ones((len(ends), 1)))
    return None if found is None else (found.coefficients[0], found.standard_errors[0], found.spread)


def mass_between(low: float, high: float, mean: float, spread: float) -> float:
    """Share of a normal distribution between two ends."""
    return float(ndtr((high - mean) / spread) - ndtr((low - mean) / spread))
