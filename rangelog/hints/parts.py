"""The parts that facts are made of: settings tried, model answers, charts, blocks and their results, as plain frozen values."""

from dataclasses import dataclass

from rangelog.core.results import Alarm, Crossing, Diagnosis, Estimate, Setting, Share
from rangelog.core.words import BlockKind, CheckAnswer, Height, Lever, Verdict


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
class Pair:
    """Two candidates by their places, and the exact two-sided p-values of their on-line starts and of their solid strikes."""

    first: int
    second: int
    direction_p: float
    strike_p: float


@dataclass(frozen=True, slots=True)
class ChoiceFacts:
    """Candidates, and every two of them held against each other."""

    candidates: tuple[Candidate, ...]
    pairs: tuple[Pair, ...]
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
