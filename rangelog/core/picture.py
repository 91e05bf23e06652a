"""What a picture shows, before anything says how it is drawn: plain frozen records of numbers and words.

A review makes them, a chart draws them; neither needs to know the other.
"""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Strip:
    """The starts of one group of balls.

    Attributes:
        label: what the group is.
        points: (degrees, balls) pairs, + = right of the line.
        mean, low, high: mean start and ends of its interval; NaN or infinite where the balls cannot tell.
    """

    label: str
    points: tuple[tuple[float, int], ...] = ()
    mean: float = math.nan
    low: float = -math.inf
    high: float = math.inf

    @property
    def n(self) -> int:
        return sum(count for _, count in self.points)


@dataclass(frozen=True, slots=True)
class Spot:
    """One setting on the map: where it starts the ball, in degrees, and from how many balls."""

    bow: float
    grip: float
    mean: float
    n: int


class _Ends:
    """What has a low and a high end."""

    __slots__ = ()
    low: float
    high: float

    @property
    def known(self) -> bool:
        """Whether both ends are finite."""
        return math.isfinite(self.low) and math.isfinite(self.high)


@dataclass(frozen=True, slots=True)
class BandPoint(_Ends):
    """The straight line at one grip: the bow that starts the ball on line, and its 90 % band, infinite where the balls cannot tell."""

    grip: float
    bow: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Bar(_Ends):
    """One mean with its interval, such as a session; infinite ends are not drawn."""

    label: str
    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Run:
    """A course along ball numbers.

    Attributes:
        at: ball numbers, ascending.
        values: one value for each.
        running: its running mean; empty for none.
    """

    at: tuple[int, ...] = ()
    values: tuple[float, ...] = ()
    running: tuple[float, ...] = ()
