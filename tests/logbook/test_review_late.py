"""Ends of sessions at which strike fell."""

import pytest
from scipy import stats

from rangelog.core.ball import Ball
from rangelog.core.setup import Setup
from rangelog.core.words import Strike
from rangelog.logbook.review_late import tired_ends


def session(name: str, strikes: str) -> list[Ball]:
    """Balls of one session: s solid, t thin, - not keyed, v voided and thin."""
    kinds = {"s": Strike.SOLID, "t": Strike.THIN, "-": None, "v": Strike.THIN}
    return [
        Ball(f"{name}{at}", name, at, "2026-05-04T17:00:00+02:00", Setup(0.0, 30.0), strike=kinds[letter], voided=letter == "v")
        for at, letter in enumerate(strikes, start=1)
    ]


def test_the_tired_story_is_found_with_its_counts() -> None:
    (end,) = tired_ends(session("tired", "s" * 29 + "t" * 11 + "ssss" + "t" * 8))
    assert (end.late.hits, end.late.n, end.before.hits, end.before.n) == (4, 12, 29, 40)
    # Fisher's exact test by scipy
    assert end.p == pytest.approx(stats.fisher_exact([[4, 8], [29, 11]]).pvalue)
    assert end.ball_ids == tuple(f"tired{at}" for at in range(41, 53))


@pytest.mark.parametrize("strikes", ["", "s" * 12, "s" * 60, "t" * 30 + "s" * 12, "s" * 20 + "-" * 12, "s" * 30 + "v" * 12])
def test_nothing_is_said_of_a_session_that_did_not_fall_off(strikes: str) -> None:
    assert tired_ends(session("a", strikes)) == ()


def test_balls_without_a_strike_after_the_first_late_one_are_late_too() -> None:
    (end,) = tired_ends(session("a", "s" * 30 + "t-" * 12))
    assert end.ball_ids == tuple(f"a{at}" for at in range(31, 55))
