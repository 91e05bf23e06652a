"""Every grip at its best bow: what share of balls it may put on line."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rangelog.bracketing.chain import Now
from rangelog.bracketing.likelihood import WILD_SD_DEG, WILD_SHARE
from rangelog.bracketing.normal import Floats, between
from rangelog.bracketing.priors import BOW_CENTRE


@dataclass(frozen=True, slots=True)
class Option:
    """A grip with the bow that puts most balls on line.

    Attributes:
        share: chance of a ball on line in every cell, the bias as uncertain as it is; shape (cells,).
        potential: the same were the bias known to be its mean, that is what the spread alone allows; shape (cells,).
        weight: (cells,).
    """

    grip: float
    bow: float
    share: Floats
    potential: Floats
    weight: Floats

    @property
    def mean_share(self) -> float:
        return float(self.weight @ self.share)

    def promise(self, boldness: float) -> float:
        """What the grip might put on line when the spread is known better: mean plus some standard deviations."""
        mean = float(self.weight @ self.potential)
        return mean + boldness * float(np.sqrt(self.weight @ (self.potential - mean) ** 2))

    def ahead_of(self, other: "Option") -> float:
        """By how many standard deviations its share is above another's."""
        gap = self.share - other.share
        mean = float(self.weight @ gap)
        var = float(self.weight @ (gap - mean) ** 2)
        # what an uncertain bias costs on average is also about how much it may cost more or less
        for one in (self, other):
            var += 2 * float(one.weight @ (one.potential - one.share)) ** 2
        return mean / float(np.sqrt(max(var, 1e-12)))


def shares(now: Now, grip: float, bows: Floats, window: float) -> tuple[Floats, Floats]:
    """Share and potential (see Option) of a grip at each bow, two arrays (cells, bows)."""
    line = now.line(grip)
    step = bows - BOW_CENTRE
    mean = line.mean[:, :1] + step * line.mean[:, 1:]
    var = line.cov[:, 0, 0, None] + 2 * step * line.cov[:, 0, 1, None] + step * step * line.cov[:, 1, 1, None]
    wild = WILD_SHARE * float(between(np.array(-window / WILD_SD_DEG), np.array(window / WILD_SD_DEG)))
    found = []
    for total in (var + line.spread[:, None] ** 2, np.broadcast_to(line.spread[:, None] ** 2, var.shape)):
        sd = np.sqrt(total)
        found.append((1 - WILD_SHARE) * between((-window - mean) / sd, (window - mean) / sd) + wild)
    return found[0], found[1]


def option(now: Now, grip: float, bows: Sequence[float], window: float) -> Option:
    """A grip at the best of some bows."""
    share, potential = shares(now, grip, np.array(bows), window)
    best = int(np.argmax(now.weight @ share))
    return Option(grip, float(bows[best]), share[:, best], potential[:, best], now.weight)
