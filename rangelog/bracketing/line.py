"""The line of one grip now: where it crosses, and how sure that is."""

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from rangelog.bracketing.likelihood import WILD_SD_DEG, WILD_SHARE
from rangelog.bracketing.mixture import TAIL, Mixture
from rangelog.bracketing.normal import Floats, between
from rangelog.core.results import Crossing

FAR_NOTCHES = 60.0
"""Beyond this no crossing is looked for: the balls cannot tell."""


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
        middle = self._where(0.5, falling, self._least_squares_middle())
        low = self._end(TAIL, falling, middle, -1)
        high = self._end(1 - TAIL, falling, middle, +1)
        bow = min(max(middle, bow_range[0]), bow_range[1])
        return Crossing(bow, low, high)

    def _least_squares_middle(self) -> float:
        level, slope = self.weight @ self.mean
        slope = math.copysign(max(abs(slope), 1e-3), slope)
        return float(np.clip(self.centre - level / slope, self.centre - FAR_NOTCHES, self.centre + FAR_NOTCHES))

    def _closed(self, bow: float, falling: bool) -> float:
        chance = float(self.closed_at(np.array([bow]))[0])
        return chance if falling else 1 - chance

    def _where(self, chance: float, falling: bool, start: float) -> float:
        """Bow nearest to a start at which the chance of having crossed equals a value."""
        width = 0.25
        low = high = start
        while self._closed(low, falling) > chance and start - low < FAR_NOTCHES:
            low -= width
            width *= 1.6
        width = 0.25
        while self._closed(high, falling) < chance and high - start < FAR_NOTCHES:
            high += width
            width *= 1.6
        return self._bisect(low, high, chance, falling)

    def _bisect(self, low: float, high: float, chance: float, falling: bool) -> float:
        for _ in range(40):
            middle = (low + high) / 2
            if self._closed(middle, falling) < chance:
                low = middle
            else:
                high = middle
        return (low + high) / 2

    def _end(self, chance: float, falling: bool, middle: float, way: int) -> float:
        """First bow away from the middle, one way, at which the side is that sure; infinite where none is."""
        width, at = 0.1, middle
        while abs(at - middle) < FAR_NOTCHES:
            further = at + way * width
            reached = self._closed(further, falling)
            if (reached - chance) * way >= 0:
                return self._bisect(min(at, further), max(at, further), chance, falling)
            at, width = further, width * 1.3
        return way * math.inf
