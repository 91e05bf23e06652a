"""Which setting to hit next."""

from dataclasses import dataclass

import numpy as np

from rangelog.bracketing.balls import Ball, steps
from rangelog.bracketing.chain import Chain, Now
from rangelog.bracketing.line import Line
from rangelog.bracketing.loss import Lever as Axis
from rangelog.bracketing.loss import expected_bias
from rangelog.bracketing.normal import Floats
from rangelog.bracketing.priors import BOW_CENTRE
from rangelog.bracketing.straight import option
from rangelog.core.results import Setting
from rangelog.core.scales import GRIP_STEP_DEG
from rangelog.core.words import Lever

PATIENCE = 3
"""Balls a setting gets before a better one may take over, where staying costs little."""

AHEAD = 3
"""Balls that a candidate is judged by."""

STAY_COST = 1.03
"""How much larger the expected bias may be for staying."""

HALF_GAIN = 0.99
"""A half notch is taken where it leaves less than this of what the best whole notch leaves."""

ALIKE = 1.01
"""Settings whose expected bias is this near the best count as alike: the one nearest the crossing is hit."""

OPENING_PATIENCE, OPENING_STAY_COST, OPENING_ALIKE = 2, 1.05, 1.02
"""The same while the bracket is still open; of settings that are alike the one furthest from the middle is then hit."""

OPENED, OPENED_NOTCHES = 0.15, 2.5
"""The bracket is open until two bows lie on opposite sides but for this chance, or the crossing is known within so many notches (90 %)."""

GRIP_PATIENCE, GRIP_MOST, GRIP_KNOWN_DEG = 8, 14, 0.9
"""Balls a grip gets at least, and at most until its line is known this well, before the log tries another."""

BOLDNESS = 3.0
"""Standard deviations by which an untried grip is given the benefit of the doubt."""


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

    def run(self, whole_grip: bool = False) -> int:
        """Balls in a row at the latest setting (or grip) that take part, back from the latest ball."""
        count = 0
        for ball in reversed(self.today):
            if self.last is None or ball.grip != self.last.grip or (ball.bow != self.last.bow and not whole_grip):
                break
            count += ball.enters
        return count


def next_setting(place: Placement, lever: Lever | None, bow: float, grip: float) -> Setting:
    """The setting to hit next by one lever, or by the lever that the log chooses."""
    held_bow, held_grip = _inside(bow, place.bow_range), _inside(grip, place.grip_range)
    if lever is Lever.GRIP:
        return Setting(held_bow, next_grip(place, held_bow))
    if lever is None:
        held_grip = _grip_to_explore(place, held_grip if place.last is None else _inside(place.last.grip, place.grip_range))
    return Setting(next_bow(place, held_grip), held_grip)


def _inside(value: float, ends: tuple[float, float]) -> float:
    return min(max(value, ends[0]), ends[1])


def next_bow(place: Placement, grip: float) -> float:
    """Bow to hit next at a grip."""
    bows = np.array(steps(place.bow_range))
    line = place.now.line(grip)
    axis = Axis(line.weight, line.mean, line.cov, place.bow_range[0] - BOW_CENTRE, place.bow_range[1] - BOW_CENTRE)
    spread = np.repeat(line.spread[:, None], len(bows), axis=1)
    loss = expected_bias(axis, bows - BOW_CENTRE, spread, AHEAD, place.window, place.wide)
    here = place.last.bow if place.last is not None and place.last.grip == grip else None
    crossings = axis.crossings()
    middle = float(crossings[len(crossings) // 2]) + BOW_CENTRE
    whole = bows % 1 == 0
    if _opened(place, line, grip, crossings) or not whole.any():
        return _choose(bows, loss, whole, here, place.run(), middle)
    return _open(bows[whole], loss[whole], here, place.run(), middle)


def _opened(place: Placement, line: Line, grip: float, crossings: Floats) -> bool:
    """Whether two bows hit at this grip today hold the crossing between them, or the crossing is known as well as that."""
    if crossings[-1] - crossings[0] < OPENED_NOTCHES:
        return True
    tried = sorted({ball.bow for ball in place.today if ball.enters and ball.grip == grip})
    sides = line.closed_at(np.array([tried[0], tried[-1]])) if tried else np.array([1.0, 0.0])
    return bool(sides[0] < OPENED and sides[1] > 1 - OPENED)


def next_grip(place: Placement, bow: float) -> float:
    """Grip to hit next at a bow."""
    grips = np.array(place.grips())
    first = place.now.first_grip
    shared = place.now.features(np.array([bow]), first)
    per_degree = np.zeros_like(shared)
    per_degree[0, 2] = 0.1
    mean, cov = place.now.pair(shared[0], per_degree[0])
    axis = Axis(place.now.weight, mean, cov, float(grips[0]) - first, float(grips[-1]) - first + 1e-9)
    loss = expected_bias(axis, grips - first, place.now.cells.spread_at(grips), AHEAD, place.window, place.wide)
    here = place.last.grip if place.last is not None and place.last.bow == bow else None
    return _choose(grips, loss, np.ones(len(grips), dtype=bool), here, place.run(), axis.middle() + first)


def _grip_to_explore(place: Placement, grip: float) -> float:
    """The grip to be on: the present one until its line is known, then the one that promises most."""
    if place.last is not None and place.last.grip == grip:
        run = place.run(whole_grip=True)
        if run < GRIP_PATIENCE or (run < GRIP_MOST and _unsure(place, grip)):
            return grip
    elif not place.chain.entering() and not place.chain.taught:
        return grip
    options = [option(place.now, candidate, steps(place.bow_range), place.window) for candidate in place.grips()]
    return max(options, key=lambda each: (round(each.promise(BOLDNESS), 6), -abs(each.grip - grip))).grip


def _unsure(place: Placement, grip: float) -> bool:
    """Whether the bias at the bow recommended for a grip is still poorly known."""
    line = place.now.line(grip)
    return line.bias(line.crossing(place.bow_range).bow).moments()[1] > GRIP_KNOWN_DEG


def _open(values: Floats, loss: Floats, here: float | None, run: int, middle: float) -> float:
    """The value to hit while the bracket is open: a second ball where that costs little, else as far out as is worth it."""
    if here is not None and run < OPENING_PATIENCE:
        at = np.flatnonzero(values == here)
        if len(at) and loss[at[0]] <= loss.min() * OPENING_STAY_COST:
            return here
    good = values[loss <= loss.min() * OPENING_ALIKE]
    return float(good[int(np.argmax(np.abs(good - middle)))])


def _choose(values: Floats, loss: Floats, whole: np.ndarray, here: float | None, run: int, middle: float) -> float:
    """The value to hit: the present one while that costs little, else the best, whole notches and near the crossing if alike."""
    if here is not None and run < PATIENCE:
        at = np.flatnonzero(values == here)
        if len(at) and loss[at[0]] <= loss.min() * STAY_COST:
            return here
    among = np.flatnonzero(whole) if whole.any() else np.arange(len(values))
    if loss.min() < HALF_GAIN * loss[among].min():
        among = np.arange(len(values))
    good = values[among[loss[among] <= loss[among].min() * ALIKE]]
    return float(good[int(np.argmin(np.abs(good - middle)))])
