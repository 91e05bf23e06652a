"""Counts and sums that every review is made of: small enough that a book of any length fits, and added up by the book itself."""

import math
from collections import Counter
from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass, field
from typing import TypeVar

from rangelog.core import scales
from rangelog.core.ball import NO_DIRECTION, Ball
from rangelog.core.results import Setting
from rangelog.core.words import Height, Side, Strike

Key = TypeVar("Key", bound=Hashable)


@dataclass(slots=True)
class Tally:
    """Balls of one group, added up.

    Attributes:
        n: balls.
        sides: balls by the side that is shown, from the number where there is one.
        classed: balls that have a class only, by that class; these and the numbers are what a fit sees.
        bins: balls with a number, by whole degrees.
        numbers, total, squares: count, sum and sum of squares of the corrected degrees.
        strikes, heights: balls by class; None where it was not keyed.
        launches, launch_total, launch_squares: the same for launch angles.
    """

    n: int = 0
    sides: Counter[Side] = field(default_factory=Counter)
    classed: Counter[Side] = field(default_factory=Counter)
    bins: Counter[int] = field(default_factory=Counter)
    numbers: int = 0
    total: float = 0.0
    squares: float = 0.0
    strikes: Counter[Strike | None] = field(default_factory=Counter)
    heights: Counter[Height | None] = field(default_factory=Counter)
    launches: int = 0
    launch_total: float = 0.0
    launch_squares: float = 0.0

    def add(self, ball: Ball, window_deg: float = scales.DEFAULT_WINDOW_DEG, wide_deg: float = scales.DEFAULT_WIDE_DEG) -> None:
        """Take one ball in. A start that says nothing of the face, or a touch of the grip stick, enters the strikes only."""
        self.n += 1
        self.strikes[ball.strike] += 1
        self.heights[ball.height] += 1
        if ball.launch_deg is not None:
            self.launches += 1
            self.launch_total += ball.launch_deg
            self.launch_squares += ball.launch_deg**2
        if ball.strike in NO_DIRECTION or ball.touched:
            return
        side, start = ball.shown_side(window_deg, wide_deg), ball.corrected_start_deg()
        if side is not None:
            self.sides[side] += 1
        if start is not None:
            self.bins[round(start)] += 1
            self.numbers += 1
            self.total += start
            self.squares += start * start
        elif ball.side is not None:
            self.classed[ball.side] += 1

    def __add__(self, other: "Tally") -> "Tally":
        return Tally(
            self.n + other.n,
            self.sides + other.sides,
            self.classed + other.classed,
            self.bins + other.bins,
            self.numbers + other.numbers,
            self.total + other.total,
            self.squares + other.squares,
            self.strikes + other.strikes,
            self.heights + other.heights,
            self.launches + other.launches,
            self.launch_total + other.launch_total,
            self.launch_squares + other.launch_squares,
        )

    def points(self, window_deg: float, wide_deg: float) -> tuple[tuple[float, int], ...]:
        """Degrees and balls to draw: numbers by whole degrees, a class at the middle of its interval, in order."""
        places: Counter[float] = Counter({float(degrees): n for degrees, n in self.bins.items()})
        for side, n in self.classed.items():
            places[class_middle(side, window_deg, wide_deg)] += n
        return tuple(sorted(places.items()))

    @property
    def seen(self) -> int:
        """Balls whose start enters."""
        return sum(self.sides.values())

    @property
    def on_line(self) -> int:
        return self.sides[Side.ON_LINE]

    @property
    def right(self) -> int:
        return self.sides[Side.RIGHT] + self.sides[Side.FAR_RIGHT]

    @property
    def left(self) -> int:
        return self.sides[Side.LEFT] + self.sides[Side.FAR_LEFT]

    @property
    def solid(self) -> int:
        return self.strikes[Strike.SOLID]

    @property
    def strike_known(self) -> int:
        return sum(count for strike, count in self.strikes.items() if strike is not None)

    @property
    def mean(self) -> float:
        """Mean of the numbers, NaN without any."""
        return self.total / self.numbers if self.numbers else math.nan

    @property
    def sd(self) -> float:
        """Standard deviation of the numbers, NaN for fewer than two."""
        return sample_sd(self.numbers, self.total, self.squares)


def class_middle(side: Side, window_deg: float, wide_deg: float) -> float:
    """Degrees to draw a class at: the middle of its interval; the far classes stand one window beyond the wide edge."""
    far, near = wide_deg + window_deg, (window_deg + wide_deg) / 2
    return {Side.FAR_LEFT: -far, Side.LEFT: -near, Side.ON_LINE: 0.0, Side.RIGHT: near, Side.FAR_RIGHT: far}[side]


def sample_sd(n: int, total: float, squares: float) -> float:
    """Standard deviation (n - 1) from a count, a sum and a sum of squares; NaN for fewer than two, never negative under the root."""
    if n < 2:
        return math.nan
    return math.sqrt(max(0.0, squares - total * total / n) / (n - 1))


def together(tallies: Iterable[Tally]) -> Tally:
    """All of them as one."""
    whole = Tally()
    for each in tallies:
        whole = whole + each
    return whole


def tally(
    balls: Iterable[Ball],
    key: Callable[[Ball], Key | None],
    window_deg: float = scales.DEFAULT_WINDOW_DEG,
    wide_deg: float = scales.DEFAULT_WIDE_DEG,
) -> dict[Key, Tally]:
    """Balls added up by a key; balls whose key is None are left out, and so is what was taken back."""
    groups: dict[Key, Tally] = {}
    for ball in balls:
        group = key(ball)
        if group is None or ball.voided:
            continue
        groups.setdefault(group, Tally()).add(ball, window_deg, wide_deg)
    return groups


def by_setting(ball: Ball) -> Setting | None:
    """The setting of a counted ball at the stock ball position; None for any other."""
    if not ball.counted or ball.setup.position_balls != 0:
        return None
    return ball.setup.setting
