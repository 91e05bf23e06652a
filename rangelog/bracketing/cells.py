"""The spreads a player may have: a small grid of cells, each a spread at the first grip and a way it grows with grip.

Given its cell, the line is fitted as a Gaussian; the answers are mixtures over the cells, weighted by how well each explains the balls.
"""

from dataclasses import dataclass

import numpy as np

from rangelog.bracketing.normal import Floats

GROWTHS = (0.06, 0.14)
"""Growth of the spread per squared grip step of 15 deg away from the player's steadiest grip."""

STEADIEST = (0.0, 15.0, 30.0, 45.0, 60.0, 75.0)
"""Grips at which the player may be steadiest."""

SHAPES = ((0.0, 30.0), *((growth, steadiest) for growth in GROWTHS for steadiest in STEADIEST))
"""Ways the spread may go over grips: the same everywhere, or growing away from one of the grips."""

GRIP_STEP = 15.0
GONE = 60.0
"""A log weight this far under the best stands for a cell that was let go."""

PLAIN_POINTS, SHAPED_POINTS = 9, 5
PLAIN_REACH, SHAPED_REACH = 2.7, 2.0


@dataclass(frozen=True, slots=True)
class Cells:
    """A grid of spreads: for every shape the same number of spreads in a row; all arrays of shape (shapes * points,).

    Attributes:
        spread: degrees at the first grip.
        growth, steadiest: spread(grip) is proportional to 1 + growth ((grip - steadiest) / 15)^2; growth 0 is the same everywhere.
        first_grip: where `spread` holds.
        log_prior: logarithm of the prior weight, up to a constant.
        points: spreads per shape.
    """

    spread: Floats
    growth: Floats
    steadiest: Floats
    first_grip: float
    log_prior: Floats
    points: int

    def __len__(self) -> int:
        return len(self.spread)

    def among(self, kept: np.ndarray) -> "Cells":
        """Some of the cells only; the rows of one shape need not be whole any more."""
        return Cells(self.spread[kept], self.growth[kept], self.steadiest[kept], self.first_grip, self.log_prior[kept], 1)

    def spread_at(self, grip: Floats) -> Floats:
        """Spread of each cell at each grip, shape (cells, grips)."""
        here = 1 + self.growth[:, None] * ((grip[None, :] - self.steadiest[:, None]) / GRIP_STEP) ** 2
        first = 1 + self.growth * ((self.first_grip - self.steadiest) / GRIP_STEP) ** 2
        return self.spread[:, None] * here / first[:, None]


@dataclass(frozen=True, slots=True)
class SpreadBelief:
    """What is believed of the spread at the first grip, for every shape it may have over grips.

    Attributes:
        log_mean, log_sd: of the logarithm of the spread, shape (shapes,).
        log_weight: of each shape, up to a constant, shape (shapes,).
        One shape means the same spread at every grip.
    """

    log_mean: Floats
    log_sd: Floats
    log_weight: Floats

    @property
    def shaped(self) -> bool:
        return len(self.log_mean) > 1

    def over_grips(self) -> "SpreadBelief":
        """The same belief once a second grip comes into play: every shape alike."""
        if self.shaped:
            return self
        count = len(SHAPES)
        return SpreadBelief(np.repeat(self.log_mean, count), np.repeat(self.log_sd, count), np.zeros(count))


def grid(belief: SpreadBelief, first_grip: float) -> Cells:
    """Cells that cover a belief, evenly spaced in the logarithm of the spread."""
    points, reach = (SHAPED_POINTS, SHAPED_REACH) if belief.shaped else (PLAIN_POINTS, PLAIN_REACH)
    z = np.linspace(-reach, reach, points)
    spread = np.exp(belief.log_mean[:, None] + belief.log_sd[:, None] * z)
    log_prior = belief.log_weight[:, None] - 0.5 * z * z
    if belief.shaped:
        growth, steadiest = (np.repeat(np.array(axis), points) for axis in zip(*SHAPES, strict=True))
    else:
        growth, steadiest = np.zeros(points), np.full(points, first_grip)
    return Cells(spread.ravel(), growth, steadiest, first_grip, log_prior.ravel(), points)


def spread_belief(cells: Cells, log_weight: Floats) -> SpreadBelief:
    """What the weights of the cells say of the spread, shape by shape."""
    logs = np.log(cells.spread).reshape(-1, cells.points)
    by_shape = log_weight.reshape(-1, cells.points)
    by_shape = np.maximum(by_shape, log_weight.max() - GONE)
    top = by_shape.max(axis=1)
    share = np.exp(by_shape - top[:, None])
    total = share.sum(axis=1)
    mean = np.sum(share * logs, axis=1) / total
    var = np.sum(share * (logs - mean[:, None]) ** 2, axis=1) / total
    spacing = logs[:, 1] - logs[:, 0]
    # a peak narrower than the grid shows no variance on it: the parabola through the peak's neighbours does
    rows = np.arange(len(logs))
    peak = np.clip(by_shape.argmax(axis=1), 1, cells.points - 2)
    left, middle, right = by_shape[rows, peak - 1], by_shape[rows, peak], by_shape[rows, peak + 1]
    bend = left - 2 * middle + right
    narrow = (var < spacing**2) & (bend < -1e-9)
    bend = np.where(narrow, bend, -1.0)
    mean = np.where(narrow, logs[rows, peak] + spacing * np.clip(0.5 * (left - right) / bend, -1.5, 1.5), mean)
    var = np.where(narrow, -(spacing**2) / bend, np.maximum(var, 1e-4))
    return SpreadBelief(mean, np.sqrt(var), top + np.log(total))


def weights(log_weights: Floats) -> Floats:
    """Normalised weights of logarithms that are known up to a constant."""
    relative = np.exp(log_weights - np.max(log_weights))
    return np.asarray(relative / relative.sum())
