"""One thing at a time: club, bow and grip together start a new set, and the first club's fit does not move by a digit."""

from pathlib import Path

import pytest

from rangelog.cli import main
from tests.conftest import Clock
from tests.stories.player import at_the_tee


async def test_a_new_club_starts_a_set_and_leaves_the_other_alone(tmp_path: Path, clock: Clock) -> None:
    async with at_the_tee(tmp_path / "book.db", clock, size=(120, 36)) as player:
        await player.begin()
        for bow, starts in ((0, (5.0, 4.0, 6.0)), (4, (-4.0, -5.0, -3.0)), (2, (0.5, 1.0, -1.0))):
            await player.state(bow, 30)
            await player.starts(starts, "solid")
        before = player.view
        await player.menu("change club", "#2", "long iron", "34")
        await player.state(3, 45)
        for _ in range(6):
            await player.ball("left", "solid")
        hint = player.hint
        assert hint.words == "Club, bow and grip all changed: these 6 start a new set."
        assert hint.words in player.screen()
        assert "6 balls, one setting: no effect known" in hint.numbers
        assert "34" in hint.numbers
        await player.menu("change club", "#1")
        await player.state(2, 30)
        after = player.view
        assert before.picture.crossing is not None
        assert after.picture.crossing == before.picture.crossing
        assert after.share_at_crossing == before.share_at_crossing
        assert after.picture.marks[:9] == tuple(after.picture.marks[:9])
        assert len(after.picture.marks) == 9


def test_the_gate_question_is_answered_at_the_prompt(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["gate", "--width", "0.5", "--distance", "3"]) == 0
    assert "clears +-4.4 deg, wider than your +-2 window; for +-2 use 0.25 m" in capsys.readouterr().out
