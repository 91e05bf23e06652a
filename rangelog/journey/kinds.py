"""What each kind of block means, as one table. Adding a kind is adding an entry."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from rangelog.core.words import BlockKind, Lever
from rangelog.journey import cautions

Counts = Literal["hit", "counted"]


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of block.

    Attributes:
        kind: its word.
        planned: planned count, 0 where open-ended.
        counts: whether every ball hit counts toward it, or only counted ones that enter fits.
        purpose: what it answers.
        opening: the sentence that proposes it, about ten words, {n} standing for the planned count.
        action: large letters for it, at most 12 characters.
        short: one reminder while it runs.
        end: when it is over, in words.
        lever: the lever it moves, None where it holds both or both are free.
        moves: what the plan itself moves, so that no warning is given for it.
        steady: the setting must not move inside it.
        feeds_fits: its balls at the stock position enter the start-line fit.
        feeds_baseline: its balls are the yardstick for "better", "tired" and "worth it".
        fresh: its balls must not have been used to choose.
        drawn: its order is drawn from a stored seed.
        holds_face: no bow or grip advice inside it.
        cautions: usual cautions shown where it begins.
    """

    kind: BlockKind
    planned: int
    counts: Counts
    purpose: str
    opening: str
    action: str
    short: str
    end: str
    lever: Lever | None = None
    moves: tuple[str, ...] = ()
    steady: bool = False
    feeds_fits: bool = True
    feeds_baseline: bool = False
    fresh: bool = False
    drawn: bool = False
    holds_face: bool = False
    cautions: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """The kind at the head of a sentence: "Bow bracket"."""
        return self.kind.value.capitalize()

    def opening_for(self, balls: int) -> str:
        """The sentence that proposes it, for so many balls."""
        return self.opening.replace("{n}", str(balls))


_TABLE = (
    Kind(
        BlockKind.WARM_UP,
        8,
        "hit",
        "Ready and free of pain?",
        "Warm up first: {n} short, easy balls.",
        "WARM UP",
        "Short and easy.",
        "at the planned count; its balls enter no fit",
        moves=("bow", "grip", "ball position", "club", "swing", "stick"),
        feeds_fits=False,
        holds_face=True,
        cautions=cautions.WARM_UP,
    ),
    Kind(
        BlockKind.BASELINE,
        10,
        "counted",
        "Present start line, height, strike and spread.",
        "Baseline: {n} balls as you always hit, change nothing.",
        "BASELINE",
        "Change nothing.",
        "at 10 counted balls",
        steady=True,
        feeds_baseline=True,
        holds_face=True,
    ),
    Kind(
        BlockKind.BOW_BRACKET,
        20,
        "counted",
        "Does bow move the ball, which way, how far?",
        "Extremes first: least bow, 4 balls.",
        "BOW BRACKET",
        "Hold the grip.",
        "when the crossing is known to +-0.6 notch, or at 20 counted balls",
        lever=Lever.BOW,
        cautions=cautions.EXTREMES,
    ),
    Kind(
        BlockKind.GRIP_BRACKET,
        18,
        "counted",
        "Does a stronger or weaker grip straighten it at a comfortable bow?",
        "Grip next: weak first, 3 balls a mark.",
        "GRIP BRACKET",
        "Sole flat, edge square, then take the grip. Hold the bow.",
        "when the grip that starts on line is known, or at 18 counted balls",
        lever=Lever.GRIP,
        cautions=cautions.RE_GRIP,
    ),
    Kind(
        BlockKind.CHOOSE,
        20,
        "counted",
        "Which of several on-line combinations to own?",
        "Choose next: two combinations in turn, {n} balls.",
        "CHOOSE",
        "In turn, never blocked.",
        "at 10 counted balls each; they stay flagged as used to choose",
        moves=("bow", "grip"),
        drawn=True,
        holds_face=True,
        cautions=cautions.RE_GRIP,
    ),
    Kind(
        BlockKind.CONFIRM,
        20,
        "counted",
        "Is the chosen combination centred on fresh balls?",
        "Confirm next: {n} fresh balls, one setting.",
        "CONFIRM",
        "No verdict before the end.",
        "at 20 fresh counted balls, 30 at a spread over 3.5 deg; one declared second look",
        steady=True,
        fresh=True,
        holds_face=True,
    ),
    Kind(
        BlockKind.LADDER,
        15,
        "counted",
        "Does height follow ball position?",
        "Height ladder: ball back, centre, forward, {n} balls.",
        "LADDER",
        "Move the ball, not the stance.",
        "at 5 balls a position for a first look, 10 at each end for a verdict",
        moves=("ball position",),
        drawn=True,
        holds_face=True,
        cautions=cautions.LADDER,
    ),
    Kind(
        BlockKind.TRAJECTORY,
        12,
        "hit",
        "Low, stock and high on demand?",
        "Trajectory: call the height first, {n} balls.",
        "TRAJECTORY",
        "Call the height, then hit.",
        "at 12 balls",
        moves=("ball position",),
        feeds_fits=False,
        drawn=True,
        holds_face=True,
    ),
    Kind(
        BlockKind.CARRY_OVER,
        10,
        "counted",
        "Does the combination carry to another club?",
        "Another club: 3 rehearsals, then {n} balls.",
        "NEW CLUB",
        "5 balls before any claim.",
        "at 10 counted balls with that club",
        moves=("bow", "grip", "ball position", "club", "swing"),
        holds_face=True,
    ),
    Kind(
        BlockKind.STICK_OFF,
        20,
        "counted",
        "Is it still there without the reminder?",
        "Stick on and off in fives, {n} balls.",
        "STICK OFF",
        "Alternate blocks of five.",
        "at 10 balls on and 10 off",
        moves=("stick",),
        holds_face=True,
        cautions=cautions.STICK,
    ),
    Kind(
        BlockKind.RANDOM,
        10,
        "counted",
        "Does it hold when each ball is different and counts?",
        "Random: a new target each ball, {n} balls.",
        "RANDOM",
        "Full routine, one ball at a time.",
        "at 10 balls; never shown as a block score",
        moves=("bow", "grip", "ball position", "club", "swing", "stick"),
        drawn=True,
        fresh=True,
        holds_face=True,
    ),
    Kind(
        BlockKind.RETENTION,
        10,
        "counted",
        "Learned, or borrowed?",
        "Retention test first: {n} balls, no rehearsal.",
        "RETENTION",
        "No feedback, new target each ball.",
        "at 10 balls, the first after the warm-up",
        moves=("bow", "grip", "ball position", "club", "swing", "stick"),
        drawn=True,
        fresh=True,
        holds_face=True,
    ),
    Kind(
        BlockKind.FREE,
        0,
        "counted",
        "Balls without a plan; the hint brackets as they come.",
        "Free balls: change one thing at a time.",
        "FREE",
        "One thing at a time.",
        "when you say so",
    ),
)

KINDS: Mapping[BlockKind, Kind] = MappingProxyType({entry.kind: entry for entry in _TABLE})
"""Every kind of block, in the order of the journey."""

CONFIRM_WIDE_SPREAD_DEG = 3.5
CONFIRM_WIDE_PLANNED = 30
SECOND_LOOK_BALLS = 20
LADDER_VERDICT_BALLS = 30


def planned_count(kind: BlockKind, *, spread_deg: float | None = None, junior: bool = False, second_look: bool = False) -> int:
    """Planned balls of a block: a wide spread makes a confirm longer, a junior's block is cut to two thirds."""
    count = KINDS[kind].planned
    if kind is BlockKind.CONFIRM:
        if second_look:
            return SECOND_LOOK_BALLS
        return CONFIRM_WIDE_PLANNED if spread_deg is not None and spread_deg > CONFIRM_WIDE_SPREAD_DEG else count
    return max(6, round(count * 2 / 3)) if junior and count else count
