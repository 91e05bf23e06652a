"""Where a ball starts between face and path.

First principles: a free head strikes a uniform sphere that leaves in pure rolling (no slip left, no springiness along the face). The
published share of the face for the horizontal start is 61 to 83 % (Wood, Henrikson and Broadie 2018, Proceedings 2(6), 249).
"""

import math

from rangelog.core import scales
from rangelog.core.errors import OffScale

FACE_SHARE_RANGE = (0.61, 0.83)
USUAL_FACE_SHARE = 0.75
HEAD_KG = 0.200
BALL_KG = 0.0459
RESTITUTION = 0.78
SPHERE = 0.4
"""Moment of inertia of a uniform sphere over mass and radius squared."""


def off_normal_deg(oblique_deg: float, restitution: float = RESTITUTION, head_kg: float = HEAD_KG, ball_kg: float = BALL_KG) -> float:
    """Angle between the ball's start and the face normal when the head comes in `oblique_deg` off that normal.

    v_n = (1 + e) M / (M + m) cos a; v_t = (mt / m) sin a with mt = 1 / ((1 + 1 / 0.4) / m + 1 / M); the angle is atan2(v_t, v_n).

    Raises:
        OffScale: an obliqueness outside 0..85 deg, a restitution outside 0..1, or a mass not over 0.
    """
    oblique = math.radians(scales.number("obliqueness", oblique_deg, 0.0, 85.0, "deg"))
    bounce = scales.number("restitution", restitution, 0.0, 1.0)
    if not (head_kg > 0 and ball_kg > 0):
        raise OffScale("mass", "Mass must be over 0.")
    # an endlessly heavy head is the massive-plate limit, where M / (M + m) is 1
    normal = (1 + bounce) / (1 + ball_kg / head_kg) * math.cos(oblique)
    tangential = 1 / ((1 + 1 / SPHERE) + ball_kg / head_kg) * math.sin(oblique)
    return math.degrees(math.atan2(tangential, normal))


def face_share(oblique_deg: float, restitution: float = RESTITUTION, head_kg: float = HEAD_KG, ball_kg: float = BALL_KG) -> float:
    """Share of the start direction that the face owns: 1 - off-normal angle / obliqueness. Raises OffScale, at obliqueness 0 too."""
    if oblique_deg == 0:
        raise OffScale("obliqueness", "Obliqueness must be over 0.")
    return 1 - off_normal_deg(oblique_deg, restitution, head_kg, ball_kg) / oblique_deg


def start_deg(face_deg: float, path_deg: float, share: float = USUAL_FACE_SHARE) -> float:
    """Start direction from face and path, same sign convention for all three: share * face + (1 - share) * path.

    Raises:
        OffScale: a share outside the published 0.61..0.83, or an angle outside -45..45.
    """
    weight = scales.number("face share", share, *FACE_SHARE_RANGE)
    face = scales.number("face", face_deg, *scales.START_RANGE, "deg")
    return weight * face + (1 - weight) * scales.number("path", path_deg, *scales.START_RANGE, "deg")
