"""Two settings start on line: direction cannot tell them apart, strike and comfort can, and fresh balls must confirm."""

from pathlib import Path

import pytest
from scipy.stats import fisher_exact

from rangelog.core.flight import Flight
from rangelog.core.results import Setting
from rangelog.core.words import Side
from rangelog.logbook import Logbook
from tests.conftest import Clock
from tests.stories.player import at_the_tee

A, B = Setting(2.0, 30.0), Setting(1.0, 45.0)
ON_LINE = {A: [True] * 14 + [False] * 6, B: [True] * 15 + [False] * 5}
SOLID = {A: [True, False] * 10, B: [False] * 2 + [True] * 18}
COMFORT = {A: 3, B: 4}


def bracketed_before(path: Path, clock: Clock) -> None:
    """Earlier in the same visit, invented: both crossings were found, then came a break."""
    with Logbook.open(path, now=clock) as book:
        book.first_start(loft_deg=28.0, ball_cap=100)
        book.start_session()
        book.start_block("baseline")
        for grip, level, bow in ((30, 5.0, 0), (30, 5.0, 0), (30, 5.0, 4), (30, 5.0, 2), (45, 2.5, 0), (45, 2.5, 3), (45, 2.5, 1)):
            book.set_setup(bow=bow, grip=grip)
            for off in (-0.6, 0.2, 0.4, 0.1, -0.1):
                clock.wait(seconds=45)
                start = level - 2.5 * bow + off
                book.hit(Flight(Side.RIGHT if start > 0 else Side.LEFT))
                book.number(f"{start:+.1f}")
        book.load_model()
        assert book.view().picture.crossing is not None
    clock.wait(minutes=15)


async def test_strike_and_comfort_choose_where_direction_cannot(tmp_path: Path, clock: Clock) -> None:
    path = tmp_path / "book.db"
    bracketed_before(path, clock)
    async with at_the_tee(path, clock, size=(120, 36)) as player:
        await player.block("choose", "40")
        left = {setting: list(zip(ON_LINE[setting], SOLID[setting], strict=True)) for setting in (A, B)}
        for _ in range(40):
            setting = player.view.setup.setting
            assert setting in left
            on_line, solid = left[setting].pop()
            await player.ball("on line" if on_line else "right", "solid" if solid else "thin")
            if len(left[setting]) == 10:
                await player.menu("comfort", f"#{COMFORT[setting]}")
        hint = player.hint
        assert "direction no difference shown (14/20 v 15/20)" in hint.numbers
        assert "strike B better: 18 v 10 of 20 (p = .014)" in hint.numbers
        assert hint.words.startswith("B: bow 1, grip 45 (strike, comfort).")
        assert "B: bow 1, grip 45 (strike, comfort)." in player.screen()
        assert hint.setting == B
        assert hint.block == "confirm"
        assert "20 fresh balls" in hint.words
        assert "40 balls stay flagged as used to choose" in await player.why()
        block = player.view.block
        assert block is not None
        assert {ball.block_id for ball in player.on_disk()[-40:]} == {block.id}, "the flag is the block they were hit in"
        await player.press("space")
        assert player.view.setup.setting == B
        assert player.view.block is not None
        assert (player.view.block.kind, player.view.block.planned, player.view.block_hit) == ("confirm", 20, 0)
    # Fisher's exact test, two-sided, by scipy
    assert fisher_exact([[18, 2], [10, 10]]).pvalue == pytest.approx(0.014, abs=0.0005)
