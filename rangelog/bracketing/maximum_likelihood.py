"""Maximum likelihood of a normal linear model from numbers, intervals and one-sided answers together.

With 1/spread and coefficients/spread as the unknowns the log likelihood is concave (Olsen 1978 for censored, Pratt 1981 for
grouped answers), so Newton's method from any start finds the one optimum. Serves for the Tobit model, for grouped normal
samples and, with the spread held at 1, for the probit.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from rangelog.bracketing.normal import LOG_ROOT_TWO_PI, Floats, log_between

_STEPS = 200
_SETTLED = 1e-18
_NOTHING_LEFT = 1e-9
"""A log likelihood this near zero with the spread held means that the answers are split perfectly: the coefficients run away."""


@dataclass(frozen=True, slots=True)
class Fit:
    """The optimum.

    Attributes:
        coefficients: (d,); spread: standard deviation; log_likelihood: at the optimum.
        covariance: inverse of the negative Hessian in (coefficients, spread), (d + 1, d + 1); (d, d) where the spread was held.
    """

    coefficients: Floats
    spread: float
    log_likelihood: float
    covariance: Floats


def fit(design: ArrayLike, low: ArrayLike, high: ArrayLike, spread: float | None = None) -> Fit:
    """Fit y = design @ coefficients + N(0, spread^2) where each y is known to lie in [low, high].

    Args:
        design: (n, d).
        low, high: (n,); equal for a number, infinite on an open side.
        spread: held at this value where given.

    Raises:
        ValueError: the sizes differ, an interval is upside down, or the answers do not bound the optimum.
    """
    x = np.atleast_2d(np.asarray(design, dtype=float))
    lows, highs = np.asarray(low, dtype=float), np.asarray(high, dtype=float)
    if not (len(x) == len(lows) == len(highs)) or np.any(lows > highs):
        raise ValueError("design, low and high need one row for each answer, low never above high")
    held = spread is not None
    scale = float(spread) if spread is not None else _rough_scale(lows, highs)
    unknowns = np.append(np.zeros(x.shape[1]), 1.0 / scale)
    free = slice(0, x.shape[1]) if held else slice(0, x.shape[1] + 1)
    value, gradient, hessian = _objective(unknowns, x, lows, highs)
    for _ in range(_STEPS):
        try:
            step = np.linalg.solve(-hessian[free, free], gradient[free])
        except np.linalg.LinAlgError:
            raise ValueError("the answers do not bound the optimum") from None
        gain = float(gradient[free] @ step)
        if gain < _SETTLED:
            if held and value > -_NOTHING_LEFT:
                raise ValueError("the answers do not bound the optimum")
            return _finished(unknowns, value, hessian, held)
        pace = 1.0
        while True:
            trial = unknowns.copy()
            trial[free] += pace * step
            if trial[-1] > 0:
                new = _objective(trial, x, lows, highs)
                if np.isfinite(new[0]) and new[0] >= value + 1e-4 * pace * gain - 1e-12 * abs(value):
                    break
            pace /= 2
            if pace < 1e-10:
                return _finished(unknowns, value, hessian, held)
        unknowns = trial
        value, gradient, hessian = new
    raise ValueError("the answers do not bound the optimum")


def _rough_scale(low: Floats, high: Floats) -> float:
    ends = np.concatenate((low, high))
    ends = ends[np.isfinite(ends)]
    return max(float(np.std(ends)), 1e-3) if len(ends) else 1.0


def _objective(unknowns: Floats, x: Floats, low: Floats, high: Floats) -> tuple[float, Floats, Floats]:
    """Log likelihood, gradient and Hessian in (coefficients / spread, 1 / spread)."""
    inverse = unknowns[-1]
    line = x @ unknowns[:-1]
    exact = low == high
    value, gradient, hessian = 0.0, np.zeros(len(unknowns)), np.zeros((len(unknowns), len(unknowns)))
    if np.any(exact):
        off = inverse * low[exact] - line[exact]
        rows = np.column_stack((-x[exact], low[exact]))
        value += float(np.sum(np.log(inverse) - 0.5 * off * off - LOG_ROOT_TWO_PI))
        gradient -= rows.T @ off
        gradient[-1] += exact.sum() / inverse
        hessian -= rows.T @ rows
        hessian[-1, -1] -= exact.sum() / inverse**2
    if not np.all(exact):
        part = ~exact
        ends = [np.where(np.isfinite(e[part]), e[part], 0.0) for e in (low, high)]
        open_ends = [~np.isfinite(e[part]) for e in (low, high)]
        al = np.where(open_ends[0], -np.inf, inverse * ends[0] - line[part])
        be = np.where(open_ends[1], np.inf, inverse * ends[1] - line[part])
        log_mass = log_between(al, be)
        at_low = np.where(open_ends[0], 0.0, np.exp(-0.5 * np.where(open_ends[0], 0.0, al) ** 2 - LOG_ROOT_TWO_PI - log_mass))
        at_high = np.where(open_ends[1], 0.0, np.exp(-0.5 * np.where(open_ends[1], 0.0, be) ** 2 - LOG_ROOT_TWO_PI - log_mass))
        low_rows, high_rows = np.column_stack((-x[part], ends[0])), np.column_stack((-x[part], ends[1]))
        slope = high_rows * at_high[:, None] - low_rows * at_low[:, None]
        bend_low = np.where(open_ends[0], 0.0, al) * at_low
        bend_high = np.where(open_ends[1], 0.0, be) * at_high
        value += float(np.sum(log_mass))
        gradient += slope.sum(axis=0)
        hessian += (low_rows * bend_low[:, None]).T @ low_rows - (high_rows * bend_high[:, None]).T @ high_rows - slope.T @ slope
    return value, gradient, hessian


def _finished(unknowns: Floats, value: float, hessian: Floats, held: bool) -> Fit:
    inverse = float(unknowns[-1])
    coefficients = unknowns[:-1] / inverse
    d = len(coefficients)
    if held:
        return Fit(coefficients, 1 / inverse, value, np.asarray(np.linalg.inv(-hessian[:d, :d]) / inverse**2))
    turn = np.zeros((d + 1, d + 1))
    turn[:d, :d] = np.eye(d) / inverse
    turn[:d, d] = -unknowns[:-1] / inverse**2
    turn[d, d] = -1 / inverse**2
    return Fit(coefficients, 1 / inverse, value, np.asarray(turn @ np.linalg.inv(-hessian) @ turn.T))


def fit_mean(ends: Sequence[tuple[float, float]]) -> tuple[float, float, float] | None:
    """Mean, its standard error, and spread of the numbers and classes of one setting on their own.

    Args:
        ends: low and high of each answer, equal for a number.

    Returns:
        None where no spread can be told: fewer than two answers, or one value that all of them allow.
    """
    if len(ends) < 2 or max(low for low, _ in ends) <= min(high for _, high in ends):
        return None
    lows, highs = zip(*ends, strict=True)
    found = fit(np.ones((len(ends), 1)), lows, highs)
    return float(found.coefficients[0]), float(np.sqrt(found.covariance[0, 0])), found.spread
