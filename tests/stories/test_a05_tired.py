"""Strike falls before direction: rest is asked for, the face is left alone, no ball is thrown away."""

from pathlib import Path

import pytest
from scipy.stats import fisher_exact

from tests.conftest import Clock
from tests.stories.player import at_the_tee

EARLY = ["solid", "solid", "solid", "thin", "solid", "solid", "solid", "fat", "solid", "solid"] * 4
"""Invented strikes; the first forty hold 29 solid, the last twelve 4."""

LATE = ["fat", "thin", "solid", "fat", "thin", "fat", "solid", "thin", "fat", "solid", "thin", "solid"]


async def test_a_tired_player_is_told_to_rest_with_the_counts(tmp_path: Path, clock: Clock) -> None:
    early = EARLY.copy()
    for at in (9, 19, 29):
        early[at] = "thin"
    assert (early.count("solid"), len(early), LATE.count("solid"), len(LATE)) == (29, 40, 4, 12)
    async with at_the_tee(tmp_path / "book.db", clock) as player:
        await player.begin()
        await player.state(2, 30)
        for number, strike in enumerate(early + LATE):
            await player.ball(("on line", "right", "on line", "left")[number % 4], strike)
        hint = player.hint
        assert hint.rule == "tired"
        assert hint.words == "Rest or stop: 4 of 12 solid, was 29 of 40."
        assert hint.words in player.screen()
        assert hint.holds_face
        assert hint.setting is None
        balls = player.on_disk()
        assert len(balls) == 52
        assert all(ball.counted for ball in balls)
        assert "flagged late" in await player.why()
    # Fisher's exact test, two-sided, by scipy
    assert fisher_exact([[4, 8], [29, 11]]).pvalue == pytest.approx(0.02, abs=0.005)
