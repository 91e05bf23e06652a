"""Keeps one Bracket in step with the balls of the book.

A set is a club with a swing length. Its fit takes all of its own balls, and of the player's other sets only what was hit before
its first ball: so another club lends its slope as a prior, and a club that is never touched again keeps its fit to the last digit.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import chain, compress
from typing import TYPE_CHECKING

from rangelog.core.ball import Ball
from rangelog.core.player import Player, Prescription
from rangelog.core.scales import GRIP_RANGE, side_interval
from rangelog.core.setup import Setup
from rangelog.logbook.growing import Growing

if TYPE_CHECKING:
    from rangelog.bracketing import Bracket

SESSIONS_EXACT = 20


def set_of(setup: Setup) -> str:
    """Name of the set a setup belongs to."""
    return f"{setup.club_id}/{setup.swing}"


def chosen_for(name: str, balls: list[Ball], own: Growing[bool]) -> list[Ball]:
    """The balls that enter the fit of a set, in order: its own, and others' from before its first."""
    mine = own.of(balls, name, lambda ball: set_of(ball.setup) == name)
    first = mine.index(True) if True in mine else len(balls)
    return [ball for ball in chain(balls[:first], compress(balls[first:], mine[first:])) if not ball.voided]


def interval_of(ball: Ball, window_deg: float, wide_deg: float) -> tuple[float, float]:
    """Ends of what was seen of a start, degrees, the aim correction applied; equal for a number."""
    degrees = ball.corrected_start_deg()
    if degrees is not None:
        return degrees, degrees
    assert ball.side is not None
    low, high = side_interval(ball.side, window_deg, wide_deg)
    return low - ball.aim_correction_deg, high - ball.aim_correction_deg


def start_of(ball: Ball, window_deg: float, wide_deg: float) -> float | str | tuple[float, float]:
    """What the model is told of a start: degrees, a class, or the interval a class becomes once the aim is corrected."""
    if ball.start_deg is None and not ball.aim_correction_deg:
        assert ball.side is not None
        return ball.side.value
    low, high = interval_of(ball, window_deg, wide_deg)
    return low if low == high else (low, high)


class StartLine:
    """The model of one set, asked after every ball.

    Args:
        player: whose hand it is.
        prescription: window and wide edge.
        bow_range: legal bows for hints, with today's pain cap in it.
    """

    def __init__(self, player: Player, prescription: Prescription, bow_range: tuple[float, float]) -> None:
        self._player = player
        self._prescription = prescription
        self.bow_range = bow_range
        self._set = ""
        self._known: list[Ball] = []
        self._own: Growing[bool] = Growing()
        self._settled: Bracket | None = None
        self.bracket: Bracket = self._empty()

    def _empty(self) -> Bracket:
        from rangelog.bracketing import Bracket

        return Bracket(
            hand=self._player.hand.value,
            window=self._prescription.window_deg,
            wide=self._prescription.wide_deg,
            bow_range=self.bow_range,
            grip_range=GRIP_RANGE,
        )

    def learn(self, balls: Sequence[Ball], setup: Setup, session_id: str) -> Bracket:
        """Bring the model up to the balls, for the set of a setup.

        The usual case, one ball added or the last one amended, costs one step; anything else starts again.

        Args:
            balls: all balls of the last sessions, oldest first, voided ones included.
            setup, session_id: the setup the answers are for, and the session it stands in.

        Returns:
            The bracket, for now: with the club, the swing and the stick of the setup.
        """
        name = set_of(setup)
        chosen = chosen_for(name, list(balls), self._own)
        before, last = chosen[:-1], chosen[-1:]
        if name != self._set or self._settled is None or self._known != before[: len(self._known)] or len(before) < len(self._known):
            self._set, self._known, self._settled = name, [], self._empty()
        for ball in before[len(self._known) :]:
            self._add(self._settled, ball)
        self._known = before
        self.bracket = self._settled.copy()
        for ball in last:
            self._add(self.bracket, ball)
        self.bracket.stand(club=name, stick=setup.stick, session=session_id)
        return self.bracket

    def _add(self, bracket: Bracket, ball: Ball) -> None:
        setup = ball.setup
        if not setup.stated or not ball.seen:
            return
        assert setup.bow is not None
        assert setup.grip is not None
        bracket.add(
            bow=setup.bow,
            grip=setup.grip,
            start=start_of(ball, self._prescription.window_deg, self._prescription.wide_deg),
            session=ball.session_id,
            position=setup.position_balls,
            club=set_of(setup),
            stick=setup.stick,
            strike=ball.strike.value if ball.strike else None,
            counted=ball.counted,
            touched=ball.touched,
        )
