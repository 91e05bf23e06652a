"""What a few more balls at a setting would be worth: the start bias expected at the setting recommended after them.

For a line that is Gaussian in every cell, balls shrink its variance by an amount that can be told before they are hit: classed
balls count by the information their class carries, which fades outside the wide edge. The setting recommended afterwards
is not known yet, so the expected |bias| is averaged over where the line may turn out to cross.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from rangelog.bracketing.likelihood import information
from rangelog.bracketing.normal import Floats

_NODES = np.array([-1.7320508, 0.0, 1.7320508])
_NODE_WEIGHTS = np.array([1.0, 4.0, 1.0]) / 6.0
_CHANCES = np.array([0.05, 0.2, 0.35, 0.5, 0.65, 0.8, 0.95])
_MEAN_ABSOLUTE = 0.7978845608
"""Mean of |z| for a standard normal."""


@dataclass(frozen=True, slots=True)
class Lever:
    """Belief about the bias along one lever: bias(x) = level + slope x, Gaussian in every cell, x from a centre.

    Attributes:
        weight: (cells,); mean: (cells, 2); cov: (cells, 2, 2).
        low, high: legal ends of x.
    """

    weight: Floats
    mean: Floats
    cov: Floats
    low: float
    high: float

    def moments(self, x: Floats) -> tuple[Floats, Floats]:
        """Mean and variance of the bias at x (m,): two arrays (cells, m)."""
        mean = self.mean[:, :1] + x * self.mean[:, 1:]
        var = self.cov[:, 0, 0, None] + 2 * x * self.cov[:, 0, 1, None] + x * x * self.cov[:, 1, 1, None]
        return mean, var

    def crossings(self) -> Floats:
        """Where the bias may cross zero, as equally telling quantiles kept inside the legal ends, shape (7,)."""
        x = np.linspace(self.low, self.high, 33)
        mean, var = self.moments(x)
        closed = self.weight @ ndtr(-mean / np.sqrt(var))
        if self.weight @ self.mean[:, 1] > 0:
            closed = 1 - closed
        return np.asarray(np.interp(_CHANCES, np.maximum.accumulate(closed), x))

    def middle(self) -> float:
        """Median of where the bias may cross zero, kept inside the legal ends."""
        return float(self.crossings()[3])


def expected_bias(lever: Lever, x: Floats, spread: Floats, balls: int, window: float, wide: float) -> Floats:
    """Expected |bias| at the setting recommended after `balls` more balls at each candidate x.

    Args:
        x: candidates (m,); spread: (cells, m) there.

    Returns:
        degrees, shape (m,).
    """
    kept = lever.weight > 0.01 * lever.weight.max()
    weight = lever.weight[kept] / lever.weight[kept].sum()
    part = Lever(weight, lever.mean[kept], lever.cov[kept], lever.low, lever.high)
    mean, var = part.moments(x)
    spread = spread[kept]
    points = mean[..., None] + np.sqrt(var)[..., None] * _NODES
    told = balls * information(points, spread[..., None] + np.zeros(3), window, wide) @ _NODE_WEIGHTS
    cross = lever.crossings()
    _, var_there = part.moments(cross)
    slope_cov = part.cov[:, 1, 0, None, None] * (x[:, None] + cross) + part.cov[:, 1, 1, None, None] * x[:, None] * cross
    between = part.cov[:, 0, 0, None, None] + slope_cov
    left = var_there[:, None, :] - between**2 * (told / (1 + told * var))[..., None]
    return np.asarray(weight @ np.sqrt(np.maximum(left, 0.0)).mean(axis=2)) * _MEAN_ABSOLUTE
