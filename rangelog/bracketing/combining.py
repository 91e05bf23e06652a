"""The settings worth owning, best first."""

import math
from functools import cmp_to_key

import numpy as np

from rangelog.bracketing.balls import steps
from rangelog.bracketing.mixture import Mixture
from rangelog.bracketing.placement import Placement
from rangelog.bracketing.straight import Option, option
from rangelog.core.results import Combination, Estimate
from rangelog.core.words import Strike

APART = 1.645
"""Standard deviations of difference at which two shares, or two strikes, count as told apart: 95 % one-sided."""

ALIKE_SHARE = 0.01
"""Shares nearer than this are alike to a player, and distance from the ends decides."""

PARTS = 10
"""A combination is told to the tenth of a notch: it lies on a line, and the half notch beside it may start two thirds of a degree off."""

OWN_BALLS, OWN_COST = 8, 0.004
"""A bow already hit so many times at a grip stands for it if its share is no further below the best bow's."""

STRIKE_BALLS = 8
"""Balls with a strike seen that a setting needs before strikes are compared."""


def ranked(place: Placement, sign: int) -> list[Combination]:
    """One combination for every grip of the range, best first, each with its reason."""
    tried = {ball.grip for ball in place.chain.entering() if place.grip_range[0] <= ball.grip <= place.grip_range[1]}
    options = [_option(place, grip) for grip in sorted({*place.grips(), *tried})]
    leader = max(options, key=lambda each: each.mean_share)
    level = [each for each in options if leader.ahead_of(each) < APART]
    behind = [each for each in options if leader.ahead_of(each) >= APART]
    level.sort(key=cmp_to_key(lambda one, two: _order(place, one, two)))
    behind.sort(key=lambda each: -each.mean_share)
    reasons = [_reason(place, level, each) for each in level] + [f"fewer on line than grip {level[0].grip:g}" for _ in behind]
    return [_combination(place, each, reason, sign) for each, reason in zip([*level, *behind], reasons, strict=True)]


def _option(place: Placement, grip: float) -> Option:
    best = option(place.now, grip, steps(place.bow_range, PARTS), place.window)
    counts: dict[float, int] = {}
    for ball in place.chain.entering():
        if ball.grip == grip and place.bow_range[0] <= ball.bow <= place.bow_range[1]:
            counts[ball.bow] = counts.get(ball.bow, 0) + 1
    owned = [option(place.now, grip, (bow,), place.window) for bow, n in sorted(counts.items()) if n >= OWN_BALLS]
    owned = [each for each in owned if each.mean_share >= best.mean_share - OWN_COST]
    return max(owned, key=lambda each: each.mean_share, default=best)


def _solid(place: Placement, each: Option) -> tuple[int, int]:
    """Solid strikes and strikes seen at a setting, over all balls of the club."""
    seen = [
        ball.strike
        for balls in place.chain.sessions.values()
        for ball in balls
        if ball.strike is not None and ball.bow == each.bow and ball.grip == each.grip
    ]
    return sum(strike is Strike.SOLID for strike in seen), len(seen)


def _strike_gap(place: Placement, one: Option, two: Option) -> float:
    """By how many standard deviations one setting is struck more solidly than another; 0 where too few were seen."""
    hits_one, n_one = _solid(place, one)
    hits_two, n_two = _solid(place, two)
    if min(n_one, n_two) < STRIKE_BALLS:
        return 0.0
    # Agresti-Caffo: one hit and one miss added to each side
    share_one, share_two = (hits_one + 1) / (n_one + 2), (hits_two + 1) / (n_two + 2)
    var = share_one * (1 - share_one) / (n_one + 2) + share_two * (1 - share_two) / (n_two + 2)
    return (share_one - share_two) / math.sqrt(var)


def _distance(place: Placement, each: Option) -> float:
    """Share of the half scale between a setting and its nearest end, the nearer of bow and grip."""

    def part(value: float, ends: tuple[float, float]) -> float:
        half = (ends[1] - ends[0]) / 2
        return min(value - ends[0], ends[1] - value) / half if half > 0 else 1.0

    return min(part(each.bow, place.bow_range), part(each.grip, place.grip_range))


def _order(place: Placement, one: Option, two: Option) -> int:
    """Order of two combinations whose shares are not told apart: strike, then distance from the ends."""
    strike = _strike_gap(place, one, two)
    if abs(strike) >= APART:
        return -1 if strike > 0 else 1
    gap = one.mean_share - two.mean_share
    gap += ALIKE_SHARE * (_distance(place, one) - _distance(place, two))
    return -1 if gap > 0 else 1 if gap < 0 else 0


def _reason(place: Placement, level: list[Option], each: Option) -> str:
    others = [other for other in level if other is not each]
    if not others:
        return "most on line"
    first = level[0]
    if any(_strike_gap(place, each, other) >= APART for other in others):
        return "cannot be told apart on line; strike is better"
    if any(_strike_gap(place, other, each) >= APART for other in others):
        return "cannot be told apart on line; strike is worse"
    return "cannot be told apart; further from the ends" if each is first else "cannot be told apart"


def _combination(place: Placement, each: Option, reason: str, sign: int) -> Combination:
    line = place.now.line(each.grip)
    mean = float(line.weight @ line.spread)
    sd = float(np.sqrt(line.weight @ (line.spread - mean) ** 2))
    logs = Mixture(line.weight, np.log(line.spread), np.full(len(line.spread), 0.05))
    spread = Estimate(mean, sd, math.exp(logs.quantile(0.05)), math.exp(logs.quantile(0.95)))
    n = sum(ball.bow == each.bow and ball.grip == each.grip for ball in place.chain.entering())
    return Combination(each.bow, each.grip, each.mean_share, line.bias(each.bow).estimate(sign), spread, n, reason)
