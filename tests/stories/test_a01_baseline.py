"""A baseline of ten balls in classes: what it says, with intervals, and no bow recommended."""

from pathlib import Path

import pytest

from rangelog.bracketing.maximum_likelihood import fit_mean
from rangelog.core.scales import side_interval
from tests.conftest import Clock
from tests.stories.player import at_the_tee

BALLS = (
    ("far right", "solid"), ("right", "solid"), ("on line", "thin"), ("right", "solid"), ("left", "fat"), ("on line", "solid"),
    ("right", "solid"), ("right", "thin"), ("on line", "solid"), ("right", "solid"),
)  # fmt: skip
"""Invented: 1 far right, 5 right, 3 on line, 1 left; 7 solid, 2 thin, 1 fat."""


async def test_a_baseline_is_told_with_intervals_and_no_bow(tmp_path: Path, clock: Clock) -> None:
    async with at_the_tee(tmp_path / "book.db", clock, size=(120, 36)) as player:
        await player.begin()
        await player.state(0, 30)
        await player.block("baseline")
        for side, strike in BALLS:
            await player.ball(side, strike)
        hint = player.hint
        told = "10 counted. On line 3 of 10 (11-60 %). Right 6, left 1. Solid 7 of 10."
        assert hint.numbers == told
        assert all(part in player.screen() for part in ("10 counted. On line 3 of", "10 (11-60 %). Right 6,", "left 1. Solid 7 of 10."))
        assert hint.words.endswith("Extremes first: least bow, 4 balls.")
        assert "BOW 1" not in hint.action
        assert hint.setting is None or hint.setting.bow == 0.0, "the least bow is no recommendation, it is the next extreme"
        why = await player.why()
        assert told in why
        assert "Mean start +2.4 +-1.7 (from classes)" in why
        assert [(ball.side, ball.strike, ball.counted, ball.start_deg) for ball in player.on_disk()] == [
            (side, strike, True, None) for side, strike in BALLS
        ]
        fitted = fit_mean([side_interval(ball.side) for ball in player.on_disk() if ball.side])
        assert fitted is not None
        assert fitted == pytest.approx((2.4, 1.0, 3.0), abs=0.1)
