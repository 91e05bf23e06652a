"""Puts together everything the rules look at, from balls, blocks, forms, the model's answers and the evidence. No file, no clock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Protocol

from rangelog.core.ball import Ball
from rangelog.core.player import Player, Prescription
from rangelog.core.results import Alarm, Crossing, Diagnosis, Estimate, Setting, Share
from rangelog.core.session import Block, Form, Pain
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, CheckAnswer, Lever, Strike, Verdict
from rangelog.hints.closing import best
from rangelog.hints.confirm import centred
from rangelog.hints.facts import HABIT_BALLS, LEAST_BOW, MIDDLE_BALLS, Facts
from rangelog.hints.limits import into
from rangelog.hints.line import crossing_close, from_before, whole
from rangelog.hints.parts import BlockFacts, Check, LadderFacts, ModelFacts, PlanStep, Proposal, StrikeFacts, TallyFacts, Tried
from rangelog.hints.words import notch, side_of_ball
from rangelog.journey.forms import BODY_REMEDIES
from rangelog.journey.kinds import KINDS, planned_count
from rangelog.journey.order import Step, next_step, readable
from rangelog.journey.plan import Next, Progress, propose
from rangelog.logbook.block_results import Confirmed, Fit, Results, comfort, confirm_state
from rangelog.logbook.growing import Growing

if TYPE_CHECKING:
    from rangelog.evidence.ladder import Ladder

LEAST_BRACKET_BALLS = 6


class Model(Protocol):
    """The model's door, as far as hints ask."""

    def crossing(self, grip: float) -> Crossing: ...
    def bias(self, bow: float, grip: float) -> Estimate: ...
    def on_line_share(self, bow: float, grip: float) -> float: ...
    def suggest(self, lever: Lever | str | None = ..., grip: float | None = ..., bow: float | None = ...) -> Setting: ...
    def verdict(self, bow: float, grip: float) -> Verdict: ...
    def diagnosis(self, grip: float | None = ...) -> Diagnosis: ...


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the strike charts and the ladder say.

    Attributes:
        tired, gate: the sequential charts.
        baseline: solid share of the baseline, None before there is one.
        ladder: the latest ladder of the present set, None where there is none.
    """

    tired: Alarm | None = None
    gate: Alarm | None = None
    baseline: Share | None = None
    ladder: Ladder | None = None


def gather(
    *,
    player: Player,
    prescription: Prescription,
    setup: Setup,
    balls: Sequence[Ball],
    blocks: Sequence[Block] = (),
    forms: Sequence[Form] = (),
    pains: Sequence[Pain] = (),
    model: Model | None = None,
    evidence: Evidence | None = None,
    progress: Progress | None = None,
    proposed: Next | None = None,
    previous: Setting | None = None,
    told: Mapping[str, int] | None = None,
    club_name: str = "",
    confirmed: Confirmed | None = None,
    habit: Setting | None = None,
    fit: Fit | None = None,
    readings: Growing[Reading | None] | None = None,
) -> Facts:
    """Everything a rule may look at, for the ball that comes next.

    Args:
        balls: today's balls in order; voided ones are left out here.
        blocks, forms, pains: of today, in order.
        model: a Bracket whose answers are for now; each is asked once. None while it is not loaded.
        progress: where the journey stands, a running block not yet in it; the next block is proposed from it.
        proposed: the next block, where it is already known; `progress` wins.
        previous: the setting that the last hint proposed.
        told: balls hit since a rule first spoke today, by rule id.
        confirmed: what random, retention and carry-over balls are held against.
        habit: the player's own setting of the baseline.
        fit: fits balls of one setting on their own, for block results and confirm.
        readings: keeps what was read of each ball from one call to the next; the same is found without.
    """
    standing = tuple(ball for ball in balls if not ball.voided)
    evidence = evidence or Evidence()
    kinds = {block.id: block.kind for block in blocks}
    running = next((block for block in reversed(blocks) if not block.ended_at), None)
    read = _read(balls, kinds, setup, prescription, readings or Growing())
    fitted = [reading.ball for reading in read]
    facts = Facts(
        player=player,
        prescription=prescription,
        setup=setup,
        balls=standing,
        tried=_tried(read, model, running.id if running is not None else ""),
        pains=tuple(pains),
        checks=_checks(forms),
        previous=previous,
        strike=StrikeFacts(evidence.tired, evidence.gate, evidence.baseline),
        ladder=None if evidence.ladder is None else _ladder(evidence.ladder),
        told=dict(told or {}),
        at_epoch_s=tuple(_epoch(ball.at) for ball in standing[-6:]),
        club_name=club_name,
    )
    facts = replace(facts, block=None if running is None else _block(running, standing, facts.bow_range))
    facts = replace(facts, model=_model(model, facts, fitted))
    facts = replace(facts, block=_ended(facts))
    facts = _finished(facts, blocks, running, confirmed, habit, fit, evidence)
    following = proposed if progress is None else propose(_as_if_over(progress, facts))
    facts = replace(facts, habit=_habit_so_far(facts, fitted, fit))
    enough = following.reason if following is not None and following.kind is None else ""
    return replace(facts, proposed=_proposal(following, facts, player.junior), enough=enough)


@dataclass(frozen=True, slots=True)
class Reading:
    """What a ball that enters fits adds to the tally of its setting; side is +1 right, 0 on line, -1 left."""

    ball: Ball
    key: tuple[float, float]
    side: int


def _read(
    balls: Sequence[Ball], kinds: Mapping[str, BlockKind], setup: Setup, rules: Prescription, readings: Growing[Reading | None]
) -> list[Reading]:
    """Balls of the present set that enter fits."""
    mine = (setup.club_id, setup.swing, setup.stick)

    def read(ball: Ball) -> Reading | None:
        setting = ball.setup.setting
        if not ball.enters_fits or (ball.setup.club_id, ball.setup.swing, ball.setup.stick) != mine or setting is None:
            return None
        if ball.block_id in kinds and not KINDS[kinds[ball.block_id]].feeds_fits:
            return None
        return Reading(ball, (setting.bow, setting.grip), side_of_ball(ball, rules.window_deg, rules.wide_deg))

    made = readings.of(list(balls), (mine, kinds, rules.window_deg, rules.wide_deg), read)
    return [reading for reading in made if reading is not None]


def _tried(read: Sequence[Reading], model: Model | None, block_id: str) -> tuple[Tried, ...]:
    groups: dict[tuple[float, float], list[Reading]] = {}
    for reading in read:
        groups.setdefault(reading.key, []).append(reading)
    rows = []
    for (bow, grip), readings in sorted(groups.items()):
        sides = [reading.side for reading in readings]
        mine = [reading.ball for reading in readings]
        strikes = [ball.strike for ball in mine]
        rows.append(
            Tried(
                Setting(bow, grip),
                len(mine),
                right=sides.count(1),
                on_line=sides.count(0),
                left=sides.count(-1),
                in_block=[ball.block_id for ball in mine].count(block_id) if block_id else 0,
                solid=strikes.count(Strike.SOLID),
                struck=len(mine) - strikes.count(None),
                bias=model.bias(bow=bow, grip=grip) if model is not None and len(mine) >= MIDDLE_BALLS else None,
                comfort=comfort(mine),
            )
        )
    return tuple(rows)


def _checks(forms: Sequence[Form]) -> tuple[Check, ...]:
    latest: dict[str, CheckAnswer] = {}
    for form in forms:
        if form.name == "body" and form.complete:
            latest |= {name: CheckAnswer(str(form.answers[name])) for name in BODY_REMEDIES if form.answers.get(name)}
    return tuple(Check(name, BODY_REMEDIES[name], answer) for name, answer in latest.items())


def _ladder(ladder: Ladder) -> LadderFacts:
    degrees = ladder.basis == "degrees"
    compared = ladder.basis != "none"
    return LadderFacts(
        verdict=ladder.verdict.value,
        low=ladder.all_low,
        difference_deg=ladder.difference if degrees else None,
        expected_deg=ladder.expected,
        balls_needed=ladder.balls_needed,
        dropped=ladder.dropped,
        travel_mm=ladder.travel_mm if compared else None,
        moved_mm=ladder.moved_mm if compared else None,
        mixed_fat_thin=ladder.cause.name == "FLIP",
        p=None if degrees or ladder.trend is None else ladder.trend.p_two_sided,
    )


def _epoch(at: str) -> float | None:
    try:
        return datetime.fromisoformat(at).timestamp()
    except ValueError:
        return None


def _block(block: Block, balls: Sequence[Ball], bow_range: tuple[float, float]) -> BlockFacts:
    kind = KINDS[block.kind]
    mine = [ball for ball in balls if ball.block_id == block.id]
    count = len(mine) if kind.counts == "hit" else sum(ball.counted for ball in mine)
    steps = readable(block.plan)
    step = next_step(steps, len(mine))
    planned_home = next((step.setting for step in steps if step.setting is not None), None)
    home = planned_home or next((ball.setup.setting for ball in mine if ball.setup.stated), None)
    return BlockFacts(
        kind=block.kind,
        name=kind.name,
        planned=block.planned,
        count=count,
        lever=kind.lever,
        moves=kind.moves,
        holds_face=kind.holds_face,
        steady=kind.steady,
        home=home if kind.steady else None,
        next_step=None if step is None else _step(step, bow_range),
        short=kind.short,
        done=0 < block.planned <= count,
    )


def _step(step: Step, bow_range: tuple[float, float]) -> PlanStep:
    setting = step.setting
    kept = None if setting is None else Setting(into(setting.bow, bow_range), setting.grip)
    return PlanStep(kept, step.position_balls, step.stick, step.club_id, step.called, step.target)


def _model(model: Model | None, facts: Facts, fitted: Sequence[Ball]) -> ModelFacts | None:
    setting = facts.setup.setting
    if model is None or setting is None:
        return None
    crossing = model.crossing(grip=setting.grip)
    suggestion = facts.legal(model.suggest(facts.lever, grip=setting.grip, bow=setting.bow))
    known = {tried.setting: tried.bias for tried in facts.tried}
    there = facts.legal(Setting(crossing.bow, setting.grip)) if facts.lever is Lever.BOW else suggestion
    return ModelFacts(
        crossing=crossing,
        diagnosis=model.diagnosis(setting.grip),
        suggestion=suggestion,
        on_line_share=model.on_line_share(bow=there.bow, grip=there.grip),
        bias=known.get(setting) or model.bias(bow=setting.bow, grip=setting.grip),
        bias_there=known.get(suggestion) or model.bias(bow=suggestion.bow, grip=suggestion.grip),
        verdict=Verdict(model.verdict(bow=setting.bow, grip=setting.grip)),
        from_classes=all(ball.start_deg is None for ball in fitted),
    )


def _ended(facts: Facts) -> BlockFacts | None:
    """The running block; a bracket also ends once the crossing is known and hit."""
    block = facts.block
    if block is None or block.done or block.lever is None or facts.model is None:
        return block
    here = facts.here
    close = crossing_close(facts) and here is not None and here.n >= MIDDLE_BALLS
    return replace(block, done=close and block.count >= LEAST_BRACKET_BALLS)


def _habit_so_far(facts: Facts, fitted: Sequence[Ball], fit: Fit | None) -> TallyFacts | None:
    """The tally of balls without a block that were all hit at one setting."""
    free = facts.block is None or facts.block.kind is BlockKind.FREE
    if not free or len(facts.tried) != 1 or not HABIT_BALLS <= len(fitted) < HABIT_BALLS + facts.extreme_balls:
        return None
    tally = Results(facts, fitted, fit).tally()
    return tally if tally.bias is not None else replace(tally, bias=facts.tried[0].bias)


def _as_if_over(progress: Progress, facts: Facts) -> Progress:
    """The journey as it stands once a running block that has reached its end is over."""
    block = facts.finished
    if block is None or facts.block is None:
        return progress
    after = replace(progress, done_today=(*progress.done_today, block.kind))
    if block.kind is BlockKind.BOW_BRACKET and crossing_close(facts):
        return replace(after, crossing_known=True)
    if block.kind is BlockKind.GRIP_BRACKET:
        return replace(after, grip_known=True)
    if block.kind is BlockKind.CHOOSE:
        return replace(after, chosen=True)
    if block.kind is BlockKind.CONFIRM and facts.confirm is not None and centred(facts, facts.confirm):
        return replace(after, confirmed=True, days_since_confirm=0)
    return replace(after, retained=True, retention_due=False) if block.kind is BlockKind.RETENTION else after


def _proposal(proposed: Next | None, facts: Facts, junior: bool) -> Proposal | None:
    if proposed is None or proposed.kind is None:
        return None
    kind, setting = KINDS[proposed.kind], facts.setup.setting
    spread = None if facts.model is None else facts.model.diagnosis.spread_deg.mean
    balls = planned_count(proposed.kind, spread_deg=spread, junior=junior)
    target, opening = None, kind.opening_for(balls)
    if setting is not None and proposed.kind is BlockKind.BOW_BRACKET:
        target = facts.legal(Setting(LEAST_BOW, setting.grip))
        if facts.model is not None and from_before(facts):
            target = facts.legal(Setting(whole(facts.model.crossing.bow), setting.grip))
            opening = f"Find today's notch: bow {notch(target.bow)} first, {MIDDLE_BALLS} balls."
    elif setting is not None and proposed.kind is BlockKind.CONFIRM and facts.model is not None:
        target = best(facts, setting)
    return Proposal(proposed.kind, opening, proposed.reason, kind.action, balls, None if target == setting else target)


def _finished(
    facts: Facts,
    blocks: Sequence[Block],
    running: Block | None,
    confirmed: Confirmed | None,
    habit: Setting | None,
    fit: Fit | None,
    evidence: Evidence,
) -> Facts:
    """Adds what a block that has just ended found, and the state of a confirm."""
    last = running if running is not None else (blocks[-1] if blocks else None)
    if last is None:
        return facts
    mine = [ball for ball in facts.balls if ball.block_id == last.id]
    block = facts.block if running is not None else _block(last, facts.balls, facts.bow_range)
    assert block is not None
    if running is None:
        fresh_end = last.outcome == "done" and bool(mine) and facts.balls[-1] is mine[-1]
        if not fresh_end:
            return facts
        block = replace(block, done=True)
    if last.kind is BlockKind.CONFIRM:
        confirm, over = confirm_state(facts, block, mine, fit, evidence.baseline)
        return replace(facts, confirm=confirm, finished=replace(block, done=True) if over else None)
    if not block.done:
        return facts
    results = Results(facts, mine, fit)
    return replace(
        facts,
        finished=replace(block, tally=results.tally()),
        choice=results.choice(habit) if last.kind is BlockKind.CHOOSE else None,
        comparison=results.comparison(last.kind, confirmed),
    )
