"""Builders of facts with stub model answers. All players and balls are invented."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import pytest

from rangelog.core.ball import Ball
from rangelog.core.player import Player, Prescription
from rangelog.core.results import Crossing, Diagnosis, Estimate, Setting
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Hand, Side, Strike
from rangelog.hints.facts import Facts
from rangelog.hints.parts import BlockFacts, ModelFacts, Tried

Z = 1.645


def guess(mean: float, sd: float) -> Estimate:
    return Estimate(mean, sd, mean - Z * sd, mean + Z * sd)


class Build:
    """Small makers, so that each test names only what it is about."""

    player = Player("p")
    rules = Prescription("rx", club_id="iron")

    @staticmethod
    def guess(mean: float, sd: float = 0.5) -> Estimate:
        return guess(mean, sd)

    @staticmethod
    def setup(bow: float | None = 0.0, grip: float | None = 30.0, **more: Any) -> Setup:
        return Setup(bow, grip, club_id=more.pop("club_id", "iron"), **more)

    def ball(self, seq: int, side: Side | None = Side.RIGHT, *, setup: Setup | None = None, **more: Any) -> Ball:
        return Ball(f"b{seq}", "s", seq, "2026-01-01T10:00:00+00:00", setup or self.setup(), side=side, **more)

    def balls(self, n: int, **more: Any) -> tuple[Ball, ...]:
        return tuple(self.ball(seq, **more) for seq in range(1, n + 1))

    @staticmethod
    def strikes(balls: Sequence[Ball], strikes: Sequence[Strike | None]) -> tuple[Ball, ...]:
        return tuple(replace(ball, strike=strike) for ball, strike in zip(balls, strikes, strict=True))

    @staticmethod
    def tried(bow: float, n: int, mean: float | None = None, *, grip: float = 30.0, sd: float = 0.8, **more: Any) -> Tried:
        """A setting whose n balls all started on the side of its mean."""
        right = n if mean is not None and mean > 2 else 0
        left = n if mean is not None and mean < -2 else 0
        known = {"right": right, "left": left, "on_line": n - right - left, "solid": n, "struck": n} | more
        return Tried(Setting(bow, grip), n, bias=None if mean is None else guess(mean, sd), **known)

    @staticmethod
    def diagnosis(**more: Any) -> Diagnosis:
        known: dict[str, Any] = {
            "bow_deg_per_notch": guess(-2.5, 0.4),
            "grip_deg_per_ten": guess(-4.0, 2.0),
            "spread_deg": guess(2.8, 0.4),
            "wrong_sign": 0.0,
            "drift_deg": guess(0.0, 0.3),
            "drift_beyond": 0.0,
            "levels": (0.0, 4.0),
            "bow_moved": True,
            "grip_moved": False,
            "locked": False,
            "outside": 0.0,
            "counted": 8,
            "prior_carries": False,
        }
        return Diagnosis(**(known | more))

    def model(self, *, crossing: Crossing | None = None, suggestion: Setting | None = None, **more: Any) -> ModelFacts:
        known: dict[str, Any] = {"diagnosis": self.diagnosis(**more.pop("diagnosis", {})), "on_line_share": 0.52}
        return ModelFacts(crossing or Crossing(2.2, 1.4, 3.0), suggestion=suggestion or Setting(2.0, 30.0), **(known | more))

    @staticmethod
    def block(kind: BlockKind, **more: Any) -> BlockFacts:
        return BlockFacts(kind, kind.value.capitalize(), **more)

    def facts(self, *, hand: Hand = Hand.RIGHT, junior: bool = False, rules: dict[str, Any] | None = None, **more: Any) -> Facts:
        known: dict[str, Any] = {"setup": self.setup()}
        player = replace(self.player, hand=hand, lead_hand=hand.other, junior=junior)
        return Facts(player=player, prescription=replace(self.rules, **(rules or {})), **(known | more))


@pytest.fixture
def build() -> Build:
    return Build()


@pytest.fixture
def facts(build: Build) -> Callable[..., Facts]:
    return build.facts
