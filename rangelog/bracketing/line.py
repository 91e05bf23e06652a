"""The line of one grip now: where it crosses, and how sure that is."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from rangelog.bracketing.likelihood import WILD_SD_DEG, WILD_SHARE
from rangelog.bracketing.mixture import TAIL, Mixture, solve
from rangelog.bracketing.normal import Floats, between
from rangelog.core.results import Crossing

FAR_NOTCHES = 60.0
"""Beyond this no crossing is looked for: the balls cannot tell."""

_REACH = np.geomspace(0.02, FAR_NOTCHES, 60)


@dataclass(frozen=True, slots=True)
class Line:
    """Bias over bow at one grip now: bias(bow) = level + slope (bow - centre), Gaussian in every cell.

    Attributes:
        weight: (cells,); mean: (cells, 2) of level and slope; cov: (cells, 2, 2).
        spread: (cells,) at this grip.
        centre: bow in notches at which the level holds.
    """

    weight: Floats
    mean: Floats
    cov: Floats
    spread: Floats
    centre: float

    def bias(self, bow: float) -> Mixture:
        """Mean start (open-positive) at a bow."""
        step = bow - self.centre
        mean = self.mean[:, 0] + step * self.mean[:, 1]
        var = self.cov[:, 0, 0] + 2 * step * self.cov[:, 0, 1] + step * step * self.cov[:, 1, 1]
        return Mixture(self.weight, mean, np.sqrt(var))

    def share(self, bow: float, window: float) -> float:
        """Chance that the next ball at a bow starts inside the window, wild balls included."""
        tame = self.bias(bow).inside(window, self.spread)
        wild = float(between(np.array(-window / WILD_SD_DEG), np.array(window / WILD_SD_DEG)))
        return (1 - WILD_SHARE) * tame + WILD_SHARE * wild

    def slope(self) -> Mixture:
        """Degrees per notch, open-positive."""
        return Mixture(self.weight, self.mean[:, 1], np.sqrt(self.cov[:, 1, 1]))

    def closed_at(self, bows: Floats) -> Floats:
        """Chance that the bias lies on the closed side, at each bow."""
        step = bows[None, :] - self.centre
        mean = self.mean[:, :1] + step * self.mean[:, 1:]
        var = self.cov[:, 0, 0, None] + 2 * step * self.cov[:, 0, 1, None] + step * step * self.cov[:, 1, 1, None]
        return np.asarray(self.weight @ ndtr(-mean / np.sqrt(var)))

    def crossing(self, bow_range: tuple[float, float]) -> Crossing:
        """Posterior median of the bow that starts on line, kept inside the range, and its 90 % interval.

        An end is infinite where no bow, however far, makes the side on that end sure.
        """
        falling = float(self.weight @ self.mean[:, 1]) <= 0

        def crossed(bows: Floats) -> Floats:
            return self.closed_at(bows) if falling else 1 - self.closed_at(bows)

        middle = _middle(crossed, self._start())
        low = _end(lambda away: 1 - crossed(middle - away), middle, -1)
        high = _end(lambda away: crossed(middle + away), middle, +1)
        return Crossing(min(max(middle, bow_range[0]), bow_range[1]), low, high)

    def _start(self) -> float:
        """Where the mean line crosses, as far as it is worth looking."""
        level, slope = self.weight @ self.mean
        slope = math.copysign(max(abs(slope), 1e-3), slope)
        return float(np.clip(self.centre - level / slope, self.centre - FAR_NOTCHES, self.centre + FAR_NOTCHES))


def _middle(crossed: Callable[[Floats], Floats], start: float) -> float:
    """Bow nearest to a start at which the line has crossed with even chance."""
    here = float(crossed(np.array([start]))[0])
    way = -1.0 if here > 0.5 else 1.0
    passed = np.flatnonzero((crossed(start + way * _REACH) - 0.5) * way >= 0)
    if not len(passed):
        return start
    near, far = _step(int(passed[0]))
    ends = sorted((start + way * near, start + way * far))
    return solve(crossed, ends[0], ends[1], 0.5)


def _end(sure: Callable[[Floats], Floats], middle: float, way: int) -> float:
    """First bow away from the middle, one way, at which the side is sure; infinite where none is."""
    passed = np.flatnonzero(sure(_REACH) >= 1 - TAIL)
    if not len(passed):
        return way * math.inf
    near, far = _step(int(passed[0]))
    return middle + way * solve(sure, near, far, 1 - TAIL)


def _step(first: int) -> tuple[float, float]:
    return (float(_REACH[first - 1]) if first else 0.0), float(_REACH[first])
