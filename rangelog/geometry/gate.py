"""The gate and the offset: from metres on the ground to degrees of start direction and back. Lengths in metres, angles in degrees."""

import math
from collections.abc import Callable
from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.errors import OffScale

BALL_RADIUS_M = scales.BALL_DIAMETER_MM / 2000
WIDTH_MOST_M = 20.0
DISTANCE_MOST_M = 400.0


def checked_distance(value: float) -> float:
    """A distance in metres, over 0. Raises OffScale."""
    if isinstance(value, (int, float)) and not isinstance(value, bool) and math.isfinite(value) and value <= 0:
        raise OffScale("distance", "Distance must be over 0.")
    return scales.number("distance", value, 0.0, DISTANCE_MOST_M, "m")


def checked_width(value: float) -> float:
    """An inside width in metres that a ball can pass. Raises OffScale."""
    width = scales.number("width", value, 0.0, WIDTH_MOST_M, "m")
    if width <= 2 * BALL_RADIUS_M:
        raise OffScale("width", "Ball cannot pass.")
    return width


def checked_window(value: float) -> float:
    """Half a window in degrees, over 0. Raises OffScale."""
    window = scales.number("window", value, 0.0, scales.START_RANGE[1], "deg")
    if window <= 0:
        raise OffScale("window", "Window must be over 0.")
    return window


@dataclass(frozen=True, slots=True)
class Gate:
    """Two sticks seen from the ball.

    Attributes:
        width_m: inside width.
        distance_m: from the ball, along the aim line.
        clears_deg: a ball that starts within this clears both sticks.
        touches_deg: a ball that starts beyond this misses the gate wholly.
    """

    width_m: float
    distance_m: float
    clears_deg: float
    touches_deg: float

    def sentence(self, window_deg: float, length: Callable[[float], str] = lambda metres: f"{metres:.2f} m") -> str:
        """The gate against the player's window, which it never replaces: "clears +-4.4 deg, wider than your +-2 window; ...".

        Args:
            length: how a width in metres is written.
        """
        window = checked_window(window_deg)
        better = width_for(window, self.distance_m)
        if abs(self.width_m - better) < 0.005:
            return f"clears +-{self.clears_deg:.1f} deg, the same as your +-{window:g} window"
        against = "wider" if self.clears_deg > window else "narrower"
        return f"clears +-{self.clears_deg:.1f} deg, {against} than your +-{window:g} window; for +-{window:g} use {length(better)}"


def gate(width_m: float, distance_m: float) -> Gate:
    """A gate of an inside width at a distance, laid evenly about the aim line: atan((width / 2 -+ ball radius) / distance).

    Assumes the ball runs straight that far and stays below the top of the sticks.

    Raises:
        OffScale: "Ball cannot pass." up to a width of one ball, "Distance must be over 0.", or a number off its scale.
    """
    width, distance = checked_width(width_m), checked_distance(distance_m)
    clears = math.degrees(math.atan((width / 2 - BALL_RADIUS_M) / distance))
    return Gate(width, distance, clears, math.degrees(math.atan((width / 2 + BALL_RADIUS_M) / distance)))


def width_for(window_deg: float, distance_m: float) -> float:
    """Inside width whose clearing balls are those inside the window: 2 (distance tan(window) + ball radius). Raises OffScale."""
    return 2 * (checked_distance(distance_m) * math.tan(math.radians(checked_window(window_deg))) + BALL_RADIUS_M)


def distance_for(width_m: float, window_deg: float) -> float:
    """Distance at which a gate of this width clears exactly the window. Raises OffScale."""
    return (checked_width(width_m) / 2 - BALL_RADIUS_M) / math.tan(math.radians(checked_window(window_deg)))


def offset_deg(offset_m: float, distance_m: float) -> float:
    """Degrees of an offset seen at a distance (or of a gate laid off the line), the sign kept: atan(offset / distance).

    Raises:
        OffScale: "Distance must be over 0.", or an offset beyond the 45 deg a start direction may have.
    """
    distance = checked_distance(distance_m)
    return math.degrees(math.atan2(scales.number("offset", offset_m, -distance, distance, "m"), distance))


def offset_m(start_deg: float, distance_m: float) -> float:
    """Offset in metres that a start direction makes at a distance, the sign kept. Raises OffScale."""
    return checked_distance(distance_m) * math.tan(math.radians(scales.start_deg(start_deg)))


def height_m(launch_deg: float, distance_m: float) -> float:
    """Height of the ball at a gate, on its launch line: over a gate's few metres the fall is left out. Raises OffScale."""
    launch = scales.number("launch", launch_deg, *scales.LAUNCH_RANGE, "deg")
    return checked_distance(distance_m) * math.tan(math.radians(launch))


def stick_reach_m(stick_m: float, launch_deg: float) -> float:
    """How far out a stick this high still stands above the ball's launch line; infinite at launch 0. Raises OffScale."""
    stick = scales.number("stick height", stick_m, 0.0, 3.0, "m")
    launch = scales.number("launch", launch_deg, *scales.LAUNCH_RANGE, "deg")
    return stick / math.tan(math.radians(launch)) if launch else math.inf


def launch_from_apex(apex_m: float, carry_m: float) -> float:
    """Launch of a short, slow shot from its apex and carry: tan(launch) = 4 apex / carry. Not for full shots, which have lift.

    Raises OffScale for an apex outside 0..80 m or a carry not over 0.
    """
    apex = scales.number("apex", apex_m, *scales.APEX_RANGE, "m")
    if not (math.isfinite(carry_m) and carry_m > 0):
        raise OffScale("carry", "Carry must be over 0.")
    return math.degrees(math.atan2(4 * apex, carry_m))
