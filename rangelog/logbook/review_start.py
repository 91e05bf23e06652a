"""Mean and spread of a start line from balls that are numbers, classes, or both, without any prior.

A class is an interval of degrees, so the balls are interval-censored normal. With theta = 1 / spread and gamma = mean / spread the
log-likelihood is concave (Olsen 1978; Pratt 1981), so Newton's steps find its one optimum.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.picture import Bar, Strip
from rangelog.core.results import Estimate, Share
from rangelog.core.words import Side
from rangelog.logbook.review_tally import Tally

_FAR = 40.0
_WIDEST_SPREAD_DEG = 90.0
_ROOT_HALF = math.sqrt(0.5)
_ROOT_TWO_PI = math.sqrt(2 * math.pi)
NORMAL_90 = 1.6448536269514722
"""Two-sided 90 % point of the normal curve."""

NORMAL_95 = 1.959963984540054


@dataclass(frozen=True, slots=True)
class StartLine:
    """Where a group of balls started.

    Attributes:
        n: balls that enter.
        bias: mean start in degrees, physical sign, 90 % interval; infinite ends where the balls cannot tell.
        spread: standard deviation with its 95 % interval.
        from_classes: at least one ball is a class, so the interval rests on a normal curve behind the classes.
    """

    n: int
    bias: Estimate
    spread: Estimate
    from_classes: bool

    @property
    def known(self) -> bool:
        """Whether the bias has a finite interval."""
        return math.isfinite(self.bias.low) and math.isfinite(self.bias.high)

    def strip(self, label: str, points: tuple[tuple[float, int], ...]) -> Strip:
        """The group side by side with others, its balls as degrees and counts."""
        return Strip(label, points, self.bias.mean, self.bias.low, self.bias.high)

    def bar(self, label: str) -> Bar:
        """The group's mean beside others."""
        return Bar(label, self.bias.mean, self.bias.low, self.bias.high)


UNKNOWN = Estimate(math.nan, math.inf, -math.inf, math.inf)
UNKNOWN_SPREAD = Estimate(math.nan, math.inf, 0.0, math.inf)
NO_SHARE = Share(0, 0, 0.0, 1.0)
"""A share of no balls: it may be anything."""


def start_line(tally: Tally, window_deg: float = scales.DEFAULT_WINDOW_DEG, wide_deg: float = scales.DEFAULT_WIDE_DEG) -> StartLine:
    """Bias and spread of a group: Student's t and chi-square for numbers alone, else interval-censored maximum likelihood.

    With classes the bias interval is the normal one on the log-likelihood's curvature, and the spread's is symmetric on its logarithm.
    """
    n = tally.numbers + sum(tally.classed.values())
    if not tally.classed:
        return StartLine(n, _t_mean(tally), _chi_spread(tally), False)
    fit = censored_fit(tally.numbers, tally.total, tally.squares, tally.classed, window_deg, wide_deg)
    if fit is None:
        return StartLine(n, Estimate(_middle(tally), math.inf, -math.inf, math.inf), UNKNOWN_SPREAD, True)
    mean, spread, mean_se, log_spread_se = fit
    bias = Estimate(mean, mean_se, mean - NORMAL_90 * mean_se, mean + NORMAL_90 * mean_se)
    reach = math.exp(min(NORMAL_95 * log_spread_se, 700.0))
    return StartLine(n, bias, Estimate(spread, spread * log_spread_se, spread / reach, spread * reach), True)


def _middle(tally: Tally) -> float:
    """A plain stand-in where no fit exists: the mean of the numbers, NaN with classes alone."""
    return tally.mean


def _t_mean(tally: Tally) -> Estimate:
    from rangelog.evidence.means import student

    n, sd = tally.numbers, tally.sd
    if n == 0:
        return UNKNOWN
    if n < 2 or sd <= 1e-9 * max(1.0, abs(tally.mean)):
        return Estimate(tally.mean, math.inf, -math.inf, math.inf)
    error = sd / math.sqrt(n)
    half = student(0.90, n - 1) * error
    return Estimate(tally.mean, error, tally.mean - half, tally.mean + half)


def _chi_spread(tally: Tally) -> Estimate:
    from rangelog.evidence.means import spread_factors

    n, sd = tally.numbers, tally.sd
    if n < 2:
        return UNKNOWN_SPREAD
    if sd <= 1e-9 * max(1.0, abs(tally.mean)):
        return Estimate(0.0, math.inf, 0.0, math.inf)
    low, high = spread_factors(n, 0.95)
    return Estimate(sd, sd / math.sqrt(2 * (n - 1)), sd * low, sd * high)


def censored_fit(
    n: int, total: float, squares: float, classed: Mapping[Side, int], window_deg: float, wide_deg: float
) -> tuple[float, float, float, float] | None:
    """Maximum likelihood of normal balls known as numbers (by count, sum, sum of squares) or as classes (by count).

    Returns:
        Mean, spread, standard error of the mean, standard error of log spread, or None where no optimum is finite: fewer than
        three places are told apart (two neighbouring classes alone let the spread shrink to nothing).
    """
    classes = [(*scales.side_interval(side, window_deg, wide_deg), count) for side, count in classed.items() if count]
    if not _can_tell(n, total, squares, [(low, high) for low, high, _ in classes]):
        return None
    theta, gamma = _first_guess(n, total, squares, classes)
    for _ in range(60):
        value, slope, curve = _likelihood(theta, gamma, n, total, squares, classes)
        step = _solve(curve, slope)
        if step is None:
            return None
        scale, best = 1.0, None
        while scale > 1e-8:
            trial = (theta - scale * step[0], gamma - scale * step[1])
            if trial[0] > 0:
                found = _likelihood(*trial, n, total, squares, classes)[0]
                if found >= value - 1e-12 * abs(value):
                    best = trial
                    break
            scale /= 2
        if best is None:
            break
        moved = abs(best[0] - theta) / theta + abs(best[1] - gamma) / (1 + abs(gamma))
        theta, gamma = best
        if moved < 1e-11:
            break
    if not 1 / _WIDEST_SPREAD_DEG < theta < 1e4 or abs(gamma) > 1e6:
        return None
    return _standard_errors(theta, gamma, _likelihood(theta, gamma, n, total, squares, classes)[2])


def _can_tell(n: int, total: float, squares: float, intervals: list[tuple[float, float]]) -> bool:
    """A finite optimum exists when the balls cannot all lie on one point, nor apart at one edge."""
    scatter = n > 1 and squares - total * total / n > 1e-12 * max(1.0, squares)
    if scatter:
        return True
    points = [(total / n, total / n)] if n else []
    spans = sorted(points + intervals)
    lowest_high, highest_low = min(high for _, high in spans), max(low for low, _ in spans)
    return highest_low > lowest_high


def _first_guess(n: int, total: float, squares: float, classes: list[tuple[float, float, int]]) -> tuple[float, float]:
    for low, high, count in classes:
        if math.isinf(low):
            at = high - 2.0
        elif math.isinf(high):
            at = low + 2.0
        else:
            at = (low + high) / 2
        n, total, squares = n + count, total + count * at, squares + count * at * at
    mean = total / n
    sd = max(0.5, math.sqrt(max(0.0, squares / n - mean * mean)))
    return 1 / sd, mean / sd


def _density(z: float) -> float:
    return math.exp(-0.5 * z * z) / _ROOT_TWO_PI if abs(z) < _FAR else 0.0


def _between(a: float, b: float) -> float:
    """Normal chance between a and b, on the side where it loses no digits."""
    if a > 0:
        a, b = -b, -a
    return 0.5 * (math.erfc(-b * _ROOT_HALF) - math.erfc(-a * _ROOT_HALF))


Curve = tuple[float, float, float]


def _likelihood(
    theta: float, gamma: float, n: int, total: float, squares: float, classes: list[tuple[float, float, int]]
) -> tuple[float, tuple[float, float], Curve]:
    """Log-likelihood, its slopes in (theta, gamma), and its second slopes (theta theta, theta gamma, gamma gamma)."""
    value = n * math.log(theta) - 0.5 * (theta * theta * squares - 2 * theta * gamma * total + n * gamma * gamma)
    slope_t, slope_g = n / theta - theta * squares + gamma * total, theta * total - n * gamma
    tt, tg, gg = -n / theta**2 - squares, total, float(-n)
    for low, high, count in classes:
        a, b = theta * low - gamma, theta * high - gamma
        chance = max(_between(a, b), 1e-300)
        at_a, at_b = _density(a) / chance, _density(b) / chance
        low_0, high_0 = (0.0 if math.isinf(low) else low), (0.0 if math.isinf(high) else high)
        a_0, b_0 = (0.0 if math.isinf(low) else a), (0.0 if math.isinf(high) else b)
        first_t, first_g = at_b * high_0 - at_a * low_0, at_a - at_b
        value += count * math.log(chance)
        slope_t += count * first_t
        slope_g += count * first_g
        tt += count * (-b_0 * at_b * high_0**2 + a_0 * at_a * low_0**2 - first_t**2)
        tg += count * (b_0 * at_b * high_0 - a_0 * at_a * low_0 - first_t * first_g)
        gg += count * (-b_0 * at_b + a_0 * at_a - first_g**2)
    return value, (slope_t, slope_g), (tt, tg, gg)


def _solve(curve: Curve, slope: tuple[float, float]) -> tuple[float, float] | None:
    tt, tg, gg = curve
    determinant = tt * gg - tg * tg
    if not determinant > 1e-300:
        return None
    return (gg * slope[0] - tg * slope[1]) / determinant, (tt * slope[1] - tg * slope[0]) / determinant


def _standard_errors(theta: float, gamma: float, curve: Curve) -> tuple[float, float, float, float] | None:
    """Mean, spread and their errors; mean = gamma / theta, so its variance follows by the delta method."""
    tt, tg, gg = (-each for each in curve)
    determinant = tt * gg - tg * tg
    if not determinant > 1e-300:
        return None
    var_t, var_g, both = gg / determinant, tt / determinant, -tg / determinant
    mean = gamma / theta
    variance = (var_g - 2 * mean * both + mean * mean * var_t) / theta**2
    return mean, 1 / theta, math.sqrt(max(variance, 0.0)), math.sqrt(var_t) / theta
