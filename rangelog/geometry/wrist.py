"""Grip against bow: how one bend between forearm and shaft shares itself between bow and sideways angle as the grip turns.

Explanation only: felt bow is counted in notches, and no bow in degrees is ever recommended from here.

Words: `delta` is how far the shaft trails the forearm line in the target plane (butt on the target side is +); `beta`, the set, is
the angle between forearm and shaft seen from down the line (20 to 35 deg at impact, from memory); `grip` is 0 weak .. 90 very strong.
"""

import math
from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.errors import OffScale
from rangelog.geometry.club import Club, FaceMove, between, square, tipped_to_sole
from rangelog.geometry.vectors import Vector, cross, dot, plus, unit

DELTA_RANGE = (-45.0, 45.0)
SET_RANGE = (0.0, 60.0)
TABLE_DELTAS = (5, 10, 15, 20, 25)
TABLE_GRIPS = (0, 15, 30, 45, 60, 75, 90)


@dataclass(frozen=True, slots=True)
class Wrist:
    """Lead wrist at one moment.

    Attributes:
        bow_deg: angle between forearm line and the plane of the hand: bow +, cup -.
        sideways_deg: in-palm angle between forearm line and shaft, thumb side +. How the shaft lies across the palm is unknown per
            player, so only changes of it mean anything.
    """

    bow_deg: float
    sideways_deg: float


def _checked(delta_deg: float, grip_deg: float, set_deg: float) -> tuple[float, float, float]:
    delta = scales.number("arm-shaft angle", delta_deg, *DELTA_RANGE, "deg")
    hinge = scales.number("wrist set", set_deg, *SET_RANGE, "deg")
    return math.radians(delta), math.radians(scales.grip(grip_deg)), math.radians(hinge)


def wrist(delta_deg: float, grip_deg: float, set_deg: float = 0.0) -> Wrist:
    """Bow and sideways angle, exact:

    sin(bow) = cos(grip) sin(delta) cos(set) - sin(grip) sin(set);
    tan(sideways) = (cos(grip) sin(set) + sin(grip) sin(delta) cos(set)) / (cos(delta) cos(set)).

    Assumes the hand fixed on the club, bow about the forearm's hinge and sideways about the hand's normal; forearm roll drops out.
    Always cos(bow) cos(sideways) = cos(delta) cos(set). Raises OffScale for an angle off its scale.
    """
    delta, grip, hinge = _checked(delta_deg, grip_deg, set_deg)
    bow = math.cos(grip) * math.sin(delta) * math.cos(hinge) - math.sin(grip) * math.sin(hinge)
    across = math.cos(grip) * math.sin(hinge) + math.sin(grip) * math.sin(delta) * math.cos(hinge)
    return Wrist(math.degrees(math.asin(bow)), math.degrees(math.atan2(across, math.cos(delta) * math.cos(hinge))))


def wrist_small_angles(delta_deg: float, grip_deg: float, set_deg: float = 0.0) -> Wrist:
    """The same for small angles: bow = delta cos(grip) - set sin(grip), sideways = delta sin(grip) + set cos(grip). Raises OffScale."""
    delta, grip, hinge = _checked(delta_deg, grip_deg, set_deg)
    return Wrist(
        math.degrees(delta * math.cos(grip) - hinge * math.sin(grip)), math.degrees(delta * math.sin(grip) + hinge * math.cos(grip))
    )


def flat_grip(delta_deg: float, set_deg: float) -> float:
    """The grip in degrees at which the wrist measures flat: atan(sin(delta) / tan(set)); 90 without any set. Raises OffScale."""
    delta, _, hinge = _checked(delta_deg, 0.0, set_deg)
    return math.degrees(math.atan2(math.sin(delta) * math.cos(hinge), math.sin(hinge))) if hinge or delta else 90.0


def bow_saved(delta_deg: float, grip_deg: float, set_deg: float = 0.0, stronger_deg: float = 10.0) -> float:
    """Bow in degrees that a stronger grip saves with arm line, shaft line and square face kept. Raises OffScale."""
    return wrist(delta_deg, grip_deg, set_deg).bow_deg - wrist(delta_deg, grip_deg + stronger_deg, set_deg).bow_deg


def planar_table() -> tuple[tuple[Wrist, ...], ...]:
    """Bow and sideways angle without any set, a row for each of TABLE_DELTAS, a column for each of TABLE_GRIPS."""
    return tuple(tuple(wrist(delta, grip) for grip in TABLE_GRIPS) for delta in TABLE_DELTAS)


def camera_factor(delta_deg: float, set_deg: float, lie_deg: float = 62.0) -> float:
    """How many times the true arm-shaft angle a camera exactly face-on reads; a camera off square adds its own degrees.

    Assumes a shaft upright in that view. Raises OffScale for an angle off its scale, or an arm-shaft angle of 0.
    """
    delta, _, hinge = _checked(delta_deg, 0.0, set_deg)
    if delta == 0:
        raise OffScale("arm-shaft angle", "An arm-shaft angle of 0 shows nothing to a camera.")
    club = square(30.0, lie_deg)
    arm = _forearm(club, delta, hinge)
    return math.degrees(math.atan2(arm[0], -arm[2])) / delta_deg


def _forearm(club: Club, delta: float, hinge: float) -> Vector:
    """Down the lead forearm: cos(delta) cos(set) shaft + sin(delta) cos(set) leading - sin(set) outward. Radians."""
    return plus(
        (math.cos(delta) * math.cos(hinge), club.shaft), (math.sin(delta) * math.cos(hinge), club.leading), (-math.sin(hinge), club.outward)
    )


@dataclass(frozen=True, slots=True)
class BowEffect:
    """What one more degree of true bow does to face and loft, by what is held. Physics does not fix it: from slightly open to 1.9 closed.

    Attributes:
        forearm_frozen: the forearm stays in space; the bend lowers loft and closes nothing.
        soled: the same, then tipped so that the sole fits the ground.
        lines_kept: arm line and shaft line kept, the forearm rolls.
        early: bow put in early with the shaft square to the forearm; the twist passes one to one.
    """

    forearm_frozen: FaceMove
    soled: FaceMove
    lines_kept: FaceMove
    early: FaceMove


def bow_effect(
    loft_deg: float, lie_deg: float, lean_deg: float, delta_deg: float, grip_deg: float, set_deg: float, step_deg: float = 1.0
) -> BowEffect:
    """Face and loft moved by `step_deg` more bow, from a square club, by rigid-body rotation.

    Raises OffScale for an angle off its scale, or a bow that turning about the shaft cannot reach.
    """
    delta, grip, hinge = _checked(delta_deg, grip_deg, set_deg)
    step = scales.number("step", step_deg, -5.0, 5.0, "deg")
    club = square(loft_deg, lie_deg, lean_deg)
    arm = _forearm(club, delta, hinge)
    back_of_hand = plus((math.cos(grip), club.leading), (math.sin(grip), club.outward))
    frozen = club.turned(unit(cross(back_of_hand, arm)), step)
    # turning the club about its shaft turns the hand with it: bow(turn) = asin(radius * cos(turn - phase))
    across = plus((-math.sin(grip), club.leading), (math.cos(grip), club.outward))
    along_n, along_p = dot(arm, back_of_hand), dot(arm, across)
    radius, wanted = math.hypot(along_n, along_p), math.sin(math.asin(along_n) + math.radians(step))
    if abs(wanted) >= radius:
        raise OffScale("bow", "This wrist is at the end of what turning the club can bow.")
    phase = math.atan2(along_p, along_n)
    turn = phase + math.acos(wanted / radius) if phase < 0 else phase - math.acos(wanted / radius)
    rolled = club.turned(cross(club.leading, club.outward), math.degrees(turn))
    lie = math.radians(lie_deg)
    return BowEffect(
        between(club, frozen),
        between(club, tipped_to_sole(frozen, club)),
        between(club, rolled),
        FaceMove(step * math.sin(lie), -step * math.cos(lie)),
    )
