"""The one source of ids, unique across laptops, so that books can be brought together."""

from uuid import uuid4


def fresh_id() -> str:
    """An id that no other book will draw."""
    return uuid4().hex
