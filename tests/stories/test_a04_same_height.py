"""A ladder of thirty solid balls: the same low height everywhere sends the player to the body, not to the face."""

from pathlib import Path

import numpy as np
import pytest
from scipy.stats import t as student

from tests.conftest import Clock
from tests.stories.player import Player, at_the_tee

SHAPE = np.array([-1.4, -1.0, -0.7, -0.4, -0.1, 0.1, 0.4, 0.7, 1.0, 1.4])
SHAPE = SHAPE / SHAPE.std(ddof=1) * 1.6
"""Invented scatter with a standard deviation of 1.6 deg."""


async def ladder(player: Player, means: dict[float, float]) -> None:
    """Thirty solid balls in the drawn order, each with its launch angle."""
    await player.begin()
    await player.state(1, 30)
    await player.block("ladder", "30")
    left = {position: list(SHAPE + mean) for position, mean in means.items()}
    for _ in range(30):
        launch = left[player.view.setup.position_balls].pop()
        player.clock.wait(seconds=45)
        await player.press("c", "enter")
        await player.type(f"launch {launch:.2f}")
        await player.press("j")


async def test_height_that_stays_low_everywhere_sends_back_to_the_body(tmp_path: Path, clock: Clock) -> None:
    async with at_the_tee(tmp_path / "book.db", clock) as player:
        await ladder(player, {-1.0: 12.1, 0.0: 12.3, 1.0: 12.4})
        balls = player.on_disk()
        back, forward = (np.array([ball.launch_deg for ball in balls if ball.setup.position_balls == place]) for place in (-1.0, 1.0))
        assert len(back) == len(forward) == 10
        error = (back.var(ddof=1) / 10 + forward.var(ddof=1) / 10) ** 0.5
        gap = forward.mean() - back.mean()
        reach = student.ppf(0.95, 18) * error
        assert (gap, gap - reach, gap + reach) == pytest.approx((0.3, -0.9, 1.5), abs=0.05)
        hint = player.hint
        assert hint.words == "Height does not follow ball position, and all is low."
        assert hint.numbers == "Body probably moves ahead about as far as the ball. Back to the body check."
        assert hint.words in player.screen()
        assert hint.holds_face
        assert hint.setting is None
        why = await player.why()
        assert "Forward minus back +0.3 (-0.9..1.5) deg, expected 3.4." in why
        assert "Body travelled about 78 of 85 mm." in why
        for _ in range(3):
            await player.ball("right", "solid")
            assert player.hint.holds_face, "bow and grip hints stay off"


async def test_height_that_follows_is_said_to_follow(tmp_path: Path, clock: Clock) -> None:
    async with at_the_tee(tmp_path / "book.db", clock) as player:
        await ladder(player, {-1.0: 12.1, 0.0: 13.7, 1.0: 15.2})
        assert "Height follows ball position." in player.hint.numbers + player.hint.words
        assert "Height follows" in player.screen()
        assert "Forward minus back +3.1 (1.9..4.3) deg" in await player.why()
        assert player.hint.rule != "body_gate"
