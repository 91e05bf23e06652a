"""What one ball width along the target line does by itself: lean, loft, attack, launch and start line.

Assumes the body does not travel, the arm-shaft angle is kept, and club and arms turn about one hub on a tilted circle. The launch and
start mixes are rules of thumb from memory; the rest is geometry.
"""

import math
from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.errors import OffScale

BALL_MM = scales.BALL_DIAMETER_MM
HUB_MM = 1350.0
RADIUS_M = 1.6
PLANE_DEG = 62.0
DYNAMIC_LOFT_SHARE = 0.75
FACE_SHARE = 0.75
CLOSING_DEG_PER_S = 2250.0
HEAD_SPEED_M_PER_S = 39.0


def widths(value: float, unit: str = "balls") -> float:
    """A ball position in ball widths; millimetres are converted (85 mm is 1.99).

    Raises:
        OffScale: outside -3..3 ball widths, or a unit other than "balls" or "mm".
    """
    if unit not in ("balls", "mm"):
        raise OffScale("unit", "Ball position is in balls or mm.")
    if unit == "mm":
        least, most = (end * BALL_MM for end in scales.POSITION_RANGE)
        return scales.number("ball position", value, round(least, 2), round(most, 2), "mm") / BALL_MM
    return scales.number("ball position", value, *scales.POSITION_RANGE, "ball widths")


@dataclass(frozen=True, slots=True)
class PerBall:
    """Changes per ball width BACK (forward is the opposite sign), degrees.

    Attributes:
        lean_deg: more lean.
        loft_deg: less dynamic loft.
        attack_deg: steeper attack.
        launch_deg: lower launch.
        path_open_deg: path turned toward the open side.
        face_open_deg: lower end: the face turns with the arc only; upper end: it also still has to close, at full speed.
        start_open_deg: start line toward the open side, lower and upper end.
    """

    lean_deg: float
    loft_deg: float
    attack_deg: float
    launch_deg: float
    path_open_deg: float
    face_open_deg: tuple[float, float]
    start_open_deg: tuple[float, float]


def per_ball(hub_mm: float = HUB_MM, radius_m: float = RADIUS_M, plane_deg: float = PLANE_DEG) -> PerBall:
    """One ball width back, for a hub this high above the ball, a swing circle of this radius in a plane of this tilt.

    lean = atan(ball / hub); in-plane turn = ball / radius, of which sin(plane) is attack and cos(plane) is path;
    launch = 0.75 loft + 0.25 attack; start = 0.75 face + 0.25 path.

    Raises:
        OffScale: a hub outside 600..1800 mm, a radius outside 0.8..2.5 m, a plane outside 40..80 deg.
    """
    hub = scales.number("hub height", hub_mm, 600.0, 1800.0, "mm")
    radius = scales.number("swing radius", radius_m, 0.8, 2.5, "m")
    plane = math.radians(scales.number("swing plane", plane_deg, 40.0, 80.0, "deg"))
    lean = math.degrees(math.atan(BALL_MM / hub))
    turn = arc_turn(BALL_MM, radius)
    attack, path = turn * math.sin(plane), turn * math.cos(plane)
    closing = CLOSING_DEG_PER_S * BALL_MM / 1000 / HEAD_SPEED_M_PER_S
    face = (path, max(path, closing))
    least, most = (FACE_SHARE * end + (1 - FACE_SHARE) * path for end in face)
    launch = DYNAMIC_LOFT_SHARE * lean + (1 - DYNAMIC_LOFT_SHARE) * attack
    return PerBall(lean, lean, attack, launch, path, face, (least, most))


def arc_turn(shift_mm: float, radius_m: float) -> float:
    """How far the head's direction turns along its circle when met `shift_mm` from the low point: asin(shift / radius). Raises OffScale."""
    radius = scales.number("swing radius", radius_m, 0.8, 2.5, "m")
    return math.degrees(math.asin(scales.number("shift", shift_mm, -200.0, 200.0, "mm") / 1000 / radius))


def lean_at(position: float, centre_lean_deg: float, hub_mm: float = HUB_MM) -> float:
    """Absolute lean with the ball at a position, arm-shaft angle kept: less lean forward, more back. Raises OffScale."""
    hub = scales.number("hub height", hub_mm, 600.0, 1800.0, "mm")
    return scales.number("lean", centre_lean_deg, -30.0, 45.0, "deg") - math.degrees(math.atan(widths(position) * BALL_MM / hub))


def apex_ratio(launch_deg: float, change_deg: float) -> float:
    """Apex against before when launch changes at the same speed, without lift: sin^2(new launch) / sin^2(old). Raises OffScale."""
    launch = scales.number("launch", launch_deg, *scales.LAUNCH_RANGE, "deg")
    after = scales.number("launch", launch + change_deg, *scales.LAUNCH_RANGE, "deg")
    if launch == 0:
        raise OffScale("launch", "Launch must be over 0.")
    return (math.sin(math.radians(after)) / math.sin(math.radians(launch))) ** 2


def travelled(change_deg: float, share: float) -> float:
    """A change per ball as it shows when the body travels by a share of the ball's move: (1 - share) of it."""
    return (1 - share) * change_deg
