"""A few kills in every run; the harness beside this file does thousands."""

from pathlib import Path

from tests.harness.kill import run


def test_no_said_ball_is_lost_to_kills_at_random_moments(tmp_path: Path) -> None:
    tally = run(tmp_path / "book.db", count=12, seed=7)
    assert tally.failures == []
    assert tally.rounds == 12
    assert tally.said > 0
    assert tally.unsaid_but_kept <= tally.rounds
