"""Plain three-vectors and rotations about an axis.

Axes at impact: x to the target, y from the ball toward the player, z up. A left-hander uses the same names; nothing changes but the
words left and right. Angles are degrees.
"""

import math

Vector = tuple[float, float, float]

TARGET: Vector = (1.0, 0.0, 0.0)
TOWARD_PLAYER: Vector = (0.0, 1.0, 0.0)
UP: Vector = (0.0, 0.0, 1.0)


def dot(a: Vector, b: Vector) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """Vector product."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def plus(*terms: tuple[float, Vector]) -> Vector:
    """Sum of factor times vector."""
    x, y, z = (sum(factor * vector[axis] for factor, vector in terms) for axis in range(3))
    return (x, y, z)


def unit(a: Vector) -> Vector:
    """The same direction with length 1. Raises ValueError for a vector of no length."""
    length = math.sqrt(dot(a, a))
    if length == 0:
        raise ValueError("A direction needs a length over 0.")
    return (a[0] / length, a[1] / length, a[2] / length)


def turned(a: Vector, axis: Vector, angle_deg: float) -> Vector:
    """`a` turned right-handed about `axis`, by Rodrigues' formula v cos t + (k x v) sin t + k (k.v)(1 - cos t)."""
    k, angle = unit(axis), math.radians(angle_deg)
    return plus((math.cos(angle), a), (math.sin(angle), cross(k, a)), (dot(k, a) * (1 - math.cos(angle)), k))


def angle_deg(a: Vector, b: Vector) -> float:
    """Angle between two directions, 0..180."""
    c = cross(a, b)
    return math.degrees(math.atan2(math.sqrt(dot(c, c)), dot(a, b)))
