"""Everything a rule may look at: plain frozen values, gathered elsewhere, so that a rule is facts in and a hint or nothing out."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from rangelog.core import scales
from rangelog.core.ball import Ball
from rangelog.core.player import Player, Prescription
from rangelog.core.results import Setting
from rangelog.core.session import Pain
from rangelog.core.setup import Setup
from rangelog.core.words import Lever
from rangelog.hints import limits
from rangelog.hints.parts import (
    BlockFacts,
    Check,
    ChoiceFacts,
    ComparisonFacts,
    ConfirmFacts,
    LadderFacts,
    ModelFacts,
    Proposal,
    StrikeFacts,
    TallyFacts,
    Tried,
)

LEAST_BOW = 0.0
MOST_BOW = 4.0
WEAK_GRIP = 0.0
STRONG_GRIP = 60.0
EXTREME_BALLS = 4
MIDDLE_BALLS = 3
HABIT_BALLS = 10


@dataclass(frozen=True)
class Facts:
    """Everything a rule may look at. What follows from it is worked out once, so no slots here.

    Attributes:
        setup: what the next ball will be stored with.
        balls: today's balls in order, taken-back ones left out.
        tried: the present set, by setting.
        pains: pain answers of today, in order.
        checks: latest body checks.
        block: the running block; finished: a block that has just reached its end.
        proposed: the next block; None where there is none today, and then `enough` says why.
        habit: what balls without a block add up to, where all were hit at one setting as ever; else None.
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
    habit: TallyFacts | None = None
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

    @cached_property
    def bow_range(self) -> tuple[float, float]:
        """Legal bows today; no hint leaves it."""
        return limits.bow_range(self.prescription, self.pains, self.player.junior)

    @cached_property
    def bow_stopped(self) -> bool:
        """Bow hints have stopped for today, or the wrist has a history: the grip lever is what is left."""
        return self.prescription.pain_history or limits.risen(self.pains) is not None

    @cached_property
    def lever(self) -> Lever:
        """The lever that hints move now."""
        if self.bow_stopped:
            return Lever.GRIP
        if self.block is not None and self.block.lever is not None:
            return self.block.lever
        return self.prescription.first_lever

    @cached_property
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

    @cached_property
    def here(self) -> Tried | None:
        """What is known at the setup of the next ball; None until both levers are stated."""
        setting = self.setup.setting
        if setting is None:
            return None
        return next((tried for tried in self.tried if tried.setting == setting), Tried(setting, 0))

    @cached_property
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
