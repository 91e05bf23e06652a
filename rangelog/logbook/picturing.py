"""The bracket picture: today's balls of the present set, at the present grip."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rangelog.core.ball import Ball
from rangelog.core.scales import BOW_RANGE, DEFAULT_WIDE_DEG, DEFAULT_WINDOW_DEG
from rangelog.core.setup import Setup
from rangelog.logbook.desk import Desk
from rangelog.logbook.start_line import set_of
from rangelog.logbook.view import Mark, Picture

if TYPE_CHECKING:
    from rangelog.core.results import Crossing


def picture(desk: Desk, crossing: Crossing | None) -> Picture:
    """Marks in the order they were hit; balls away from the stock position are ladder balls and have no place here."""
    prescription, setup = desk.prescription, desk.state.setup
    window = prescription.window_deg if prescription else DEFAULT_WINDOW_DEG
    wide = prescription.wide_deg if prescription else DEFAULT_WIDE_DEG
    last = desk.last
    marks = []
    for ball in desk.standing:
        side = ball.shown_side(window, wide)
        if side is None or not _drawn(ball, setup):
            continue
        assert ball.setup.bow is not None
        marks.append(Mark(ball.setup.bow, side, ball.corrected_start_deg(), ball.counted and ball.enters_fits, ball is last))
    return Picture(
        marks=tuple(marks),
        crossing=crossing,
        bow_range=prescription.bow_range() if prescription else BOW_RANGE,
        window_deg=window,
        wide_deg=wide,
        grip=setup.grip,
    )


def _drawn(ball: Ball, setup: Setup) -> bool:
    return (
        ball.setup.stated
        and ball.setup.grip == setup.grip
        and ball.setup.stick == setup.stick
        and ball.setup.position_balls == 0
        and set_of(ball.setup) == set_of(setup)
    )
