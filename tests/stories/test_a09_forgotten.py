"""A setting keyed four balls late: re-labelled as one act, taken back as one, and on record."""

from pathlib import Path

from tests.conftest import Clock
from tests.stories.player import Player, at_the_tee


def counts(player: Player) -> dict[float | None, int]:
    """Counted balls by grip, as another program reads them."""
    grips = [ball.setup.grip for ball in player.on_disk() if ball.counted]
    return {grip: grips.count(grip) for grip in sorted(set(grips), key=str)}


async def test_a_forgotten_grip_is_put_right_and_can_be_taken_back(tmp_path: Path, clock: Clock) -> None:
    async with at_the_tee(tmp_path / "book.db", clock) as player:
        await player.begin()
        await player.state(1, 30)
        for number in range(9):
            await player.ball("left" if number % 2 else "on line", "solid")
        assert counts(player) == {30.0: 9}
        await player.press("right")
        assert counts(player) == {30.0: 9}, "a setup changed after the ball belongs to the next"
        await player.menu("re-label", "4", "", "", "")
        assert "re-labelled" in player.said()
        assert counts(player) == {30.0: 5, 45.0: 4}
        await player.press("backspace")
        assert counts(player) == {30.0: 9}
        await player.menu("redo")
        assert counts(player) == {30.0: 5, 45.0: 4}
        history = player.book.history(player.on_disk()[-1].id)
        forgot = [edit for edit in history if edit.reason == "forgot"]
        assert [(edit.field, edit.old, edit.new) for edit in forgot] == [("grip", "30.0", "45.0")]
        assert [edit.reason for edit in history if edit.field == "grip"] == ["forgot", "undo", "redo"]


async def test_going_left_is_no_reason_not_to_count(tmp_path: Path, clock: Clock) -> None:
    async with at_the_tee(tmp_path / "book.db", clock) as player:
        await player.begin()
        await player.state(1, 30)
        await player.ball("left", "solid")
        await player.press("o")
        question = player.screen()
        assert "interrupted" in question
        assert "Where the ball went is not a reason" in question
        await player.press("l")
        assert "Because: interrupted" in player.screen(), "left is asked again"
        await player.press("escape")
        assert player.on_disk()[0].counted
