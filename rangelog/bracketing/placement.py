"""Which setting to hit next."""

from dataclasses import dataclass

import numpy as np

from rangelog.bracketing.balls import Ball, half_steps
from rangelog.bracketing.chain import Chain, Now
from rangelog.bracketing.loss import Lever as Axis
from rangelog.bracketing.loss import expected_bias
from rangelog.bracketing.priors import BOW_CENTRE
from rangelog.core.results import Setting
from rangelog.core.scales import GRIP_STEP_DEG
from rangelog.core.words import Lever

PATIENCE = 3
"""Balls a setting gets before a better one may take over, where staying costs little."""

AHEAD = 3
"""Balls that a candidate is judged by."""

STAY_COST = 1.03
"""How much larger the expected bias may be for staying."""

ALIKE = 1.01
OPEN = 0
HALF_GAIN = 0.99
"""A half notch is taken where it leaves less than this of what the best whole notch leaves."""


@dataclass(frozen=True, slots=True)
class Placement:
    """Everything a suggestion stands on.

    Attributes:
        now: the belief; chain: this club's balls; today: its balls of the present session, in order.
        stick: whether the latest ball was hit with the stick.
        last: setting of the latest ball, None before the first.
    """

    now: Now
    chain: Chain
    today: list[Ball]
    stick: bool
    window: float
    wide: float
    bow_range: tuple[float, float]
    grip_range: tuple[float, float]
    last: Setting | None

    def grips(self) -> tuple[float, ...]:
        """Grips a player may be sent to: whole steps inside the range, or its middle where it holds none."""
        low, high = self.grip_range
        first, last = int(np.ceil(low / GRIP_STEP_DEG)), int(np.floor(high / GRIP_STEP_DEG))
        return tuple(step * GRIP_STEP_DEG for step in range(first, last + 1)) or ((low + high) / 2,)

    def run(self) -> int:
        """Balls in a row at the latest setting that take part, back from the latest ball."""
        count = 0
        for ball in reversed(self.today):
            if self.last is None or (ball.bow, ball.grip) != (self.last.bow, self.last.grip):
                break
            count += ball.enters
        return count


def next_setting(place: Placement, lever: Lever | None, bow: float, grip: float) -> Setting:
    """The setting to hit next by one lever, or by the lever that the log chooses."""
    if lever is Lever.GRIP:
        return Setting(_inside(bow, place.bow_range), next_grip(place, _inside(bow, place.bow_range)))
    return Setting(next_bow(place, _inside(grip, place.grip_range)), _inside(grip, place.grip_range))


def _inside(value: float, ends: tuple[float, float]) -> float:
    return min(max(value, ends[0]), ends[1])


def next_bow(place: Placement, grip: float) -> float:
    """Bow to hit next at a grip."""
    bows = np.array(half_steps(place.bow_range))
    line = place.now.line(grip)
    here = place.last.bow if place.last is not None and place.last.grip == grip else None
    if OPEN:
        n=len(place.today)
        if n<OPEN: return 0.
        if n<2*OPEN: return 4. if np.mean([b.low+b.high for b in place.today])>0 or 1 else -2.
    axis = Axis(line.weight, line.mean, line.cov, place.bow_range[0] - BOW_CENTRE, place.bow_range[1] - BOW_CENTRE)
    spread = np.repeat(line.spread[:, None], len(bows), axis=1)
    loss = expected_bias(axis, bows - BOW_CENTRE, spread, AHEAD, place.window, place.wide)
    middle = axis.crossings()[3] + BOW_CENTRE
    return _choose(bows, loss, bows % 1 == 0, here, place.run(), float(middle))


def next_grip(place: Placement, bow: float) -> float:
    """Grip to hit next at a bow."""
    grips = np.array(place.grips())
    first = place.now.first_grip
    feature = place.now.features(np.array([bow]), first)
    size = place.now.belief.mean.shape[1]
    full = np.zeros((2, size))
    full[0, : feature.shape[1]] = feature[0]
    full[0, -1] = 1.0
    full[1, 2] = 0.1
    axis = Axis(
        place.now.weight,
        place.now.belief.mean @ full.T,
        full @ place.now.belief.cov @ full.T,
        float(grips[0]) - first,
        float(grips[-1]) - first + 1e-9,
    )
    loss = expected_bias(axis, grips - first, place.now.cells.spread_at(grips), AHEAD, place.window, place.wide)
    here = place.last.grip if place.last is not None and place.last.bow == bow else None
    return _choose(grips, loss, np.ones(len(grips), dtype=bool), here, place.run(), float(axis.crossings()[3]) + first)


def _choose(values: np.ndarray, loss: np.ndarray, whole: np.ndarray, here: float | None, run: int, middle: float) -> float:
    best = float(loss.min())
    if here is not None and run < PATIENCE and here in values:
        stay = float(loss[np.flatnonzero(values == here)[0]])
        if stay <= best * STAY_COST:
            return here
    among = np.flatnonzero(whole) if whole.any() else np.arange(len(values))
    if best < HALF_GAIN * loss[among].min():
        among = np.arange(len(values))
    good = among[loss[among] <= loss[among].min() * ALIKE]
    return float(values[good[int(np.argmin(np.abs(values[good] - middle)))]])
