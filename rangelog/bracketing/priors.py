"""What is believed before the first ball, in open-positive degrees. Logged balls overrule all of it.

One notch more bow moves the start 3 deg to the closed side (80 % range 0.7-6) and ten degrees stronger 4 deg (1.5-7):
common practice, no source. Spreads of start direction and the day-to-day shift of 1-2 deg are from memory.
"""

from dataclasses import dataclass

import numpy as np

from rangelog.bracketing.normal import Floats

BOW_CENTRE = 1.5
"""Middle of the bow scale: the intercept of the line is the bias there."""

GRIP_CENTRE = 30.0
"""Grip of the intercept until a ball has told the player's own first grip."""

LINE, BOW, GRIP, STICK, POSITION = range(5)
"""Places of the shared unknowns: bias at the centre, per notch, per ten degrees, stick off, per ball width forward."""

SHARED = 5


@dataclass(frozen=True, slots=True)
class Priors:
    """Means and standard deviations; degrees, degrees per notch, per ten degrees of grip, per ball width.

    Attributes:
        line_sd: bias in the middle of the bow scale at the player's first grip.
        day_shift_sd: a session's own shift about the player's line; line_walk_sd: how far the line itself moves between sessions.
            Together they move one session against the last by about 1.5 deg.
        log_spread, log_spread_sd: log-normal spread around 2.85 deg.
        club_bow_sd, club_grip_sd: how far a lever's effect differs between two clubs of one player.
    """

    line: float = 0.0
    line_sd: float = 5.0
    bow: float = -3.0
    bow_sd: float = 1.9
    grip: float = -4.0
    grip_sd: float = 2.1
    stick_sd: float = 1.5
    position: float = -1.2
    position_sd: float = 0.8
    day_shift_sd: float = 0.8
    line_walk_sd: float = 1.0
    drift_deg_per_ball: float = 0.08
    log_spread: float = 1.047
    log_spread_sd: float = 0.36
    club_bow_sd: float = 0.6
    club_grip_sd: float = 0.8

    def mean(self) -> Floats:
        """Means of the shared unknowns, shape (5,)."""
        return np.array([self.line, self.bow, self.grip, 0.0, self.position])

    def sd(self) -> Floats:
        """Standard deviations of the shared unknowns, shape (5,)."""
        return np.array([self.line_sd, self.bow_sd, self.grip_sd, self.stick_sd, self.position_sd])
