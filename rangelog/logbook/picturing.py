"""The bracket picture: today's balls of the present set, at the present grip."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from rangelog.core.ball import Ball
from rangelog.core.scales import BOW_RANGE, DEFAULT_WIDE_DEG, DEFAULT_WINDOW_DEG
from rangelog.core.setup import Setup
from rangelog.logbook.desk import Desk
from rangelog.logbook.growing import Growing
from rangelog.logbook.start_line import set_of
from rangelog.logbook.view import Mark, Picture

if TYPE_CHECKING:
    from rangelog.core.results import Crossing


class Picturing:
    """Draws it after every key."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._marks: Growing[Mark | None] = Growing()

    def picture(self, crossing: Crossing | None) -> Picture:
        """Marks in the order they were hit; balls away from the stock position are ladder balls and have no place here."""
        desk = self._desk
        prescription, setup = desk.prescription, desk.state.setup
        window = prescription.window_deg if prescription else DEFAULT_WINDOW_DEG
        wide = prescription.wide_deg if prescription else DEFAULT_WIDE_DEG
        standing = desk.standing
        asked = (setup.grip, setup.stick, set_of(setup), window, wide)
        drawn = self._marks.of(standing, asked, lambda ball: _mark(ball, setup, window, wide))
        marks = [mark for mark in drawn if mark is not None]
        if drawn and drawn[-1] is not None:
            marks[-1] = replace(marks[-1], last=True)
        return Picture(
            marks=tuple(marks),
            crossing=crossing,
            bow_range=prescription.bow_range() if prescription else BOW_RANGE,
            window_deg=window,
            wide_deg=wide,
            grip=setup.grip,
        )


def _mark(ball: Ball, setup: Setup, window: float, wide: float) -> Mark | None:
    side = ball.shown_side(window, wide)
    if side is None or not _drawn(ball, setup):
        return None
    assert ball.setup.bow is not None
    return Mark(ball.setup.bow, side, ball.corrected_start_deg(), ball.counted and ball.enters_fits)


def _drawn(ball: Ball, setup: Setup) -> bool:
    return (
        ball.setup.stated
        and ball.setup.grip == setup.grip
        and ball.setup.stick == setup.stick
        and ball.setup.position_balls == 0
        and set_of(ball.setup) == set_of(setup)
    )
