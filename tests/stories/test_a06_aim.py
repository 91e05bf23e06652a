"""Every setting starts to one side: the aim line is looked at before the wrists, and a correction can be taken back whole."""

from pathlib import Path

import numpy as np
import pytest

from tests.conftest import Clock
from tests.stories.player import at_the_tee

MEANS = {-1: 7.4, 0: 6.4, 1: 6.0, 2: 5.6, 3: 4.6}
AROUND = (-1.5, 0.5, 1.5, -0.5)
"""Invented: four balls around each mean, none of which is noise of a single ball."""


def without_echo(screen: str) -> list[str]:
    """The screen without the answer to the last key."""
    return [line for line in screen.splitlines() if not line.startswith(("  Ball 20", "  Taken back"))]


async def test_an_aim_error_is_named_corrected_and_taken_back(tmp_path: Path, clock: Clock) -> None:
    async with at_the_tee(tmp_path / "book.db", clock, size=(120, 36)) as player:
        await player.begin()
        strikes = iter(["solid"] * 5 + ["thin"] + ["solid"] * 5 + ["fat"] + ["solid"] * 5 + ["thin"] + ["solid"] * 2)
        for bow, mean in MEANS.items():
            await player.state(bow, 30)
            for off in AROUND:
                await player.ball("right" if mean + off <= 6 else "far right", next(strikes), f"{mean + off:.1f}R")
        bows = np.repeat(list(MEANS), 4)
        starts = [ball.start_deg for ball in player.on_disk()]
        slope, level = np.polyfit(bows, starts, 1)
        assert (slope, -level / slope) == pytest.approx((-0.64, 10.4), abs=0.05)
        hint = player.hint
        assert hint.words == "All settings start about 6 right; bow moves it little. Check the aim line."
        assert hint.words in player.screen()
        assert "solid 17 of 20" in hint.numbers
        before, first, stored = player.screen(), player.view, player.on_disk()
        # the line pointed 5 deg left of the target: 0.26 m at 3 m, by trigonometry
        assert 3 * np.tan(np.radians(5)) == pytest.approx(0.26, abs=0.005)
        await player.menu("correct the aim", "5", "#1")
        after = player.on_disk()
        assert [ball.start_deg for ball in after] == starts, "raw values stay"
        assert {ball.aim_correction_deg for ball in after} == {5.0}
        assert np.mean([ball.corrected_start_deg() for ball in after]) == pytest.approx(1.0)
        assert "corrected" in player.screen()
        assert player.hint.rule != "aim"
        await player.press("backspace")
        assert player.on_disk() == stored
        assert player.view.picture == first.picture
        assert player.hint == first.hint
        assert without_echo(player.screen()) == without_echo(before)
