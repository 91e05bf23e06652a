"""What the engine is held against: an oracle, bracketing by hand, and two published methods. All think open-positive.

Each yardstick says the bow it would hit next (`bow`), learns one ball (`learn`), and names the bow it would recommend now
(`recommended`). What each may read of a ball differs and is said in its docstring.
"""

import math
from collections.abc import Sequence
from typing import Protocol

import numpy as np
from scipy.special import ndtr

from rangelog.core.words import Side
from tests.bench.placement import EntropyPlacement
from tests.bench.players import BOW_RANGE, FIRST_GRIP, SIDES, Player

MIDDLE = 1.5
"""The middle of the bow scale, where a method that knows nothing starts."""


def _clip(bow: float) -> float:
    return min(BOW_RANGE[1], max(BOW_RANGE[0], bow))


class Yardstick(Protocol):
    """A method that can be played ball by ball."""

    bow: float

    def learn(self, open_deg: float, open_class: int) -> None:
        """Take in the ball hit at `bow`: open-positive degrees, and the class seen, -2 far closed .. 2 far open."""

    @property
    def recommended(self) -> float:
        """The bow it would recommend now."""


class Oracle:
    """Kalman filter of the line that knows slope, spread, drift step, wild share and wild SD, and reads every ball in degrees.

    The prior of the crossing is normal with the mean and variance of the population's range. A ball is normal or wild; the two
    updates are weighed by their chances and collapsed to one normal by its two moments.
    """

    def __init__(self, player: Player) -> None:
        population = player.population
        low, high = population.crossing
        self.slope = player.slope_deg
        self.variances = (player.spread_at(FIRST_GRIP) ** 2, population.wild_sd_deg**2)
        self.chances = (1.0 - population.wild_share, population.wild_share)
        self.drift_variance = population.drift_deg**2
        self.mean = self.slope * (low + high) / 2.0
        self.variance = self.slope**2 * (high - low) ** 2 / 12.0
        self.balls = 0
        self.bow = self.recommended

    def learn(self, open_deg: float, open_class: int) -> None:
        if self.balls:
            self.variance += self.drift_variance
        self.balls += 1
        off = open_deg + self.slope * self.bow - self.mean
        weights, means, variances = [], [], []
        for chance, noise in zip(self.chances, self.variances, strict=True):
            total = self.variance + noise
            weights.append(chance * math.exp(-0.5 * off * off / total) / math.sqrt(total))
            means.append(self.variance / total * off)
            variances.append(self.variance * noise / total)
        whole = sum(weights) or 1.0
        shares = [weight / whole for weight in weights]
        step = sum(share * mean for share, mean in zip(shares, means, strict=True))
        self.variance = sum(s * (v + (m - step) ** 2) for s, v, m in zip(shares, variances, means, strict=True))
        self.mean += step
        self.bow = self.recommended

    @property
    def recommended(self) -> float:
        return _clip(self.mean / self.slope)


class ClassOracle:
    """The oracle that reads five classes instead of degrees: what is lost to the classes alone, and so the limit of any engine.

    Exact Bayes filter on a grid of lines 0.1 deg apart, from the same prior; knows slope, spread, drift step and wild balls.
    """

    _edges = np.array([-math.inf, -6.0, -2.0, 2.0, 6.0, math.inf])

    def __init__(self, player: Player) -> None:
        known = Oracle(player)
        self.slope = known.slope
        reach = 5.0 * math.sqrt(known.variance)
        self.line = np.arange(known.mean - reach, known.mean + reach, 0.1)
        self.weight = np.exp(-0.5 * (self.line - known.mean) ** 2 / known.variance)
        self.sds = tuple(math.sqrt(variance) for variance in known.variances)
        self.chances = known.chances
        # the step of the drift is less than a grid cell: three weights with the right variance
        spill = known.drift_variance / 0.1**2 / 2.0
        self.kernel = np.array([spill, 1.0 - 2.0 * spill, spill])
        self.balls = 0
        self.bow = self.recommended

    def learn(self, open_deg: float, open_class: int) -> None:
        if self.balls:
            self.weight = np.convolve(self.weight, self.kernel, mode="same")
        self.balls += 1
        low, high = self._edges[open_class + 2 : open_class + 4] + self.slope * self.bow
        seen = sum(
            chance * (ndtr((high - self.line) / sd) - ndtr((low - self.line) / sd))
            for chance, sd in zip(self.chances, self.sds, strict=True)
        )
        self.weight = self.weight * seen
        self.weight /= self.weight.sum()
        self.bow = self.recommended

    @property
    def recommended(self) -> float:
        return _clip(float(self.weight @ self.line / self.weight.sum()) / self.slope)


class ByHand:
    """Bracketing by hand: step toward the other side, halve the step at each change of side.

    Starts in the middle of the scale with a step of one notch and moves after every ball that did not start on line; classes only.
    Halves without end and may stand at any fraction of a notch, which is kinder to it than a real bow. Recommends the bow it stands
    at. Steps of 1, 2 and 3 notches, groups of 1 to 4 balls and least steps of 0 to 1/2 notch were tried: none is clearly better after
    10 balls; a least step of 1/8 notch, which nobody can set, follows the drift and would win after 40; one of 1/2 notch is the worst.
    """

    def __init__(self, first_step: float = 1.0, least_step: float = 0.0, balls_per_setting: int = 1, start: float = MIDDLE) -> None:
        self.bow = start
        self.step = first_step
        self.least_step = least_step
        self.balls_per_setting = balls_per_setting
        self.side = 0
        self._group: list[int] = []

    def learn(self, open_deg: float, open_class: int) -> None:
        self._group.append((open_class > 0) - (open_class < 0))
        if len(self._group) < self.balls_per_setting:
            return
        balance = sum(self._group)
        self._group = []
        if balance == 0:
            return
        side = 1 if balance > 0 else -1
        if self.side and side != self.side:
            self.step = max(self.least_step, self.step / 2.0)
        self.side = side
        self.bow = _clip(self.bow + side * self.step)

    @property
    def recommended(self) -> float:
        return self.bow


class Staircase:
    """Transformed up-and-down: up one step after a wrong answer, down one after `down_after` right ones in a row.

    Levitt H (1971), J Acoust Soc Am 49, 467-477.
    """

    def __init__(self, start: float = 0.0, step: float = 1.0, down_after: int = 1) -> None:
        self.level = start
        self.step = step
        self.down_after = down_after
        self.reversals: list[tuple[int, float]] = []
        self.trials = 0
        self._run = 0
        self._direction = 0

    def learn(self, right: bool) -> None:
        """Take in one answer; a reversal is noted as (1-based trial, level of that trial)."""
        self.trials += 1
        self._run = self._run + 1 if right else 0
        if right and self._run < self.down_after:
            return
        direction = -1 if right else 1
        self._run = 0
        if self._direction and direction != self._direction:
            self.reversals.append((self.trials, self.level))
        self._direction = direction
        self.level += direction * self.step


def dixon_mood(levels: Sequence[float], responses: Sequence[bool], step: float) -> tuple[float, float]:
    """Mean and SD of the threshold from a fixed-step up-and-down run; NaN where one outcome never came.

    The rarer outcome is counted; i counts steps above its lowest level: mean = lowest + step (A/N -+ 1/2), minus where the rarer
    outcome is the response; sd = 1.62 step (ratio + 0.029) with ratio = (N B - A^2)/N^2 where that exceeds 0.3, else 0.53 step.

    Dixon WJ, Mood AM (1948), J Am Stat Assoc 43, 109-126, in the form of ISO 12107.
    """
    with_response = [level for level, response in zip(levels, responses, strict=True) if response]
    without = [level for level, response in zip(levels, responses, strict=True) if not response]
    responded_rarer = len(with_response) <= len(without)
    rarer = with_response if responded_rarer else without
    if not rarer:
        return math.nan, math.nan
    lowest = min(rarer)
    steps = [round((level - lowest) / step) for level in rarer]
    n, a, b = len(steps), sum(steps), sum(i * i for i in steps)
    mean = lowest + step * (a / n + (-0.5 if responded_rarer else 0.5))
    ratio = (n * b - a * a) / n**2
    return mean, 1.62 * step * (ratio + 0.029) if ratio > 0.3 else 0.53 * step


def spearman_karber(levels: Sequence[float], responses: Sequence[int], trials: Sequence[int]) -> float:
    """Mean threshold of grouped responses that rise from none to all over ascending levels.

    Raises:
        ValueError: the shares do not run from 0 to 1.
    """
    shares = [response / n for response, n in zip(responses, trials, strict=True)]
    if shares[0] != 0.0 or shares[-1] != 1.0:
        raise ValueError("The shares must run from 0 to 1.")
    return sum((shares[i + 1] - shares[i]) * (levels[i] + levels[i + 1]) / 2.0 for i in range(len(shares) - 1))


class UpAndDown:
    """Fixed-step up-and-down with the Dixon-Mood mean: one notch more after a ball to the open side, one less after one to the closed.

    Two responses: it reads on which side of the line the ball started, even inside the window. Held at the ends of the scale.
    Starts at bow 1, the whole notch nearest below the middle. Where one side never came it recommends the bow it stands at.
    """

    step = 1.0

    def __init__(self, start: float = 1.0) -> None:
        self.bow = start
        self.levels: list[float] = []
        self.closed: list[bool] = []

    def learn(self, open_deg: float, open_class: int) -> None:
        self.levels.append(self.bow)
        self.closed.append(open_deg <= 0.0)
        self.bow = _clip(self.bow + (self.step if open_deg > 0.0 else -self.step))

    @property
    def recommended(self) -> float:
        mean, _ = dixon_mood(self.levels, self.closed, self.step) if self.levels else (math.nan, 0.0)
        return self.bow if math.isnan(mean) else _clip(mean)


class MinimumEntropy:
    """Minimum-entropy placement from two responses (side of the line, even inside the window).

    Grid: crossing -3..6 by a quarter notch, spread in notches 0.4..3.2 in eight equal ratios, 4 % of answers at random; uniform
    prior; half notches -2..5 may be hit. Recommends the posterior mean of the crossing. It has no drift in its model.
    """

    bows = np.arange(BOW_RANGE[0], BOW_RANGE[1] + 0.25, 0.5)
    _crossings, _sds = (grid.ravel() for grid in np.meshgrid(np.arange(-3.0, 6.1, 0.25), np.geomspace(0.4, 3.2, 8), indexing="ij"))
    _closed = 0.02 + 0.96 * ndtr((bows[:, None] - _crossings[None, :]) / _sds[None, :])
    _likelihood = np.stack([1.0 - _closed, _closed])

    def __init__(self) -> None:
        self._placement = EntropyPlacement(self._likelihood)
        self._next = self._placement.place()
        self.bow = float(self.bows[self._next])

    def learn(self, open_deg: float, open_class: int) -> None:
        self._placement.learn(self._next, int(open_deg <= 0.0))
        self._next = self._placement.place()
        self.bow = float(self.bows[self._next])

    @property
    def recommended(self) -> float:
        return _clip(self._placement.mean(self._crossings))


def open_class(side: Side, player: Player) -> int:
    """-2 far closed .. 2 far open of a physical class."""
    return player.sign * (SIDES.index(side) - 2)


def play(method: Yardstick, player: Player, balls: int, session: int = 0) -> list[float]:
    """|bias| in degrees at the recommended bow after each ball, at the line of that moment."""
    left: list[float] = []
    for ball in range(balls):
        bow = method.bow
        start = player.start_deg(bow, FIRST_GRIP, session, ball)
        side = player.side(bow, FIRST_GRIP, session, ball)
        method.learn(player.sign * start, open_class(side, player))
        left.append(abs(player.bias_deg(method.recommended, FIRST_GRIP, session, ball)))
    return left
