"""Questions to a mixture of normals: chances, means and quantiles."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from rangelog.bracketing.normal import Floats, between
from rangelog.core.results import Estimate

TAIL = 0.05
"""Chance left outside either end of an interval."""

_ROUNDS, _POINTS = 4, 24


def solve(rising: Callable[[Floats], Floats], low: float, high: float, target: float) -> float:
    """Where a rising function of an array reaches a target, between two ends that enclose it."""
    for _ in range(_ROUNDS):
        x = np.linspace(low, high, _POINTS)
        above = np.flatnonzero(rising(x) >= target)
        first = int(above[0]) if len(above) else _POINTS - 1
        low, high = float(x[max(first - 1, 0)]), float(x[first])
    return (low + high) / 2


@dataclass(frozen=True, slots=True)
class Mixture:
    """Normals with weights, all arrays (cells,)."""

    weight: Floats
    mean: Floats
    sd: Floats

    def below(self, value: float) -> float:
        """Chance of less than a value."""
        return float(self.weight @ ndtr((value - self.mean) / self.sd))

    def inside(self, half_width: float, noise: Floats | float = 0.0) -> float:
        """Chance of falling within +- half_width of zero, after adding noise of that standard deviation."""
        sd = np.sqrt(self.sd**2 + np.asarray(noise) ** 2)
        return float(self.weight @ between((-half_width - self.mean) / sd, (half_width - self.mean) / sd))

    def moments(self) -> tuple[float, float]:
        """Mean and standard deviation."""
        mean = float(self.weight @ self.mean)
        return mean, float(np.sqrt(self.weight @ (self.sd**2 + (self.mean - mean) ** 2)))

    def quantile(self, chance: float) -> float:
        """Value below which the given chance lies."""
        low = float(np.min(self.mean - 9 * self.sd))
        high = float(np.max(self.mean + 9 * self.sd))
        return solve(lambda x: self.weight @ ndtr((x - self.mean[:, None]) / self.sd[:, None]), low, high, chance)

    def estimate(self, sign: int = 1) -> Estimate:
        """Mean, standard deviation and 90 % interval, mirrored where sign is -1."""
        mean, sd = self.moments()
        low, high = self.quantile(TAIL), self.quantile(1 - TAIL)
        return Estimate(mean, sd, low, high) if sign > 0 else Estimate(-mean, sd, -high, -low)
