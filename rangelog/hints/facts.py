"""Everything a rule may look at: plain frozen values, gathered elsewhere, so that a rule is facts in and a hint or nothing out."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from rangelog.core import scales
from rangelog.core.ball import Ball
from rangelog.core.player import Player, Prescription
from rangelog.core.results import Alarm, Crossing, Diagnosis, Estimate, Setting, Share
from rangelog.core.session import Pain
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, CheckAnswer, Height, Lever, Verdict
from rangelog.hints import limits

LEAST_BOW = 0.0
MOST_BOW = 4.0
WEAK_GRIP = 0.0
STRONG_GRIP = 60.0
EXTREME_BALLS = 4
MIDDLE_BALLS = 3


@dataclass(frozen=True, slots=True)
class Tried:
    """Counted balls of the present set (same club, swing, stick and ball position) at one setting, today.

    Attributes:
        n: balls that enter fits; right, on_line, left split them by where they started.
        in_block: how many of them were hit in the running block.
        solid, struck: solid strikes, and balls whose strike was keyed.
        bias: the model's mean start direction there, physical; None while there is no model.
        comfort: mean comfort 1-5, None where it was not given.
    """

    setting: Setting
    n: int
    right: int = 0
    on_line: int = 0
    left: int = 0
    in_block: int = 0
    solid: int = 0
    struck: int = 0
    bias: Estimate | None = None
    comfort: float | None = None


@dataclass(frozen=True, slots=True)
class ModelFacts:
    """The model's answers, each asked once.

    Attributes:
        crossing: at the present grip.
        suggestion: what to hit next on the lever in use.
        on_line_share: chance of an on-line start at the crossing.
        bias: at the setup of the next ball; None where it is not stated.
        bias_there: at the suggestion.
        verdict: of the setup of the next ball; never shown as "done".
        from_classes: no ball of the fit carries a number.
    """

    crossing: Crossing
    diagnosis: Diagnosis
    suggestion: Setting
    on_line_share: float
    bias: Estimate | None = None
    bias_there: Estimate | None = None
    verdict: Verdict = Verdict.UNDECIDED
    from_classes: bool = False


@dataclass(frozen=True, slots=True)
class StrikeFacts:
    """Strike by sequential charts.

    Attributes:
        tired: today's solid share against today's own earlier balls.
        gate: against the player's baseline; None before there is one.
        baseline: solid share of the baseline, None before there is one.
    """

    tired: Alarm | None = None
    gate: Alarm | None = None
    baseline: Share | None = None


@dataclass(frozen=True, slots=True)
class LadderFacts:
    """Answer of the height ladder.

    Attributes:
        verdict: "follows", "does not follow", "backwards" or "undecided".
        low: all is low (60 % or more classed low, or launch under half the static loft).
        difference_deg: forward minus back in degrees with its 90 % interval, None where only classes were seen.
        expected_deg: what a body that stays would give.
        balls_needed: balls still needed at each end, where undecided.
        dropped: balls left out because they were not solid.
        travel_mm, moved_mm: how far the body went with the ball, and how far the ball was moved.
        mixed_fat_thin: fat and thin are both there in number: the look of a flip.
        p: p-value of the rank test, None where degrees spoke.
    """

    verdict: str
    low: bool = False
    difference_deg: Estimate | None = None
    expected_deg: float = 3.4
    balls_needed: int = 0
    dropped: int = 0
    travel_mm: float | None = None
    moved_mm: float | None = None
    mixed_fat_thin: bool = False
    p: float | None = None


@dataclass(frozen=True, slots=True)
class PlanStep:
    """What the plan of the running block asks of the next ball; None or empty where it leaves a thing as it is."""

    setting: Setting | None = None
    position_balls: float | None = None
    stick: bool | None = None
    club_id: str = ""
    called: Height | None = None
    target: str = ""


@dataclass(frozen=True, slots=True)
class BlockFacts:
    """A block with its count and what its kind means, as plain values.

    Attributes:
        name: the kind as it reads in a sentence: "Bow bracket".
        planned: planned count, 0 where open-ended.
        count: balls that count toward it.
        lever: the lever the block moves, None where it holds both.
        moves: words for what the plan itself moves ("bow", "grip", "ball position", "club", "swing", "stick").
        holds_face: no bow or grip advice inside it.
        steady: the setting must not move inside it; `home` is where it started.
        next_step: what the plan asks of the next ball, where it has a drawn order.
        short: one reminder for its running line.
        done: it has reached its end.
        tally: what a finished block found.
    """

    kind: BlockKind
    name: str
    planned: int = 0
    count: int = 0
    lever: Lever | None = None
    moves: tuple[str, ...] = ()
    holds_face: bool = False
    steady: bool = False
    home: Setting | None = None
    next_step: PlanStep | None = None
    short: str = ""
    done: bool = False
    tally: "TallyFacts | None" = None


@dataclass(frozen=True, slots=True)
class TallyFacts:
    """What a block's balls add up to.

    Attributes:
        counted: balls that enter fits; on_line is their share with its 95 % interval.
        right, left: started right or left of the line.
        solid: share of solid among keyed strikes; None where none was keyed.
        bias: mean start with its 90 % interval.
        from_classes: no ball carried a number.
        called: share of called heights that were seen, for the trajectory block.
    """

    counted: int
    on_line: Share
    right: int
    left: int
    solid: Share | None = None
    bias: Estimate | None = None
    from_classes: bool = False
    called: Share | None = None


@dataclass(frozen=True, slots=True)
class Proposal:
    """The next block: its kind, its opening sentence, why, large letters, and the setting it opens with."""

    kind: BlockKind
    opening: str
    reason: str = ""
    action: str = ""
    balls: int = 0
    setting: Setting | None = None


@dataclass(frozen=True, slots=True)
class ConfirmFacts:
    """A confirm block on fresh balls.

    Attributes:
        setting: the combination to confirm.
        fresh: fresh counted balls so far; planned is where the verdict falls at this look.
        look: 1, or 2 for the declared second look.
        bias: mean start of the fresh balls with the interval of this look; None before the planned count.
        spread_deg: their spread.
        solid_ok: solid share not shown below the baseline.
        stick: the grip stick is on.
    """

    setting: Setting
    fresh: int
    planned: int = 20
    look: int = 1
    bias: Estimate | None = None
    spread_deg: float | None = None
    solid_ok: bool = True
    stick: bool = True


@dataclass(frozen=True, slots=True)
class Candidate:
    """One combination of the choose block.

    Attributes:
        name: "A", "B", "C".
        hits, n: on-line starts out of counted balls; solid, struck likewise for strike.
        spread_deg: standard deviation of the start, where known.
        comfort: mean comfort 1-5, where given.
    """

    name: str
    setting: Setting
    hits: int
    n: int
    solid: int
    struck: int
    spread_deg: float | None = None
    comfort: float | None = None


@dataclass(frozen=True, slots=True)
class ChoiceFacts:
    """Candidates, and the exact two-sided p-values of the first two held against each other."""

    candidates: tuple[Candidate, ...]
    direction_p: float
    strike_p: float
    habit: Setting | None = None


@dataclass(frozen=True, slots=True)
class ComparisonFacts:
    """A finished block (random, stick off, retention) held against what was confirmed.

    Attributes:
        hits, n: on-line starts now; was_hits, was_n: then.
        p: exact two-sided p-value.
        differs: conditions that differ besides: "stick", "order", "club".
        shift_deg: change of the mean start, physical, where it was estimated.
    """

    hits: int
    n: int
    was_hits: int
    was_n: int
    p: float
    differs: tuple[str, ...] = ()
    shift_deg: Estimate | None = None


@dataclass(frozen=True, slots=True)
class Check:
    """The latest answer to one body check: its field name, what to do where it failed, and the answer."""

    name: str
    remedy: str
    answer: CheckAnswer


@dataclass(frozen=True, slots=True)
class Facts:
    """Everything a rule may look at.

    Attributes:
        setup: what the next ball will be stored with.
        balls: today's balls in order, taken-back ones left out.
        tried: the present set, by setting.
        pains: pain answers of today, in order.
        checks: latest body checks.
        block: the running block; finished: a block that has just reached its end.
        proposed: the next block; None where there is none today, and then `enough` says why.
        previous: the setting that the last hint proposed.
        model: None while it is not loaded.
        told: balls hit since a rule first spoke today, by rule id; a warning that was heard steps back.
        at_epoch_s: the times of the last balls in seconds, None where the clock is uncertain.
        club_name: the present club as it reads.
    """

    player: Player
    prescription: Prescription
    setup: Setup = field(default_factory=Setup)
    balls: tuple[Ball, ...] = ()
    tried: tuple[Tried, ...] = ()
    pains: tuple[Pain, ...] = ()
    checks: tuple[Check, ...] = ()
    block: BlockFacts | None = None
    finished: BlockFacts | None = None
    proposed: Proposal | None = None
    enough: str = ""
    previous: Setting | None = None
    model: ModelFacts | None = None
    strike: StrikeFacts = field(default_factory=StrikeFacts)
    ladder: LadderFacts | None = None
    confirm: ConfirmFacts | None = None
    choice: ChoiceFacts | None = None
    comparison: ComparisonFacts | None = None
    told: Mapping[str, int] = field(default_factory=dict)
    at_epoch_s: tuple[float | None, ...] = ()
    club_name: str = ""

    @property
    def bow_range(self) -> tuple[float, float]:
        """Legal bows today; no hint leaves it."""
        return limits.bow_range(self.prescription, self.pains, self.player.junior)

    @property
    def bow_stopped(self) -> bool:
        """Bow hints have stopped for today, or the wrist has a history: the grip lever is what is left."""
        return self.prescription.pain_history or limits.risen(self.pains) is not None

    @property
    def lever(self) -> Lever:
        """The lever that hints move now."""
        if self.bow_stopped:
            return Lever.GRIP
        if self.block is not None and self.block.lever is not None:
            return self.block.lever
        return self.prescription.first_lever

    @property
    def extremes(self) -> tuple[float, float]:
        """The two ends of the lever in use that are asked for first."""
        if self.lever is Lever.GRIP:
            return WEAK_GRIP, STRONG_GRIP
        return limits.into(LEAST_BOW, self.bow_range), limits.into(MOST_BOW, self.bow_range)

    @property
    def extreme_balls(self) -> int:
        """Balls at an end of the lever in use."""
        return MIDDLE_BALLS if self.lever is Lever.GRIP else EXTREME_BALLS

    @property
    def balls_left(self) -> int:
        """Balls to the cap, never negative."""
        return max(0, self.prescription.ball_cap - len(self.balls))

    @property
    def here(self) -> Tried | None:
        """What is known at the setup of the next ball; None until both levers are stated."""
        setting = self.setup.setting
        if setting is None:
            return None
        return next((tried for tried in self.tried if tried.setting == setting), Tried(setting, 0))

    @property
    def line(self) -> tuple[Tried, ...]:
        """Settings tried along the lever in use with the other lever as it is now, ascending."""
        setting = self.setup.setting
        if setting is None:
            return ()
        if self.lever is Lever.BOW:
            return tuple(sorted((t for t in self.tried if t.setting.grip == setting.grip), key=lambda t: t.setting.bow))
        return tuple(sorted((t for t in self.tried if t.setting.bow == setting.bow), key=lambda t: t.setting.grip))

    def on_lever(self, setting: Setting) -> float:
        """The value of the lever in use."""
        return setting.bow if self.lever is Lever.BOW else setting.grip

    def with_lever(self, value: float) -> Setting | None:
        """The next setup's setting with the lever in use moved, inside every limit; None until both levers are stated."""
        setting = self.setup.setting
        if setting is None:
            return None
        if self.lever is Lever.BOW:
            return self.legal(Setting(value, setting.grip))
        return self.legal(Setting(setting.bow, value))

    def legal(self, setting: Setting) -> Setting:
        """A setting brought inside the bow range of today and the grip scale."""
        return Setting(limits.into(setting.bow, self.bow_range), limits.into(setting.grip, scales.GRIP_RANGE))
