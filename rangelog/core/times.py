"""The one place that asks the clock; everything else has its time handed in."""

from datetime import datetime


def local_now() -> datetime:
    """Now, with the offset of this place."""
    return datetime.now().astimezone()
