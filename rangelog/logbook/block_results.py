"""What a block's balls add up to: its tally, the choice it allows, what it is held against, and the state of a confirm."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from rangelog.core.ball import Ball
from rangelog.core.player import Player, Prescription
from rangelog.core.results import Estimate, Setting, Share
from rangelog.core.words import BlockKind, Strike
from rangelog.hints.facts import Facts
from rangelog.hints.parts import BlockFacts, Candidate, ChoiceFacts, ComparisonFacts, ConfirmFacts, Pair, TallyFacts
from rangelog.hints.words import side_of_ball
from rangelog.journey.kinds import KINDS, SECOND_LOOK_BALLS
from rangelog.logbook.start_line import start_of

SECOND_LOOK_REACH = 1.96
"""The second look asks for 95 % where the first asks for 90 %, since two looks are taken."""

Fit = Callable[[Sequence[Ball]], tuple[Estimate, float] | None]
"""Mean start with its 90 % interval, and spread, of balls of one setting on their own; None while the model is not loaded."""


def by_model(balls: Sequence[Ball], player: Player, prescription: Prescription) -> tuple[Estimate, float] | None:
    """Mean start and spread of one setting's balls by the model, from these balls only, without memory or drift.

    Classes that never leave two neighbours have no largest likelihood; the model's wide prior still bounds what they say.
    """
    from rangelog.bracketing import Bracket

    settings = {ball.setup.setting for ball in balls if ball.seen}
    setting = next(iter(settings), None)
    if len(settings) != 1 or setting is None:
        return None
    alone = Bracket(hand=player.hand, window=prescription.window_deg, wide=prescription.wide_deg, drift_deg_per_ball=0.0, toe_heel=True)
    for ball in balls:
        if ball.seen:
            start = start_of(ball, prescription.window_deg, prescription.wide_deg)
            strike = ball.strike.value if ball.strike is not None else None
            alone.add(bow=setting.bow, grip=setting.grip, start=start, session="alone", strike=strike, touched=ball.touched)
    return alone.bias(bow=setting.bow, grip=setting.grip), alone.diagnosis(setting.grip).spread_deg.mean


@dataclass(frozen=True, slots=True)
class Confirmed:
    """The confirm block that later blocks are held against: on-line starts out of counted, and its conditions."""

    hits: int
    n: int
    setting: Setting
    stick: bool = True
    club_id: str = ""


def comfort(balls: Sequence[Ball]) -> float | None:
    """Mean comfort, None where none was given."""
    given = [ball.comfort for ball in balls if ball.comfort is not None]
    return sum(given) / len(given) if given else None


def confirm_state(
    facts: Facts, block: BlockFacts, mine: Sequence[Ball], fit: Fit | None, baseline: Share | None
) -> tuple[ConfirmFacts | None, bool]:
    """A confirm at its first or second look. A verdict, once spoken, stays whatever is hit after it."""
    if fit is not None:
        fit = _or_by_model(fit, facts.player, facts.prescription)
    home = block.home or facts.setup.setting
    if home is None:
        return None, False
    fresh = [ball for ball in mine if ball.counted and ball.seen and ball.setup.setting == home]
    planned = block.planned or KINDS[BlockKind.CONFIRM].planned
    stick = fresh[-1].setup.stick if fresh else facts.setup.stick
    state = ConfirmFacts(home, len(fresh), planned, stick=stick)
    if len(fresh) < planned:
        return state, False
    first = _look(state, fresh[:planned], planned, 1, fit, baseline)
    window = facts.prescription.window_deg
    decided = first.bias is not None and (
        (-window < first.bias.low and first.bias.high < window) or first.bias.low > window or first.bias.high < -window
    )
    if decided or len(fresh) == planned:
        return replace(first, fresh=planned), decided
    second = planned + SECOND_LOOK_BALLS
    if len(fresh) < second:
        return replace(state, planned=second, look=2), False
    return _look(state, fresh[:second], second, 2, fit, baseline), True


def _or_by_model(fit: Fit, player: Player, prescription: Prescription) -> Fit:
    return lambda balls: fit(balls) or by_model(balls, player, prescription)


def _look(state: ConfirmFacts, balls: Sequence[Ball], planned: int, look: int, fit: Fit | None, baseline: Share | None) -> ConfirmFacts:
    fitted = fit(balls) if fit is not None else None
    bias, spread = fitted if fitted is not None else (None, None)
    if bias is not None and look == 2:
        reach = SECOND_LOOK_REACH * bias.sd
        bias = replace(bias, low=bias.mean - reach, high=bias.mean + reach)
    return replace(
        state, fresh=len(balls), planned=planned, look=look, bias=bias, spread_deg=spread, solid_ok=_solid_holds(balls, baseline)
    )


def _solid_holds(balls: Sequence[Ball], baseline: Share | None) -> bool:
    """The solid share is not shown to lie below the baseline (exact one-sided test at 5 %)."""
    struck = [ball for ball in balls if ball.strike is not None]
    if baseline is None or not baseline.n or not struck:
        return True
    from rangelog.evidence.intervals import fisher_lower

    solid = sum(ball.strike is Strike.SOLID for ball in struck)
    return fisher_lower(solid, len(struck), baseline.hits, baseline.n) >= 0.05


class Results:
    """What the balls of one finished block add up to."""

    def __init__(self, facts: Facts, balls: Sequence[Ball], fit: Fit | None) -> None:
        rules = facts.prescription
        self._player = facts.player
        self._fit = fit
        self._balls = balls
        self._usable = [ball for ball in balls if ball.counted and ball.seen and ball.setup.stated]
        self._sides = {ball.id: side_of_ball(ball, rules.window_deg, rules.wide_deg) for ball in self._usable}

    def _hits(self, balls: Sequence[Ball]) -> int:
        return sum(self._sides[ball.id] == 0 for ball in balls)

    def tally(self) -> TallyFacts:
        from rangelog.evidence.intervals import wilson

        mine = self._usable
        struck = [ball for ball in self._balls if ball.strike is not None and ball.counted]
        solid = sum(ball.strike is Strike.SOLID for ball in struck)
        called = [ball for ball in self._balls if ball.called is not None and ball.height is not None]
        fitted = self._fit(mine) if self._fit is not None and len({ball.setup.setting for ball in mine}) == 1 else None
        return TallyFacts(
            counted=len(mine),
            on_line=wilson(self._hits(mine), len(mine)),
            right=sum(side == 1 for side in self._sides.values()),
            left=sum(side == -1 for side in self._sides.values()),
            solid=wilson(solid, len(struck)) if struck else None,
            bias=fitted[0] if fitted is not None else None,
            from_classes=all(ball.start_deg is None for ball in mine),
            called=wilson(sum(ball.called is ball.height for ball in called), len(called)) if called else None,
        )

    def choice(self, habit: Setting | None) -> ChoiceFacts | None:
        from rangelog.evidence.intervals import fisher_two_sided

        groups: dict[Setting, list[Ball]] = {}
        for ball in self._usable:
            if ball.setup.setting is not None:
                groups.setdefault(ball.setup.setting, []).append(ball)
        found = [
            Candidate(
                name,
                setting,
                self._hits(mine),
                len(mine),
                sum(ball.strike is Strike.SOLID for ball in mine),
                sum(ball.strike is not None for ball in mine),
                _spread(self._fit, mine),
                comfort(mine),
            )
            for name, (setting, mine) in zip("ABCDEFGH", groups.items(), strict=False)
        ]
        if len(found) < 2:
            return None
        pairs = tuple(
            Pair(
                first,
                second,
                fisher_two_sided(a.hits, a.n, b.hits, b.n),
                fisher_two_sided(a.solid, a.struck, b.solid, b.struck) if a.struck and b.struck else 1.0,
            )
            for (first, a), (second, b) in combinations(enumerate(found), 2)
        )
        return ChoiceFacts(tuple(found), pairs, habit)

    def comparison(self, kind: BlockKind, confirmed: Confirmed | None) -> ComparisonFacts | None:
        """A stick-off block against its own stick-on balls; random, retention and carry-over against what was confirmed."""
        from rangelog.evidence.intervals import fisher_two_sided

        mine = self._usable
        if kind is BlockKind.STICK_OFF:
            off, on = ([ball for ball in mine if ball.setup.stick is state] for state in (False, True))
            if not off or not on:
                return None
            hits, was = self._hits(off), self._hits(on)
            return ComparisonFacts(hits, len(off), was, len(on), fisher_two_sided(hits, len(off), was, len(on)), (), self._shift(off, on))
        if confirmed is None or not mine or kind not in (BlockKind.RANDOM, BlockKind.RETENTION, BlockKind.CARRY_OVER):
            return None
        hits = self._hits(mine)
        differs = []
        if any(ball.setup.stick != confirmed.stick for ball in mine):
            differs.append("stick")
        if kind is not BlockKind.CARRY_OVER:
            differs.append("order")
        if any(ball.setup.club_id != confirmed.club_id for ball in mine):
            differs.append("club")
        p = fisher_two_sided(hits, len(mine), confirmed.hits, confirmed.n)
        return ComparisonFacts(hits, len(mine), confirmed.hits, confirmed.n, p, tuple(differs))

    def _shift(self, off: Sequence[Ball], on: Sequence[Ball]) -> Estimate | None:
        fitted = None if self._fit is None else (self._fit(off), self._fit(on))
        if fitted is None or fitted[0] is None or fitted[1] is None:
            return None
        now, before = fitted[0][0], fitted[1][0]
        sd = float((now.sd**2 + before.sd**2) ** 0.5)
        gap = now.mean - before.mean
        return Estimate(gap, sd, gap - 1.645 * sd, gap + 1.645 * sd)


def _spread(fit: Fit | None, balls: Sequence[Ball]) -> float | None:
    fitted = fit(balls) if fit is not None else None
    return None if fitted is None else fitted[1]
