"""Parts that several forms share: the legal ends of numbers, words as options."""

from collections.abc import Sequence
from typing import TypedDict

from rangelog.core import scales


class Span(TypedDict):
    """Legal ends of a number."""

    low: float
    high: float


BOW = Span(low=scales.BOW_RANGE[0], high=scales.BOW_RANGE[1])
GRIP = Span(low=scales.GRIP_RANGE[0], high=scales.GRIP_RANGE[1])
POSITION = Span(low=scales.POSITION_RANGE[0], high=scales.POSITION_RANGE[1])
LOFT = Span(low=scales.LOFT_RANGE[0], high=scales.LOFT_RANGE[1])


def options(values: Sequence[str]) -> tuple[tuple[str, str], ...]:
    """Words as the options of a choice."""
    return tuple((str(value), str(value)) for value in values)


def half_notch(value: object) -> object:
    """A bow in half notches, or none. Raises OffScale."""
    return None if value is None else scales.bow(value)
