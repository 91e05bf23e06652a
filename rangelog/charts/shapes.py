"""What is drawn, before anything says how: plain frozen records of numbers and words."""

import math
from collections import Counter
from collections.abc import Iterable, Sequence
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


@dataclass(frozen=True, slots=True)
class BandPoint:
    """The straight line at one grip: the bow, and the ends of its band, infinite where the balls cannot tell."""

    grip: float
    bow: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Bar:
    """One mean with its interval, such as a session; infinite ends are not drawn."""

    label: str
    mean: float
    low: float
    high: float

    @property
    def known(self) -> bool:
        """Whether both ends can be drawn."""
        return math.isfinite(self.low) and math.isfinite(self.high)


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


NOTHING = "No balls to draw."


def binned(values: Iterable[float], width: float = 1.0) -> tuple[tuple[float, int], ...]:
    """Degrees counted into bins of a width, centred on its multiples: what is drawn never grows with the number of balls."""
    counts = Counter(round(value / width) for value in values)
    return tuple((place * width, counts[place]) for place in sorted(counts))


def reach(values: Iterable[float], least: float) -> float:
    """Half-width of an axis around the line that shows every finite value, at least `least`, in whole degrees."""
    farthest = max((abs(value) for value in values if math.isfinite(value)), default=0.0)
    return float(math.ceil(max(farthest, least)))


def thinned(labels: Sequence[str], most: int) -> list[int]:
    """Which of many places to label: at most `most`, evenly, the last one always among them."""
    n = len(labels)
    if n <= most:
        return list(range(n))
    step = math.ceil(n / most)
    return sorted({*range(0, n - step // 2, step), n - 1})
