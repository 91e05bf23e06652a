"""Legal ranges, and the checks at the door: every number that enters passes through here."""

import math
from collections.abc import Iterable
from enum import StrEnum
from typing import TypeVar

from rangelog.core.errors import OffScale
from rangelog.core.words import Side

BOW_RANGE = (-2.0, 5.0)
"""Notches of felt bow: -2 the most cup with the grip stick still clear of the arm, 5 the most held comfortably."""

GRIP_RANGE = (-15.0, 90.0)
"""Degrees of lead-hand grip: 0 weak, 30 neutral, 60 strong, 90 very strong."""

GRIP_STEP_DEG = 15.0
POSITION_RANGE = (-3.0, 3.0)
"""Ball widths from the club's stock position, + toward the target."""

POSITION_STEP = 0.25
START_RANGE = (-45.0, 45.0)
"""Degrees a start direction may have (common practice, no source)."""

START_DOUBTFUL_DEG = 30.0
LAUNCH_RANGE = (0.0, 75.0)
APEX_RANGE = (0.0, 80.0)
LOFT_RANGE = (5.0, 70.0)
PAIN_RANGE = (0, 10)
COMFORT_RANGE = (1, 5)
DEFAULT_WINDOW_DEG = 2.0
DEFAULT_WIDE_DEG = 6.0
BALL_DIAMETER_MM = 42.67
"""Rules of Golf 2016, Appendix III: not less than 1.680 in."""

Word = TypeVar("Word", bound=StrEnum)


def number(field: str, value: object, low: float, high: float, unit: str = "") -> float:
    """A finite number inside [low, high].

    Raises:
        OffScale: names the field and the legal range.
    """
    legal = f"{field.capitalize()} runs {low:g} to {high:g}{' ' + unit if unit else ''}."
    if isinstance(value, (bool, str, bytes)):
        raise OffScale(field, legal)
    try:
        checked = float(value)  # type: ignore[arg-type]
    except (TypeError, ValueError):
        raise OffScale(field, legal) from None
    if not math.isfinite(checked) or not low <= checked <= high:
        raise OffScale(field, legal)
    return checked


def bow(value: object) -> float:
    """A bow in notches, half notches allowed. Raises OffScale."""
    checked = number("bow", value, *BOW_RANGE)
    if (checked * 2) % 1:
        raise OffScale("bow", "Bow runs -2 to 5 in half notches.")
    return checked


def grip(value: object) -> float:
    """A lead-hand grip in degrees. Raises OffScale."""
    return number("grip", value, *GRIP_RANGE, "deg")


def position(value: object) -> float:
    """A ball position in ball widths, quarter steps. Raises OffScale."""
    checked = number("ball position", value, *POSITION_RANGE, "ball widths")
    if (checked * 4) % 1:
        raise OffScale("ball position", "Ball position runs -3 to 3 ball widths in quarter steps.")
    return checked


def start_deg(value: object) -> float:
    """A start direction in degrees, + = right of the line. Raises OffScale."""
    return number("start", value, *START_RANGE, "deg")


def word(field: str, value: object, kind: type[Word], choices: Iterable[Word] | None = None) -> Word:
    """One of a closed vocabulary. Raises OffScale naming the legal words."""
    legal = tuple(choices) if choices is not None else tuple(kind)
    for choice in legal:
        if choice == value:
            return choice
    raise OffScale(field, f"{field.capitalize()} is one of: {', '.join(legal)}.")


def side_of(start: float, window_deg: float = DEFAULT_WINDOW_DEG, wide_deg: float = DEFAULT_WIDE_DEG) -> Side:
    """Class of a start direction in degrees; the window and the wide edge themselves belong to the inner class."""
    if abs(start) <= window_deg:
        return Side.ON_LINE
    if start > 0:
        return Side.RIGHT if start <= wide_deg else Side.FAR_RIGHT
    return Side.LEFT if start >= -wide_deg else Side.FAR_LEFT


def side_interval(side: Side, window_deg: float = DEFAULT_WINDOW_DEG, wide_deg: float = DEFAULT_WIDE_DEG) -> tuple[float, float]:
    """Interval of degrees (low, high) that a class stands for, + = right; the outer ends are infinite."""
    return {
        Side.FAR_LEFT: (-math.inf, -wide_deg),
        Side.LEFT: (-wide_deg, -window_deg),
        Side.ON_LINE: (-window_deg, window_deg),
        Side.RIGHT: (window_deg, wide_deg),
        Side.FAR_RIGHT: (wide_deg, math.inf),
    }[Side(side)]
