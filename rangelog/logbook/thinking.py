"""From balls to one hint: the model learns, the charts are read, the rules choose."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from rangelog.core.ball import Ball
from rangelog.core.results import Alarm, Crossing, Estimate, Hint, Setting
from rangelog.core.words import BlockKind, Strike, Surface
from rangelog.hints import limits
from rangelog.hints.line import CLOSE_NOTCHES
from rangelog.hints.rules import choose
from rangelog.journey.kinds import KINDS
from rangelog.logbook.block_results import Confirmed
from rangelog.logbook.desk import Desk
from rangelog.logbook.facts import Evidence, gather
from rangelog.logbook.planning import Known, Planning
from rangelog.logbook.start_line import SESSIONS_EXACT, StartLine, interval_of, set_of

if TYPE_CHECKING:
    from rangelog.bracketing import Bracket
    from rangelog.evidence.ladder_result import Ladder
    from rangelog.hints.facts import Facts

LEAST_GRIP_BALLS = 3
KNOWN_NOTCHES = 1.0
"""A straight combination may be chosen from once its crossing is known to +-1 notch (90 %)."""

Z90 = 1.6449
"""Two-sided 90 % quantile of the normal distribution."""


class Thinking:
    """Chooses the hint for the present state. Without the model it still speaks, of what needs no model."""

    def __init__(self, desk: Desk, planning: Planning) -> None:
        self._desk = desk
        self._planning = planning
        self._line: StartLine | None = None
        self._earlier: list[Ball] = []
        self._session = ""
        self._confirmed: tuple[str, Confirmed] | None = None
        self.ready = False
        self.fresh = False
        self.crossing: Crossing | None = None
        self.share_at_crossing: float | None = None

    # the model

    def load(self) -> None:
        """Import the model, and let it learn the balls of the book from a reader of its own. For a worker thread."""
        desk = self._desk
        if desk.player is not None and desk.prescription is not None:
            with desk.book.reader() as reader:
                balls = reader.recent_balls(SESSIONS_EXACT, include_voided=True)
            line = StartLine(desk.player, desk.prescription, self._bow_range())
            line.learn(balls, desk.state.setup, balls[-1].session_id if balls else "")
            self._line = line
        else:
            from rangelog import bracketing  # noqa: F401 - only so that it is loaded
        from rangelog.evidence import charts  # noqa: F401 - only so that it is loaded

        self.ready = True
        self.fresh = False

    def forget(self) -> None:
        """The prescription or another session changed what was learned: learn anew."""
        self._line = None
        self._session = ""
        self.fresh = False

    def _bow_range(self) -> tuple[float, float]:
        desk = self._desk
        return limits.bow_range(desk.known_prescription(), self._planning.pains(), desk.known_player().junior)

    def _balls(self) -> list[Ball]:
        """Balls of the last sessions, oldest first, today's last."""
        desk = self._desk
        assert desk.session is not None
        if self._session != desk.session.id:
            self._earlier = desk.book.recent_balls(SESSIONS_EXACT, before=desk.session.id, include_voided=True)
            self._session = desk.session.id
        return [*self._earlier, *desk.balls]

    def bracket(self) -> Bracket | None:
        """The model, up to the last ball and for the setup of the next; None until it is loaded, or outside a session."""
        desk = self._desk
        if not self.ready or desk.session is None or desk.player is None or desk.prescription is None:
            return None
        legal = self._bow_range()
        if self._line is None or self._line.bow_range != legal:
            self._line = StartLine(desk.player, desk.prescription, legal)
        fitted = [ball for ball in self._balls() if self._feeds(ball)]
        return self._line.learn(fitted, desk.state.setup, desk.session.id)

    def _feeds(self, ball: Ball) -> bool:
        """Warm-up and trajectory balls enter no fit; which kinds do is data of the journey."""
        kind = self._kinds().get(ball.block_id)
        return kind is None or KINDS[kind].feeds_fits

    def _kinds(self) -> dict[str, BlockKind]:
        return {block.id: block.kind for block in (*self._planning.earlier(), *self._desk.blocks)}

    # the hint

    def think(self) -> Hint | None:
        """Choose the hint, and keep it as the one on show. None before the first start, or outside a session."""
        desk = self._desk
        if desk.player is None or desk.prescription is None or desk.session is None:
            return None
        bracket = self.bracket()
        facts = self._facts(bracket)
        hint = choose(facts)
        self._planning.known = self._known(facts, bracket)
        told = desk.state.told if hint.rule in desk.state.told else {**desk.state.told, hint.rule: len(desk.standing)}
        proposal = hint.setting if hint.setting is not None and hint.rule != "one_thing" else desk.state.proposal
        desk.state = replace(desk.state, hint=hint, told=told, proposal=proposal)
        self.fresh = self.ready
        return hint

    def _facts(self, bracket: Bracket | None) -> Facts:
        desk, planning = self._desk, self._planning
        setup = desk.state.setup
        balls = len(desk.standing)
        facts = gather(
            player=desk.known_player(),
            prescription=desk.known_prescription(),
            setup=setup,
            balls=desk.standing,
            blocks=desk.blocks,
            forms=desk.forms,
            pains=planning.pains(),
            model=bracket,
            evidence=self._evidence() if self.ready else None,
            progress=planning.progress(),
            previous=desk.state.proposal,
            told={rule: balls - since for rule, since in desk.state.told.items()},
            club_name=desk.clubs[setup.club_id].label if setup.club_id in desk.clubs else "",
            confirmed=self._confirm_to_hold_against(),
            habit=self._habit(),
            fit=self._fit if self.ready else None,
        )
        model = facts.model
        self.crossing = model.crossing if model else None
        self.share_at_crossing = model.on_line_share if model else None
        return facts

    def _known(self, facts: Facts, bracket: Bracket | None) -> Known:
        crossing = facts.model.crossing if facts.model else None
        between_blocks = facts.block is None or facts.finished is not None
        return Known(
            crossing_known=crossing is not None and crossing.known and crossing.half_width <= CLOSE_NOTCHES,
            on_line=self._straight(bracket, facts.bow_range) if between_blocks else self._planning.known.on_line,
            spread_deg=facts.model.diagnosis.spread_deg.mean if facts.model else None,
            body_failed=facts.ladder is not None and facts.ladder.verdict == "does not follow" and facts.ladder.low,
        )

    def _straight(self, bracket: Bracket | None, legal: tuple[float, float]) -> tuple[Setting, ...]:
        """The straight combination of every grip that was tried with this set, the surest first; a crossing nobody knows is none."""
        if bracket is None:
            return ()
        setup = self._desk.state.setup
        tried = Counter(
            ball.setup.grip
            for ball in self._balls()
            if ball.enters_fits and self._feeds(ball) and set_of(ball.setup) == set_of(setup) and ball.setup.stick == setup.stick
        )
        grips = [grip for grip, count in tried.items() if grip is not None and count >= LEAST_GRIP_BALLS]
        found = [
            (crossing.half_width, Setting(round(crossing.bow * 2) / 2, grip))
            for grip, crossing in zip(grips, bracket.straight_line(grips), strict=True)
        ]
        return tuple(setting for width, setting in sorted(found) if width <= KNOWN_NOTCHES and legal[0] < setting.bow < legal[1])

    def _fit(self, balls: Sequence[Ball]) -> tuple[Estimate, float] | None:
        """Mean start and spread of balls of one setting on their own, by maximum likelihood of numbers and classes together."""
        from rangelog.bracketing.maximum_likelihood import fit_mean

        prescription = self._desk.known_prescription()
        ends = [interval_of(ball, prescription.window_deg, prescription.wide_deg) for ball in balls if ball.seen]
        fitted = fit_mean(ends)
        if fitted is None:
            return None
        mean, standard_error, spread = fitted
        return Estimate(mean, standard_error, mean - Z90 * standard_error, mean + Z90 * standard_error), spread

    # the evidence

    def _evidence(self) -> Evidence:
        from rangelog.evidence import charts
        from rangelog.evidence.intervals import wilson

        warm_up = {block.id for block in self._desk.blocks if block.kind is BlockKind.WARM_UP}
        surface = self._desk.state.setup.surface
        today = [ball for ball in self._desk.standing if ball.block_id not in warm_up and ball.setup.surface is surface]
        yardstick, after = self._baseline(surface, today)
        limit = self._desk.known_prescription().solid_limit
        gate: Alarm | None
        if limit is not None:
            gate = charts.strike_gate(_solid(after), limit_hits=round(limit * 10))
        else:
            gate = charts.strike_gate(_solid(after), *yardstick)
        return Evidence(
            tired=charts.tired(_solid(today)),
            gate=gate,
            baseline=wilson(*yardstick) if yardstick[1] else None,
            ladder=self._ladder(),
        )

    def _baseline(self, surface: Surface, today: Sequence[Ball]) -> tuple[tuple[int, int], list[Ball]]:
        """Solid and known strikes of the latest baseline on this surface, and today's balls that are held against it."""
        kinds = self._kinds()
        found: dict[str, list[Ball]] = {}
        for ball in self._balls():
            if kinds.get(ball.block_id) is BlockKind.BASELINE and not ball.voided and ball.counted and ball.setup.surface is surface:
                found.setdefault(ball.block_id, []).append(ball)
        if not found:
            return (0, 0), list(today)
        block_id, balls = list(found.items())[-1]
        struck = [ball for ball in balls if ball.strike is not None]
        after = [
            ball for ball in today if ball.block_id != block_id and (balls[-1].session_id != ball.session_id or ball.seq > balls[-1].seq)
        ]
        return (sum(ball.strike is Strike.SOLID for ball in struck), len(struck)), after

    def _ladder(self) -> Ladder | None:
        ladders = [block for block in self._desk.blocks if block.kind is BlockKind.LADDER]
        if not ladders:
            return None
        from rangelog.evidence import ladder, ladder_result

        mine = [ball for ball in self._desk.standing if ball.block_id == ladders[-1].id and ball.counted]
        if not mine:
            return None
        club = self._desk.clubs.get(mine[-1].setup.club_id)
        rows = [ladder_result.LadderBall(ball.setup.position_balls, ball.strike, ball.height, ball.launch_deg) for ball in mine]
        return ladder.read(rows, club.loft_deg if club else None)

    def _habit(self) -> Setting | None:
        kinds = self._kinds()
        return next((b.setup.setting for b in self._balls() if kinds.get(b.block_id) is BlockKind.BASELINE and not b.voided), None)

    def _confirm_to_hold_against(self) -> Confirmed | None:
        block = self._planning.last_confirm()
        if block is None:
            return None
        if self._confirmed is None or self._confirmed[0] != block.id:
            found = self._confirmed_of(block.id, block.session_id)
            self._confirmed = (block.id, found) if found else None
        return self._confirmed[1] if self._confirmed else None

    def _confirmed_of(self, block_id: str, session_id: str) -> Confirmed | None:
        desk = self._desk
        assert desk.session is not None
        balls = desk.standing if session_id == desk.session.id else desk.book.balls(session_id)
        mine = [ball for ball in balls if ball.block_id == block_id and ball.counted and ball.seen and ball.setup.stated]
        if not mine:
            return None
        last = mine[-1].setup
        assert last.setting is not None
        rules = desk.known_prescription()
        hits = sum(ball.shown_side(rules.window_deg, rules.wide_deg) == "on line" for ball in mine)
        return Confirmed(hits, len(mine), last.setting, last.stick, last.club_id)


def _solid(balls: Sequence[Ball]) -> list[bool | None]:
    return [None if ball.strike is None else ball.strike is Strike.SOLID for ball in balls if ball.counted or ball.strike is not None]
