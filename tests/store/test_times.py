"""Moments as text that sorts."""

import random
from datetime import UTC, datetime, timedelta, timezone

import pytest

from rangelog.store import times


def test_text_sorts_as_the_moments_do() -> None:
    luck = random.Random(2)
    moments = [datetime(1, 1, 3, tzinfo=UTC) + timedelta(seconds=luck.uniform(0, 3e11)) for _ in range(300)]
    moved = [moment.astimezone(timezone(timedelta(minutes=luck.randrange(-720, 720)))) for moment in moments]
    assert [times.utc_text(moment.isoformat()) for moment in sorted(moved)] == sorted(times.utc_text(moment) for moment in moments)


def test_offsets_are_taken_into_account() -> None:
    assert times.utc_text("2026-05-01T17:00:00+02:00") == "2026-05-01T15:00:00.000000Z"
    assert times.utc_text("2026-05-01T15:00:00Z") == times.utc_text("2026-05-01T15:00:00")


def test_what_comes_later_sorts_later() -> None:
    newest = times.utc_text("2026-05-01T15:00:00Z")
    assert times.after(newest, "1970-01-01T00:00:00Z") == "2026-05-01T15:00:00.000001Z"
    assert times.after(newest, "2026-05-01T15:00:00Z") == "2026-05-01T15:00:00.000001Z"
    assert times.after(newest, "2026-05-01T15:00:01Z") == "2026-05-01T15:00:01.000000Z"
    assert times.after(None, "1970-01-01T00:00:00Z") == "1970-01-01T00:00:00.000000Z"


@pytest.mark.parametrize("text", ["", "yesterday", "2026-13-01T00:00:00", "17:00"])
def test_no_time_is_told(text: str) -> None:
    with pytest.raises(ValueError):
        times.utc_text(text)
