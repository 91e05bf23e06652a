"""The club at impact as three directions: the shaft, where the leading edge faces, and the face itself."""

import math
from dataclasses import dataclass

from rangelog.core import scales
from rangelog.geometry.vectors import TARGET, TOWARD_PLAYER, Vector, turned

LIE_RANGE = (50.0, 80.0)
LEAN_RANGE = (-30.0, 45.0)


@dataclass(frozen=True, slots=True)
class Club:
    """A club with a square leading edge, its shaft leaned toward the target by turning about the line across the target line.

    Attributes:
        shaft: down the shaft.
        leading: perpendicular to the shaft, where the leading edge faces.
        outward: perpendicular to both, out and up.
        face: normal of the face.
    """

    shaft: Vector
    leading: Vector
    outward: Vector
    face: Vector

    def turned(self, axis: Vector, angle_deg: float) -> "Club":
        """The whole club turned about an axis."""
        return Club(*(turned(part, axis, angle_deg) for part in (self.shaft, self.leading, self.outward, self.face)))

    @property
    def closed_deg(self) -> float:
        """How far the face looks toward the player's side of the target line: + = closed."""
        return math.degrees(math.atan2(self.face[1], self.face[0]))

    @property
    def loft_deg(self) -> float:
        """Angle of the face normal above the ground: the dynamic loft."""
        return math.degrees(math.asin(self.face[2]))


@dataclass(frozen=True, slots=True)
class FaceMove:
    """What a move did to the face.

    Attributes:
        closing_deg: + closes, - opens.
        loft_deg: + adds loft, - takes it away.
    """

    closing_deg: float
    loft_deg: float


def between(before: Club, after: Club) -> FaceMove:
    """The move of the face from one club to another."""
    return FaceMove(after.closed_deg - before.closed_deg, after.loft_deg - before.loft_deg)


def square(loft_deg: float, lie_deg: float, lean_deg: float = 0.0) -> Club:
    """A club soled with a square face and leaned without twist about the line across the target line, so it stays square.

    Assumes a straight, rigid shaft. Raises OffScale for a loft outside 5..70, a lie outside 50..80 or a lean outside -30..45.
    """
    loft = math.radians(scales.number("static loft", loft_deg, *scales.LOFT_RANGE, "deg"))
    lie = math.radians(scales.number("lie", lie_deg, *LIE_RANGE, "deg"))
    lean = scales.number("lean", lean_deg, *LEAN_RANGE, "deg")
    upright = Club(
        (0.0, -math.cos(lie), -math.sin(lie)),
        TARGET,
        (0.0, -math.sin(lie), math.cos(lie)),
        (math.cos(loft), 0.0, math.sin(loft)),
    )
    return upright.turned(TOWARD_PLAYER, lean)


def tipped_to_sole(club: Club, like: Club) -> Club:
    """The club tipped about the target line until its shaft stands as steep as another's, as when the sole finds the ground."""
    tip = math.atan2(club.shaft[1], club.shaft[2]) - math.atan2(like.shaft[1], like.shaft[2])
    return club.turned(TARGET, math.degrees(tip))
