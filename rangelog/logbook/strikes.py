"""Strike and height of today as the hints need them: charts against today's own balls and the baseline, and the ladder."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from rangelog.core.ball import Ball
from rangelog.core.player import Club
from rangelog.core.session import Block
from rangelog.core.words import BlockKind, Strike, Surface
from rangelog.logbook.facts import Evidence
from rangelog.logbook.past import Past, baseline

if TYPE_CHECKING:
    from rangelog.evidence.ladder_result import Ladder


def evidence(
    today: Sequence[Ball], blocks: Sequence[Block], before: Past, surface: Surface, solid_limit: float | None, clubs: Mapping[str, Club]
) -> Evidence:
    """What the charts and the ladder say after today's balls; only balls from this surface are held against each other.

    Args:
        solid_limit: a share the coach has set, which takes the place of the baseline.
    """
    from rangelog.evidence import charts
    from rangelog.evidence.intervals import wilson

    kinds = {block.id: block.kind for block in blocks}
    mine = [ball for ball in today if kinds.get(ball.block_id) is not BlockKind.WARM_UP and ball.setup.surface is surface]
    yardstick = baseline(mine, kinds, surface)
    after = mine
    if yardstick is not None:
        last = max(place for place, ball in enumerate(mine) if kinds.get(ball.block_id) is BlockKind.BASELINE)
        after = mine[last + 1 :]
    hits, n = yardstick or before.baselines.get(surface, (0, 0))
    if solid_limit is not None:
        gate = charts.strike_gate(solid(after), limit_hits=round(solid_limit * charts.ABSOLUTE_WINDOW))
    else:
        gate = charts.strike_gate(solid(after), hits, n)
    return Evidence(
        tired=charts.tired(solid(mine)), gate=gate, baseline=wilson(hits, n) if n else None, ladder=ladder(today, blocks, clubs)
    )


def solid(balls: Sequence[Ball]) -> list[bool | None]:
    """Solid or not, None where the strike is not known."""
    return [None if ball.strike is None else ball.strike is Strike.SOLID for ball in balls]


def ladder(today: Sequence[Ball], blocks: Sequence[Block], clubs: Mapping[str, Club]) -> Ladder | None:
    """The latest ladder of today, None where there is none."""
    latest = next((block for block in reversed(blocks) if block.kind is BlockKind.LADDER), None)
    mine = [ball for ball in today if latest is not None and ball.block_id == latest.id and ball.counted]
    if not mine:
        return None
    from rangelog.evidence.ladder import read
    from rangelog.evidence.ladder_result import LadderBall

    club = clubs.get(mine[-1].setup.club_id)
    rows = [LadderBall(ball.setup.position_balls, ball.strike, ball.height, ball.launch_deg) for ball in mine]
    return read(rows, club.loft_deg if club else None)
