"""What the sessions before this one left behind, worked out once a session so that a ball costs nothing for it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from rangelog.core.ball import Ball
from rangelog.core.results import Setting
from rangelog.core.session import Block
from rangelog.core.words import BlockKind, Strike, Surface
from rangelog.journey.kinds import KINDS
from rangelog.logbook.start_line import set_of

Kinds = Mapping[str, BlockKind]
Counts = tuple[int, int]
"""Solid strikes and known strikes."""


@dataclass(frozen=True, slots=True)
class Past:
    """Earlier sessions, as today needs them.

    Attributes:
        fitted: balls that may enter a fit, oldest first.
        baselines: the latest baseline of every surface, as counts.
        habit: the setting of the first baseline.
        grips: balls that enter fits by set, stick and grip.
    """

    fitted: tuple[Ball, ...] = ()
    baselines: Mapping[Surface, Counts] = field(default_factory=dict)
    habit: Setting | None = None
    grips: Counter[tuple[str, bool, float]] = field(default_factory=Counter)


def past(balls: Sequence[Ball], blocks: Iterable[Block]) -> Past:
    """What these balls, oldest first, and their blocks leave behind; voided balls are left out."""
    kinds = {block.id: block.kind for block in blocks}
    standing = [ball for ball in balls if not ball.voided]
    return Past(
        fitted=tuple(ball for ball in standing if feeding(ball, kinds)),
        baselines={surface: counts for surface in Surface if (counts := baseline(standing, kinds, surface)) is not None},
        habit=habit(standing, kinds),
        grips=Counter(key for ball in standing if (key := grip_key(ball, kinds)) is not None),
    )


def feeding(ball: Ball, kinds: Kinds) -> bool:
    """Whether the ball's kind of block feeds fits; which kinds do is data of the journey."""
    return not ball.voided and (ball.block_id not in kinds or KINDS[kinds[ball.block_id]].feeds_fits)


def baseline(balls: Sequence[Ball], kinds: Kinds, surface: Surface) -> Counts | None:
    """Counts of the latest baseline on a surface, None where there is none. Surfaces are never pooled."""
    mine = [ball for ball in balls if kinds.get(ball.block_id) is BlockKind.BASELINE and ball.counted and ball.setup.surface is surface]
    struck = [ball for ball in mine if ball.block_id == mine[-1].block_id and ball.strike is not None]
    return (sum(ball.strike is Strike.SOLID for ball in struck), len(struck)) if struck else None


def habit(balls: Iterable[Ball], kinds: Kinds) -> Setting | None:
    """The setting of the first baseline."""
    return next((ball.setup.setting for ball in balls if kinds.get(ball.block_id) is BlockKind.BASELINE), None)


def grip_key(ball: Ball, kinds: Kinds) -> tuple[str, bool, float] | None:
    """Set, stick and grip of a ball that enters fits, None for another."""
    setup = ball.setup
    if setup.grip is None or not ball.enters_fits or not feeding(ball, kinds):
        return None
    return set_of(setup), setup.stick, setup.grip
