"""Checks of single values that come in from a file: each names the field and what is legal there."""

from typing import Any

from rangelog.core.errors import OffScale


def text(field: str, value: Any) -> str:
    """Text as it stands. Raises OffScale for anything else, for a NUL, or for half a character that no file could hold."""
    if not isinstance(value, str) or "\0" in value:
        raise OffScale(field, f"{field} is text.")
    try:
        value.encode("utf-8")
    except UnicodeEncodeError:
        raise OffScale(field, f"{field} holds half a character.") from None
    return value


def flag(field: str, value: Any) -> bool:
    """true or false, also as 1 or 0. Raises OffScale."""
    if not isinstance(value, bool) and value not in (0, 1):
        raise OffScale(field, f"{field} is true or false.")
    return bool(value)
