"""Checks of single values that come in from a file: each names the field and what is legal there."""

import json
import math
from collections.abc import Callable
from datetime import datetime
from enum import StrEnum
from typing import Any

from rangelog.core import scales
from rangelog.core.errors import OffScale

Reader = Callable[[str, Any], Any]
"""(field, value) -> the value as the book stores it; raises OffScale naming the field."""


def text(field: str, value: Any) -> str:
    """Text as it stands. Raises OffScale for anything else, for a NUL, or for half a character that no file could hold."""
    if not isinstance(value, str) or "\0" in value:
        raise OffScale(field, f"{field} is text.")
    try:
        value.encode("utf-8")
    except UnicodeEncodeError:
        raise OffScale(field, f"{field} holds half a character.") from None
    return value


def name(field: str, value: Any) -> str:
    """Text that is not empty, such as an id. Raises OffScale."""
    if not text(field, value):
        raise OffScale(field, f"{field} is missing.")
    return str(value)


def flag(field: str, value: Any) -> int:
    """true or false, stored as 1 or 0. Raises OffScale."""
    if not isinstance(value, bool) and value not in (0, 1):
        raise OffScale(field, f"{field} is true or false.")
    return int(value)


def whole(low: int, high: int) -> Reader:
    """Reader of a whole number inside [low, high]."""

    def read(field: str, value: Any) -> int:
        checked = scales.number(field, value, low, high)
        if checked % 1:
            raise OffScale(field, f"{field} is a whole number.")
        return int(checked)

    return read


def number(low: float = -math.inf, high: float = math.inf, unit: str = "", step: float = 0.0) -> Reader:
    """Reader of a finite number inside [low, high], in whole steps where a step is given."""

    def read(field: str, value: Any) -> float:
        checked = scales.number(field, value, low, high, unit)
        if step and (checked / step) % 1:
            raise OffScale(field, f"{field} goes in steps of {step:g}.")
        return checked

    return read


def word(kind: type[StrEnum]) -> Reader:
    """Reader of one of a closed vocabulary."""
    return lambda field, value: str(scales.word(field, value, kind))


def moment(field: str, value: Any) -> str:
    """A local time, ISO 8601, kept as written. Raises OffScale."""
    try:
        datetime.fromisoformat(name(field, value))
    except ValueError:
        raise OffScale(field, f"{field} is a time like 2026-05-04T17:42:00+02:00.") from None
    return str(value)


def json_text(field: str, value: Any) -> str:
    """JSON text, kept as written. Raises OffScale."""
    try:
        json.loads(text(field, value))
    except (ValueError, RecursionError):
        raise OffScale(field, f"{field} is JSON text.") from None
    return str(value)


def optional(reader: Reader) -> Reader:
    """The same reader with null, or empty text, allowed and stored as null."""
    return lambda field, value: None if value is None or value == "" else reader(field, value)
