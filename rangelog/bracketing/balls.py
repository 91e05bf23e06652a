"""One ball as the model sees it, checked at the door and turned to the open side."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.errors import OffScale
from rangelog.core.hand import sign
from rangelog.core.words import Hand, Side, Strike

NEVER_ENTER = frozenset({Strike.TOP, Strike.SHANK})
"""Strikes whose start direction says nothing of the face."""

TWISTED = frozenset({Strike.TOE, Strike.HEEL})
"""Strikes whose start is shifted by the twist of the head; they enter only where the bracket is told so."""


@dataclass(frozen=True, slots=True)
class Ball:
    """One ball. Directions are open-positive.

    Attributes:
        low, high: ends of what was seen, degrees; equal for a number.
        strike: None where it was not seen.
        time: balls hit in the session before this one, of any club.
        enters: whether it takes part in start fits.
    """

    bow: float
    grip: float
    low: float
    high: float
    stick: bool
    position: float
    strike: Strike | None
    time: int
    enters: bool


@dataclass(frozen=True, slots=True)
class Reading:
    """How starts are read: the hand, the edges, and which balls take part."""

    hand: Hand
    window: float
    wide: float
    toe_heel: bool
    fit_position: bool

    def interval(self, start: object) -> tuple[float, float]:
        """Open-positive ends of a class word, a number of degrees (+ = right) or a pair of them, ends infinite at will. Raises OffScale."""
        low: float
        high: float
        if isinstance(start, str):
            side = scales.word("start", start, Side)
            low, high = scales.side_interval(side, self.window, self.wide)
        elif isinstance(start, tuple):
            low, high = (float(end) for end in start)
            if not low < high:
                raise OffScale("start", "Start between two directions runs from the left one to the right one.")
        elif start is None:
            raise OffScale("start", f"Start is a number of degrees or one of: {', '.join(Side)}.")
        else:
            low = scales.start_deg(start)
            high = low
        return (low, high) if sign(self.hand) > 0 else (-high, -low)

    def ball(
        self,
        bow: object,
        grip: object,
        start: object,
        position: object,
        stick: bool,
        strike: object,
        counted: bool,
        touched: bool,
        time: int,
    ) -> Ball:
        """A checked ball. Raises OffScale naming the field and its legal range."""
        low, high = self.interval(start)
        how = None if strike is None or strike == "" else scales.word("strike", strike, Strike)
        place = scales.position(position)
        enters = counted and not touched and how not in NEVER_ENTER
        enters = enters and (self.toe_heel or how not in TWISTED) and (self.fit_position or place == 0)
        return Ball(scales.bow(bow), scales.grip(grip), low, high, bool(stick), place, how, time, enters)


def checked_range(field: str, ends: object, legal: tuple[float, float]) -> tuple[float, float]:
    """An ordered pair inside a legal range. Raises OffScale."""
    if not isinstance(ends, Sequence) or isinstance(ends, str) or len(ends) != 2:
        raise OffScale(field, f"{field.capitalize()} is a pair of numbers from {legal[0]:g} to {legal[1]:g}.")
    first, last = (scales.number(field, end, *legal) for end in ends)
    if first > last:
        raise OffScale(field, f"{field.capitalize()} runs from the lower to the higher end, {legal[0]:g} to {legal[1]:g}.")
    return first, last


def steps(ends: tuple[float, float], parts: int = 2) -> tuple[float, ...]:
    """Every half notch inside a range, or so many parts of a notch; the middle of the range where it holds none."""
    first, last = math.ceil(parts * ends[0]), math.floor(parts * ends[1])
    return tuple(step / parts for step in range(first, last + 1)) or ((ends[0] + ends[1]) / 2,)
