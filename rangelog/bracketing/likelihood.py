"""What one ball says of the line: the chance of its class or number, and the slopes of that chance.

A ball is an interval of open-positive degrees (a class) or a point (a number). Its error is normal with the player's own
spread, except for a few wild balls that tell nothing about the line: their share enters as a floor under the chance.
"""

from dataclasses import dataclass

import numpy as np
from scipy.special import ndtr

from rangelog.bracketing.normal import ROOT_TWO_PI, Floats, between

WILD_SHARE = 0.04
"""Share of balls that are not of this swing at all."""

WILD_SD_DEG = 10.0
"""How far such a ball strays."""

FAR_DEG = 1e3
"""Stands for the open end of an outer class: no start is that far off."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What was seen of n balls, open-positive degrees: low and high ends (equal for a number), and the wild floor.

    Attributes:
        low, high: ends of the intervals, shape (n,), FAR_DEG outside the wide edges.
        exact: index of the balls with a number; classed: index of the others.
        floor: wild share times the wild chance of the class, or of the number's density, shape (n,).
    """

    low: Floats
    high: Floats
    exact: np.ndarray
    classed: np.ndarray
    floor: Floats

    def __len__(self) -> int:
        return len(self.low)


def seen(low: Floats, high: Floats) -> Seen:
    """Prepare intervals (n,) for the fit. A number has low == high."""
    low, high = np.maximum(low, -FAR_DEG), np.minimum(high, FAR_DEG)
    point = low == high
    wild_chance = between(low / WILD_SD_DEG, high / WILD_SD_DEG)
    wild_density = np.exp(-0.5 * np.where(point, low / WILD_SD_DEG, 0.0) ** 2) / (ROOT_TWO_PI * WILD_SD_DEG)
    return Seen(low, high, np.flatnonzero(point), np.flatnonzero(~point), WILD_SHARE * np.where(point, wild_density, wild_chance))


def chance(balls: Seen, mean: Floats, var: Floats) -> tuple[Floats, Floats, Floats]:
    """Chance Z of what was seen when the start is N(mean, var), with Z'/Z and Z''/Z - (Z'/Z)^2 in the mean.

    Shapes: mean and var (cells, n), three arrays of that shape come back. With var = line variance + spread^2 this is
    the normaliser of expectation propagation, with var = spread^2 the likelihood itself.
    """
    sd = np.sqrt(var)
    tame = 1 - WILD_SHARE
    if not len(balls.exact):
        return _class_chance(balls.low, balls.high, balls.floor, mean, sd, tame)
    z, first, second = np.empty_like(mean), np.empty_like(mean), np.empty_like(mean)
    if len(balls.classed):
        at = balls.classed
        z[:, at], first[:, at], second[:, at] = _class_chance(balls.low[at], balls.high[at], balls.floor[at], mean[:, at], sd[:, at], tame)
    at = balls.exact
    off = (balls.low[at] - mean[:, at]) / sd[:, at]
    normal = tame * np.exp(-0.5 * off * off) / (ROOT_TWO_PI * sd[:, at])
    total = normal + balls.floor[at]
    share = normal / total
    slope = share * off / sd[:, at]
    z[:, at], first[:, at] = total, slope
    second[:, at] = share * (off * off - 1) / var[:, at] - slope * slope
    return z, first, second


def _class_chance(low: Floats, high: Floats, floor: Floats, mean: Floats, sd: Floats, tame: float) -> tuple[Floats, Floats, Floats]:
    # the wild floor makes the cancellation of two distribution functions far out harmless
    al, be = (low - mean) / sd, (high - mean) / sd
    at_low, at_high = np.exp(-0.5 * al * al), np.exp(-0.5 * be * be)
    total = tame * (ndtr(be) - ndtr(al)) + floor
    scale = tame / ROOT_TWO_PI / (sd * total)
    slope = (at_low - at_high) * scale
    curve = (al * at_low - be * at_high) * scale / sd - slope * slope
    return total, slope, curve


def class_edges(window: float, wide: float) -> Floats:
    """The four inner edges of the five classes, ascending, degrees."""
    return np.array([-wide, -window, window, wide])


def information(mean: Floats, spread: Floats, window: float, wide: float) -> Floats:
    """Fisher information about the line carried by one classed ball, per degree squared; shapes broadcast.

    Falls from about 0.87 / spread^2 on the line to nothing far outside the wide edge, which is why far balls teach little.
    """
    edges = class_edges(window, wide)
    z = (edges - mean[..., None]) / spread[..., None]
    cumulative = np.concatenate((np.zeros((*z.shape[:-1], 1)), ndtr(z), np.ones((*z.shape[:-1], 1))), axis=-1)
    bell = np.exp(-0.5 * z * z) / ROOT_TWO_PI
    bell = np.concatenate((np.zeros((*z.shape[:-1], 1)), bell, np.zeros((*z.shape[:-1], 1))), axis=-1)
    tame = 1 - WILD_SHARE
    wild_cumulative = np.concatenate(([0.0], ndtr(edges / WILD_SD_DEG), [1.0]))
    share = tame * np.diff(cumulative, axis=-1) + WILD_SHARE * np.diff(wild_cumulative)
    slope = tame * np.diff(bell, axis=-1) / spread[..., None]
    return np.asarray(np.sum(slope * slope / share, axis=-1))
