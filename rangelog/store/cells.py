"""One cell at a time: from a record to the file, and back with every value checked.

A cell that does not fit raises ValueError naming the column, so that a hand-edited row is listed and never guessed at.
"""

import json
import math
from enum import StrEnum
from typing import Any, TypeVar

from rangelog.core.errors import OffScale

Word = TypeVar("Word", bound=StrEnum)


def clean(text: str) -> str:
    """Text that can stand in a UTF-8 file: lone surrogates become the replacement character, NUL is left out."""
    if text.isascii() and "\0" not in text:
        return text
    return text.encode("utf-8", "replace").decode("utf-8").replace("\0", "")


def blank(text: str) -> str | None:
    """Empty text is stored as NULL."""
    return (clean(text) or None) if text else None


def finite(column: str, value: float | None) -> float | None:
    """A number that is one; SQLite would turn NaN into NULL without a word. Raises OffScale."""
    if value is None:
        return None
    if not math.isfinite(value):
        raise OffScale(column, f"{column} is not a finite number.")
    return float(value)


def text(column: str, value: object) -> str:
    """A text cell that may not be NULL. What was no UTF-8 in the file stands in it as lone surrogates, and does not fit."""
    if not isinstance(value, str):
        raise ValueError(f"{column}: text expected")
    encodable(column, value)
    return value


def encodable(column: str, value: str) -> None:
    """Text that can be written again. Raises ValueError where a cell held what is no UTF-8."""
    if not value.isascii():
        try:
            value.encode()
        except UnicodeEncodeError:
            raise ValueError(f"{column}: not UTF-8") from None


def optional_text(column: str, value: object) -> str:
    """A text cell where NULL stands for empty."""
    return "" if value is None else text(column, value)


def number(column: str, value: object, low: float = -math.inf, high: float = math.inf) -> float:
    """A finite number inside [low, high]."""
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value) or not low <= value <= high:
        raise ValueError(f"{column}: {value!r} is not a number from {low:g} to {high:g}")
    return float(value)


def optional_number(column: str, value: object, low: float = -math.inf, high: float = math.inf) -> float | None:
    """A number, or None for NULL."""
    return None if value is None else number(column, value, low, high)


def whole(column: str, value: object, low: int, high: int = 2**63 - 1) -> int:
    """A whole number inside [low, high]."""
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise ValueError(f"{column}: {value!r} is not a whole number from {low} to {high}")
    return value


def flag(column: str, value: object) -> bool:
    """0 or 1."""
    if value is True or value is False or value == 0 or value == 1:
        return bool(value)
    raise ValueError(f"{column}: {value!r} is not 0 or 1")


def word(column: str, value: object, kind: type[Word]) -> Word:
    """One of a closed vocabulary."""
    try:
        return kind(text(column, value))
    except ValueError:
        raise ValueError(f"{column}: {value!r} is not one of {', '.join(kind)}") from None


def optional_word(column: str, value: object, kind: type[Word]) -> Word | None:
    """A word, or None for NULL."""
    return None if value is None else word(column, value, kind)


def to_json(value: object) -> str:
    """Plain JSON text; one spelling per value, so that equal values compare equal. Raises OffScale for what JSON cannot hold."""
    try:
        return clean(json.dumps(value, ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":")))
    except (TypeError, ValueError) as error:
        raise OffScale("value", f"The value cannot be kept: {error}.") from None


def from_json(column: str, value: object) -> Any:
    """The value of a JSON cell."""
    try:
        return json.loads(text(column, value))
    except json.JSONDecodeError as error:
        raise ValueError(f"{column}: no JSON ({error.msg})") from None
    except RecursionError:
        raise ValueError(f"{column}: JSON too deep to be read") from None
