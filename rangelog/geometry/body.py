"""The body check in lengths: the midline from the feet, and the nose against it. Common practice, no source; it defers to the coach."""

import math
from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.errors import OffScale

INCH_MM = 25.4
NOSE_MOST_MM = 400.0
NOSE_USUAL_MM = (3 * INCH_MM, 4 * INCH_MM)
"""Nose behind the midline at impact: 3 to 4 inches, 76.2 to 101.6 mm."""

NOSE_WARN_MM = (25.0, 150.0)
HANDLE_MM = 24.0


def midline_mm(lead_foot_mm: float, trail_foot_mm: float) -> float:
    """The midline of the stance, half way between the feet and never taken from the ball. Raises OffScale for a foot beyond 2 m."""
    lead = scales.number("lead foot", lead_foot_mm, -2000.0, 2000.0, "mm")
    return (lead + scales.number("trail foot", trail_foot_mm, -2000.0, 2000.0, "mm")) / 2


def nose_mm(value: float, unit: str, side: str = "behind") -> float:
    """A nose offset in millimetres, + behind the midline, - ahead of it.

    Args:
        value: a length of 0 or more.
        unit: "mm" or "in"; a bare number is never guessed at.
        side: "behind" or "ahead".

    Raises:
        OffScale: no unit, another unit or side, a value below 0, or beyond 400 mm (so 90 inches).
    """
    if unit not in ("mm", "in"):
        raise OffScale("nose", "Nose offset in mm or inches?")
    if side not in ("behind", "ahead"):
        raise OffScale("nose", "Nose is behind or ahead of the midline.")
    factor = INCH_MM if unit == "in" else 1.0
    length = factor * scales.number("nose offset", value, 0.0, round(NOSE_MOST_MM / factor, 1), unit)
    return length if side == "behind" else -length


@dataclass(frozen=True, slots=True)
class NoseCheck:
    """A nose offset at impact read: "pass", "not sure" or "fail", and why."""

    answer: str
    words: str


def nose_at_impact(offset_mm: float) -> NoseCheck:
    """Ahead of the midline fails; under 25 or over 150 mm behind is not sure; the rest passes. Raises OffScale beyond 400 mm."""
    offset = scales.number("nose offset", offset_mm, -NOSE_MOST_MM, NOSE_MOST_MM, "mm")
    if offset < 0:
        return NoseCheck("fail", f"Nose {-offset:.0f} mm ahead of the midline.")
    least, most = NOSE_WARN_MM
    if offset < least or offset > most:
        return NoseCheck("not sure", f"Nose {offset:.0f} mm behind the midline, usual is 76-102.")
    return NoseCheck("pass", f"Nose {offset:.0f} mm behind the midline.")


def handle_arc_mm(turn_deg: float, handle_mm: float = HANDLE_MM) -> float:
    """Arc on the handle that a turn of the grip makes: 15 deg is 3.1 mm on a 24 mm handle. Raises OffScale."""
    turn = scales.number("turn", turn_deg, -180.0, 180.0, "deg")
    return math.radians(turn) * scales.number("handle", handle_mm, 10.0, 40.0, "mm") / 2
