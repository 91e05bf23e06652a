"""Pain: at four the hints end for the day; at three the bow comes down and the grip stays. Nothing is diagnosed."""

from pathlib import Path

import pytest

from rangelog.cli import main
from tests.conftest import Clock
from tests.stories.player import Player, at_the_tee


async def sore(player: Player, level: str) -> None:
    """A wrist limit of bow 2, pain 1 at the start, three balls at bow 2, then the flag."""
    await player.press("enter")
    await player.fill("", "#1", "", "", "28", "", "#2", "2", "", "100")
    await player.fill("", "", "", "", "")
    await player.press("p")
    await player.fill("#1", "1", "#2")
    await player.state(2, 30)
    for side in ("right", "on line", "right"):
        await player.ball(side, "solid")
    await player.press("p")
    await player.fill("#1", level, "#2")


async def test_pain_of_four_ends_the_hints_for_the_session(tmp_path: Path, clock: Clock, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "book.db"
    async with at_the_tee(path, clock) as player:
        await sore(player, "4")
        assert player.hint.words == "Stop for today. Pain 4 (was 1)."
        assert "Stop for today. Pain 4 (was 1)." in player.screen()
        why = await player.why()
        assert "physician or physiotherapist" in why
        assert "no diagnosis" in why
        for side in ("left", "right", "far left", "on line"):
            await player.ball(side, "solid")
            assert player.hint.words == "Stop for today. Pain 4 (was 1).", "no hint for the rest of the session"
            assert player.hint.setting is None
        assert len(player.on_disk()) == 7
    assert main(["--book", str(path), "report"]) == 0
    page = capsys.readouterr().out
    assert "Highest pain: wrist 4 of 10" in page, "the report lists the flag"


async def test_pain_of_three_stops_bow_hints_and_leaves_the_grip(tmp_path: Path, clock: Clock) -> None:
    async with at_the_tee(tmp_path / "book.db", clock) as player:
        await sore(player, "3")
        hint = player.hint
        assert "Nothing above bow 1" in hint.words
        assert "the grip lever stays" in hint.numbers
        assert hint.setting is not None
        assert hint.setting.bow == 1.0
        assert player.view.picture.bow_range[1] <= 2.0
        await player.press("space")
        assert player.view.setup.bow == 1.0
        for number in range(12):
            await player.ball("right", "solid")
            setting = player.hint.setting
            assert setting is None or setting.bow <= 1.0, f"ball {number + 4}"
            assert "extreme" not in player.hint.words
            if setting is not None:
                await player.press("space")
