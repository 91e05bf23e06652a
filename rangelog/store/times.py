"""Instants as text that sorts: UTC, microseconds, one length."""

from datetime import UTC, datetime, timedelta

_FORM = "%Y-%m-%dT%H:%M:%S.%fZ"
_TICK = timedelta(microseconds=1)


def instant(at: str) -> datetime:
    """The moment of an ISO 8601 text; without an offset it is taken as UTC. Raises ValueError."""
    moment = datetime.fromisoformat(at)
    return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)


def utc_text(at: str | datetime) -> str:
    """Sorting text of a moment. Raises ValueError where it is no time."""
    moment = instant(at) if isinstance(at, str) else instant(at.isoformat())
    # strftime drops leading zeros of years before 1000 on some systems, so the year is written by hand
    return f"{moment.year:04d}{moment.strftime(_FORM[2:])}"


def after(newest: str | None, at: str | datetime) -> str:
    """Sorting text of `at`, moved just past `newest` where the clock stands at or before it.

    Keeps what happened later sorted later even when a clock was set back: a hybrid of clock and counter.
    """
    mine = utc_text(at)
    if newest is None or mine > newest:
        return mine
    return utc_text(instant(newest.replace("Z", "+00:00")) + _TICK)
