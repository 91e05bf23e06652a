"""Intervals for counts: shares, their difference, and the exact comparison of two shares.

No interval here ever has width 0: six solid of six says "likely over 61 %", never "100 %".
"""

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy import special

from rangelog.core.errors import OffScale
from rangelog.core.results import Share


def _counts(hits: int, n: int) -> None:
    if n < 0 or hits < 0 or hits > n:
        raise OffScale("count", f"A count runs 0 to its total; {hits} of {n} cannot be.")


def _level(level: float) -> None:
    if not 0.0 < level < 1.0:
        raise OffScale("level", "A level lies between 0 and 1.")


def _score_ends(hits: int, n: int, z: float) -> tuple[float, float]:
    share, shrink = hits / n, 1.0 + z * z / n
    middle = (share + z * z / (2 * n)) / shrink
    half = z / shrink * math.sqrt(share * (1.0 - share) / n + z * z / (4 * n * n))
    return (0.0 if hits == 0 else max(0.0, middle - half)), (1.0 if hits == n else min(1.0, middle + half))


def wilson(hits: int, n: int, level: float = 0.95) -> Share:
    """Score interval of a share (Wilson 1927; Newcombe 1998, method 3). With n = 0 it is the whole of 0..1.

    Raises:
        OffScale: a count outside its total, or a level outside 0..1.
    """
    _counts(hits, n)
    _level(level)
    if n == 0:
        return Share(0, 0, 0.0, 1.0, level)
    low, high = _score_ends(hits, n, float(special.ndtri(0.5 + level / 2)))
    return Share(hits, n, low, high, level)


def wilson_lower(hits: int, n: int, level: float = 0.95) -> float:
    """One-sided lower score bound of a share (NIST/SEMATECH e-Handbook 7.2.4.1); 0 when n is 0. Raises OffScale."""
    _counts(hits, n)
    _level(level)
    return _score_ends(hits, n, float(special.ndtri(level)))[0] if n else 0.0


def wilson_upper(hits: int, n: int, level: float = 0.95) -> float:
    """One-sided upper score bound of a share; 1 when n is 0. Raises OffScale."""
    return 1.0 - wilson_lower(n - hits, n, level)


def jeffreys(hits: int, n: int, level: float = 0.95) -> Share:
    """Equal-tailed interval of the Beta(1/2, 1/2) posterior, closed at 0 and 1 (Brown, Cai and DasGupta 2001). Raises OffScale."""
    _counts(hits, n)
    _level(level)
    tail = (1.0 - level) / 2
    low = 0.0 if hits == 0 else float(special.betaincinv(hits + 0.5, n - hits + 0.5, tail))
    high = 1.0 if hits == n else float(special.betaincinv(hits + 0.5, n - hits + 0.5, 1.0 - tail))
    return Share(hits, n, low, high, level)


def exact(hits: int, n: int, level: float = 0.95) -> Share:
    """Clopper-Pearson interval of a share: never covers less than its level, often more. Raises OffScale."""
    _counts(hits, n)
    _level(level)
    tail = (1.0 - level) / 2
    low = 0.0 if hits == 0 else float(special.betaincinv(hits, n - hits + 1, tail))
    high = 1.0 if hits == n else float(special.betaincinv(hits + 1, n - hits, 1.0 - tail))
    return Share(hits, n, low, high, level)


def _log_hypergeometric(hits: int, n: int, other_hits: int, other_n: int) -> tuple[int, np.ndarray]:
    """Smallest possible first count, and the log chances of every possible one, both margins held."""
    total = hits + other_hits
    least, most = max(0, total - other_n), min(n, total)
    k = np.arange(least, most + 1, dtype=float)

    def log_choose(a: float, b: np.ndarray) -> np.ndarray:
        return np.asarray(special.gammaln(a + 1) - special.gammaln(b + 1) - special.gammaln(a - b + 1))

    whole = special.gammaln(n + other_n + 1) - special.gammaln(total + 1) - special.gammaln(n + other_n - total + 1)
    return least, log_choose(n, k) + log_choose(other_n, total - k) - whole


def fisher_two_sided(hits: int, n: int, other_hits: int, other_n: int) -> float:
    """Fisher's exact test of two shares: sum over every table no likelier than the one seen. 1.0 where either is empty.

    Raises:
        OffScale: a count outside its total.
    """
    _counts(hits, n)
    _counts(other_hits, other_n)
    least, log_chance = _log_hypergeometric(hits, n, other_hits, other_n)
    seen = log_chance[hits - least]
    return min(1.0, float(np.exp(log_chance[log_chance <= seen + 1e-7]).sum()))


@lru_cache(maxsize=4096)
def fisher_lower(hits: int, n: int, other_hits: int, other_n: int) -> float:
    """One-sided exact chance of so few hits, or fewer, in the first row, both margins held; cached. Raises OffScale."""
    _counts(hits, n)
    _counts(other_hits, other_n)
    total = hits + other_hits
    ways = sum(math.comb(n, k) * math.comb(other_n, total - k) for k in range(max(0, total - other_n), hits + 1))
    return ways / math.comb(n + other_n, total)


@dataclass(frozen=True, slots=True)
class ShareDifference:
    """Two shares against each other.

    Attributes:
        first, second: the two shares with their own intervals.
        difference: first minus second, as a share; NaN where either is empty.
        low, high: ends of its interval.
        p: two-sided exact p of "no difference".
        level: level of the interval.
    """

    first: Share
    second: Share
    difference: float
    low: float
    high: float
    p: float
    level: float

    @property
    def shown(self) -> bool:
        """Whether the exact test shows a difference at this level."""
        return self.p <= 1.0 - self.level + 1e-12


def share_difference(hits: int, n: int, other_hits: int, other_n: int, level: float = 0.95) -> ShareDifference:
    """Difference of two independent shares: hybrid score interval (Newcombe 1998, method 10) and Fisher's exact test. Raises OffScale."""
    first, second = wilson(hits, n, level), wilson(other_hits, other_n, level)
    p = fisher_two_sided(hits, n, other_hits, other_n)
    if n == 0 or other_n == 0:
        return ShareDifference(first, second, math.nan, -1.0, 1.0, p, level)
    difference = first.share - second.share
    low = difference - math.hypot(first.share - first.low, second.high - second.share)
    high = difference + math.hypot(first.high - first.share, second.share - second.low)
    return ShareDifference(first, second, difference, low, high, p, level)
