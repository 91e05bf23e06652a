"""Lean and loft: the share of loft taken off at impact, and what the face does when the handle goes forward or the grip gets stronger.

The 25 to 35 % band is common practice without a source; the rest is rigid-body geometry with a straight shaft.
"""

import math
from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.errors import OffScale
from rangelog.geometry.club import LEAN_RANGE, LIE_RANGE, FaceMove, between, square
from rangelog.geometry.vectors import cross, plus

LEAN_SHARE = (0.25, 0.30, 0.35)
"""Share of static loft that lean takes at impact: lower end, usual, upper end (common practice, no source; irons and wedges)."""

LEAST_LOFT_DEG = 15.0


@dataclass(frozen=True, slots=True)
class LeanBand:
    """Lean at impact by the rule of thumb, degrees, and the dynamic loft it leaves."""

    low_deg: float
    usual_deg: float
    high_deg: float
    static_loft_deg: float

    @property
    def dynamic_loft_deg(self) -> tuple[float, float]:
        """Loft left at impact, lower and upper end."""
        return self.static_loft_deg - self.high_deg, self.static_loft_deg - self.low_deg

    def holds(self, lean_deg: float, reading_error_deg: float = 1.0) -> bool:
        """Whether a lean lies in the band, give or take the error of reading it."""
        return self.low_deg - reading_error_deg <= lean_deg <= self.high_deg + reading_error_deg


def static_loft(value: object) -> float:
    """A static loft in degrees, 5..70. Raises OffScale."""
    return scales.number("static loft", value, *scales.LOFT_RANGE, "deg")


def lean_band(static_loft_deg: float) -> LeanBand:
    """25 to 35 % of static loft. Raises OffScale for a loft off its scale, or under 15 deg: the rule is not for such clubs."""
    loft = static_loft(static_loft_deg)
    if loft < LEAST_LOFT_DEG:
        raise OffScale("static loft", "The lean share is not for clubs under 15 deg of loft.")
    low, usual, high = (share * loft for share in LEAN_SHARE)
    return LeanBand(low, usual, high, loft)


def lean_share(static_loft_deg: float, lean_deg: float) -> float:
    """Share of static loft that a lean takes off. Raises OffScale as `lean_band` and `dynamic_loft`."""
    loft = lean_band(static_loft_deg).static_loft_deg
    return (loft - dynamic_loft(loft, lean_deg)) / loft


def dynamic_loft(static_loft_deg: float, lean_deg: float) -> float:
    """Loft left at impact: static loft minus lean, exact only if the face is kept square.

    Raises:
        OffScale: a loft or lean off its scale, or a lean that leaves no loft.
    """
    loft = static_loft(static_loft_deg)
    lean = scales.number("lean", lean_deg, *LEAN_RANGE, "deg")
    if lean >= loft:
        raise OffScale("lean", "Check numbers.", f"A lean of {lean:g} leaves no loft on a club of {loft:g} deg.")
    return loft - lean


def carried_forward(static_loft_deg: float, lie_deg: float, lean_deg: float) -> FaceMove:
    """What the face does when the handle is carried forward until it LOOKS leaned by `lean_deg` from face-on, without any twist.

    Assumes the club turns the shortest way from upright to leaned, that is without turning about its own shaft: the face opens by
    about lean * sin(lie) * cos(lie) and loses less loft than the lean. This is why the first hands-ahead balls start open.
    Raises OffScale for a loft, lie or lean off its scale.
    """
    club = square(static_loft_deg, lie_deg)
    lean = scales.number("lean", lean_deg, *LEAN_RANGE, "deg")
    butt = plus((-1.0, club.shaft))
    forward = (butt[2] * math.tan(math.radians(lean)), butt[1], butt[2])
    if lean == 0:
        return FaceMove(0.0, 0.0)
    turn = math.degrees(math.atan(abs(forward[0])))
    return between(club, club.turned(cross(butt, forward), turn))


def twist_to_square(lie_deg: float, lean_deg: float) -> float:
    """Turn about the shaft that squares a face opened by a carried-forward handle: lean * cos(lie), to first order. Raises OffScale."""
    lie = scales.number("lie", lie_deg, *LIE_RANGE, "deg")
    return scales.number("lean", lean_deg, *LEAN_RANGE, "deg") * math.cos(math.radians(lie))


def stronger_grip(static_loft_deg: float, lie_deg: float, lean_deg: float = 0.0, turn_deg: float = 10.0) -> FaceMove:
    """What a grip stronger by `turn_deg` does to the face if wrist and forearm stay exactly as they were.

    Assumes the club turns about its shaft by the whole amount; in practice the hands turn back toward where they hang, so that only
    30 to 100 % passes through (from memory). About turn * sin(lie) closing and turn * cos(lie) of loft lost. Raises OffScale.
    """
    club = square(static_loft_deg, lie_deg, lean_deg)
    return between(club, club.turned(club.shaft, -scales.number("turn", turn_deg, -45.0, 45.0, "deg")))
