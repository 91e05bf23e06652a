"""Rank tests for trends and shifts, and the slope that a few wild balls cannot bend. Everything is permutation-honest on ties."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from rangelog.core.errors import OffScale
from rangelog.core.results import Estimate

EXACT_UP_TO = 100
"""Kendall's exact distribution is used up to this many pairs of values without ties."""


@dataclass(frozen=True, slots=True)
class RankTest:
    """Outcome of a rank test.

    Attributes:
        statistic: the count or sum it rests on.
        p_greater: one-sided p for an upward trend (or a higher first group).
        p_less: one-sided p for a downward one.
        exact: p from the whole permutation distribution, not from a normal curve.
        tau: Kendall's tau-b for `kendall`, NaN elsewhere.
    """

    statistic: float
    p_greater: float
    p_less: float
    exact: bool
    tau: float = math.nan

    @property
    def p_two_sided(self) -> float:
        """Twice the smaller side, at most 1."""
        return min(1.0, 2 * min(self.p_greater, self.p_less))


def _finite(values: Sequence[float]) -> np.ndarray:
    found = np.asarray(values, dtype=float)
    if found.size and not np.all(np.isfinite(found)):
        raise OffScale("values", "Values must be finite numbers.")
    return found


def _tie_sizes(values: np.ndarray) -> np.ndarray:
    return np.unique(values, return_counts=True)[1].astype(float)


def _inversion_counts(n: int) -> np.ndarray:
    """Share of all orders of n values with each number of pairs out of order."""
    counts = np.ones(1)
    for k in range(2, n + 1):
        counts = np.convolve(counts, np.full(k, 1.0 / k))
    return counts


def kendall(x: Sequence[float], y: Sequence[float]) -> RankTest:
    """Kendall's rank trend: statistic = concordant pairs, tau-b; exact without ties, tie-corrected normal with them.

    Source: Kendall's tau as in Hollander and Wolfe. With fewer than 2 pairs, or one side all alike, every p is 1 and tau is NaN.

    Raises:
        OffScale: lengths that differ, or a value that is not finite.
    """
    a, b = _finite(x), _finite(y)
    if a.size != b.size:
        raise OffScale("values", "Both rows must have the same length.")
    n = a.size
    upper = np.triu_indices(n, 1)
    sign = np.sign((a[:, None] - a[None, :]) * (b[:, None] - b[None, :]))[upper]
    concordant, discordant = int((sign > 0).sum()), int((sign < 0).sum())
    score = concordant - discordant
    ties_a, ties_b = _tie_sizes(a), _tie_sizes(b)
    pairs = n * (n - 1) / 2
    free_a, free_b = pairs - float((ties_a * (ties_a - 1)).sum()) / 2, pairs - float((ties_b * (ties_b - 1)).sum()) / 2
    if n < 2 or free_a == 0 or free_b == 0:
        return RankTest(float(concordant), 1.0, 1.0, True)
    tau = score / math.sqrt(free_a * free_b)
    if free_a == pairs and free_b == pairs and n <= EXACT_UP_TO:
        chance = _inversion_counts(n)
        p_greater, p_less = float(chance[: discordant + 1].sum()), float(chance[discordant:].sum())
        return RankTest(float(concordant), min(1.0, p_greater), min(1.0, p_less), True, tau)

    def moment(ties: np.ndarray, power: int) -> float:
        return float((ties * (ties - 1) * {1: 1.0, 2: ties - 2, 3: 2 * ties + 5}[power]).sum())

    variance = (n * (n - 1) * (2 * n + 5) - moment(ties_a, 3) - moment(ties_b, 3)) / 18
    variance += moment(ties_a, 1) * moment(ties_b, 1) / (2 * n * (n - 1))
    if n > 2:
        variance += moment(ties_a, 2) * moment(ties_b, 2) / (9 * n * (n - 1) * (n - 2))
    z = score / math.sqrt(variance)
    return RankTest(float(concordant), float(special.ndtr(-z)), float(special.ndtr(z)), False, tau)


def _compositions(left: int, most: tuple[int, ...]) -> list[tuple[int, ...]]:
    """Every way to put `left` balls into classes holding at most `most`."""
    if len(most) == 1:
        return [(left,)] if left <= most[0] else []
    room = sum(most[1:])
    return [(take, *rest) for take in range(max(0, left - room), min(left, most[0]) + 1) for rest in _compositions(left - take, most[1:])]


def jonckheere(groups: Sequence[Sequence[float]], exact: bool | None = None) -> RankTest:
    """Jonckheere-Terpstra test of a trend over ordered groups; statistic J counts pairs in order, ties half.

    `exact` None takes the whole distribution where it is cheap (no ties and up to 60 values), else the tie-corrected normal of
    Hollander and Wolfe. Groups that are empty are left out; with fewer than two groups, or all values alike, every p is 1.

    Raises:
        OffScale: a value that is not finite, or an exact answer asked for with ties.
    """
    rows = [_finite(group) for group in groups if len(group)]
    if len(rows) < 2 or np.ptp(np.concatenate(rows)) == 0:
        return RankTest(math.nan, 1.0, 1.0, True)
    j = 0.0
    for low in range(len(rows)):
        for high in range(low + 1, len(rows)):
            gap = rows[high][None, :] - rows[low][:, None]
            j += float((gap > 0).sum()) + 0.5 * float((gap == 0).sum())
    sizes = np.array([row.size for row in rows], dtype=float)
    every = np.concatenate(rows)
    ties = _tie_sizes(every)
    untied = bool((ties == 1).all())
    if exact and not untied:
        raise OffScale("values", "The exact Jonckheere test needs values without ties.")
    if exact or (exact is None and untied and every.size <= 60):
        chance = np.ones(1)
        for index in range(1, len(rows)):
            chance = np.convolve(chance, _mann_whitney_chances(int(sizes[:index].sum()), int(sizes[index])))
        at = round(j)
        return RankTest(j, min(1.0, float(chance[at:].sum())), min(1.0, float(chance[: at + 1].sum())), True)
    n = float(every.size)
    expected = (n * n - float((sizes**2).sum())) / 4

    def cube(k: np.ndarray) -> float:
        return float((k * (k - 1) * (2 * k + 5)).sum())

    def two(k: np.ndarray) -> float:
        return float((k * (k - 1)).sum())

    def three(k: np.ndarray) -> float:
        return float((k * (k - 1) * (k - 2)).sum())

    variance = (n * (n - 1) * (2 * n + 5) - cube(sizes) - cube(ties)) / 72 + two(sizes) * two(ties) / (8 * n * (n - 1))
    if n > 2:
        variance += three(sizes) * three(ties) / (36 * n * (n - 1) * (n - 2))
    z = (j - expected) / math.sqrt(variance)
    return RankTest(j, float(special.ndtr(-z)), float(special.ndtr(z)), False)


def _mann_whitney_chances(m: int, n: int) -> np.ndarray:
    """Chances of each Mann-Whitney count 0..m*n without ties, by the Gaussian binomial (products up, quotients down)."""
    counts = [1] + [0] * (m * n)
    for k in range(1, n + 1):
        for at in range(m * n, m + k - 1, -1):
            counts[at] -= counts[at - m - k]
        for at in range(k, m * n + 1):
            counts[at] += counts[at - k]
    whole = math.comb(m + n, n)
    return np.array([count / whole for count in counts])


def permutation_shift(first: Sequence[float], second: Sequence[float]) -> RankTest:
    """Exact permutation test of "the first group is higher" on classes or other heavily tied values, scored as given.

    The statistic is the sum of the first group; its whole distribution over every way to deal the values is listed by classes,
    so it needs few different values (three height classes, five start classes). Every p is 1 where a group is empty.

    Raises:
        OffScale: a value that is not finite, or more than six different values.
    """
    a, b = _finite(first), _finite(second)
    pooled = Counter(np.concatenate([a, b]).tolist())
    if a.size == 0 or b.size == 0 or len(pooled) < 2:
        return RankTest(float(a.sum()), 1.0, 1.0, True)
    if len(pooled) > 6:
        raise OffScale("values", "The permutation test is for classes: six different values at most.")
    scores, sizes = np.array(sorted(pooled)), tuple(pooled[value] for value in sorted(pooled))
    deals = np.array(_compositions(a.size, sizes), dtype=float)
    limits = np.array(sizes, dtype=float)
    log_ways = (special.gammaln(limits + 1) - special.gammaln(deals + 1) - special.gammaln(limits - deals + 1)).sum(axis=1)
    total = a.size + b.size
    log_whole = special.gammaln(total + 1) - special.gammaln(a.size + 1) - special.gammaln(b.size + 1)
    chances, sums = np.exp(log_ways - log_whole), deals @ scores
    seen = float(a.sum())
    return RankTest(seen, min(1.0, float(chances[sums >= seen - 1e-9].sum())), min(1.0, float(chances[sums <= seen + 1e-9].sum())), True)


def theil_sen(x: Sequence[float], y: Sequence[float], level: float = 0.95) -> Estimate:
    """Median of all pairwise slopes with the rank interval of Sen (1968); `sd` is its half width over the normal point.

    Infinite ends where the pairs are too few for the level; NaN where x never moved.

    Raises:
        OffScale: lengths that differ, a value that is not finite, or a level outside 0..1.
    """
    a, b = _finite(x), _finite(y)
    if a.size != b.size:
        raise OffScale("values", "Both rows must have the same length.")
    if not 0.0 < level < 1.0:
        raise OffScale("level", "A level lies between 0 and 1.")
    upper = np.triu_indices(a.size, 1)
    run, rise = (a[None, :] - a[:, None])[upper], (b[None, :] - b[:, None])[upper]
    slopes = np.sort(rise[run != 0] / run[run != 0])
    if slopes.size == 0:
        return Estimate(math.nan, math.inf, -math.inf, math.inf)
    middle = float(np.median(slopes))
    n, ties_a, ties_b = a.size, _tie_sizes(a), _tie_sizes(b)
    variance = (
        n * (n - 1) * (2 * n + 5)
        - float((ties_a * (ties_a - 1) * (2 * ties_a + 5)).sum())
        - float((ties_b * (ties_b - 1) * (2 * ties_b + 5)).sum())
    ) / 18
    z = float(special.ndtri(0.5 + level / 2))
    reach = z * math.sqrt(max(variance, 0.0))
    low_at, high_at = round((slopes.size - reach) / 2) - 1, round((slopes.size + reach) / 2)
    low = float(slopes[low_at]) if low_at >= 0 else -math.inf
    high = float(slopes[high_at]) if high_at < slopes.size else math.inf
    if low == high:
        low, high = -math.inf, math.inf
    return Estimate(middle, (high - low) / (2 * z), low, high)
