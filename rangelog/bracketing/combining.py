"""The settings worth owning, best first."""

import math

import numpy as np

from rangelog.bracketing.balls import half_steps
from rangelog.bracketing.mixture import Mixture
from rangelog.bracketing.placement import Placement
from rangelog.core.hand import to_start
from rangelog.core.results import Combination, Estimate
from rangelog.core.words import Hand, Strike

SAME_SHARE = 0.03
"""Shares closer than this are not told apart by any bucket of balls."""


def ranked(place: Placement, sign: int) -> list[Combination]:
    """One combination for every grip step that can start on line inside the ranges, best first."""
    bows = np.array(half_steps(place.bow_range))
    tried = {ball.grip for ball in place.chain.entering()}
    grips = sorted({*place.grips(), *(g for g in tried if place.grip_range[0] <= g <= place.grip_range[1])})
    made = [_at(place, grip, bows, sign) for grip in grips]
    best_share = max(c.share for c in made)
    order = sorted(made, key=lambda c: (-round(c.share, 9), -c.n, c.grip))
    return [_with_reason(c, best_share) for c in order]


def _at(place: Placement, grip: float, bows: np.ndarray, sign: int) -> Combination:
    line = place.now.line(grip)
    shares = [line.share(float(bow), place.window) for bow in bows]
    bow = float(bows[int(np.argmax(shares))])
    logs = Mixture(line.weight, np.log(line.spread), np.full(len(line.spread), 0.05))
    low, middle, high = (math.exp(logs.quantile(chance)) for chance in (0.05, 0.5, 0.95))
    sd = float(np.sqrt(line.weight @ (line.spread - line.weight @ line.spread) ** 2))
    n = sum(ball.bow == bow and ball.grip == grip for ball in place.chain.entering())
    return Combination(bow, grip, max(shares), line.bias(bow).estimate(sign), Estimate(middle, sd, low, high), n, "")


def _with_reason(c: Combination, best: float) -> Combination:
    reason = "cannot be told apart" if c.share > best - SAME_SHARE else "fewer on line"
    return Combination(c.bow, c.grip, c.share, c.bias, c.spread, c.n, reason)


__all__ = ["Hand", "Strike", "ranked", "to_start"]
