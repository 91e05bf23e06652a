"""Whole stretches on the tee, key by key, on a real book. Players and balls are invented."""

from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog.core.words import BlockKind
from rangelog.logbook import Logbook
from rangelog.tui.app import RangelogApp
from rangelog.tui.widgets.big import HintPanel
from rangelog.tui.widgets.lines import EchoLine
from tests.tui.conftest import press, thought

Tee = Callable[..., RangelogApp]
OPEN = (6.0, 4.5, 7.5, 4.0)
CLOSED = (3.0, 6.5, 4.0, 4.5)


@pytest.mark.parametrize("handed", ["right", "left"])
async def test_two_extremes_are_bracketed_and_two_is_tried(tee: Tee, tmp_path: Path, handed: str) -> None:
    with Logbook.open(tmp_path / "book.db") as book:
        book.first_start(code="test", hand=handed, club_name="iron", loft_deg=28.0)
        book.start_session()
        book.start_block(BlockKind.BOW_BRACKET)
        book.set_setup(bow=0.0, grip=30.0)
        open_side, closed_side = ("r", "l") if handed == "right" else ("l", "r")
        app = tee(book)
        async with app.run_test(size=(80, 24)) as pilot:
            await thought(pilot)

            async def hit(degrees: float, side: str) -> str:
                await press(pilot, "f" if side == "r" else "s", "j", "enter", *f"{degrees}{side}", "enter")
                hint = app.tee.query_one(HintPanel).view.hint
                assert hint is not None
                return hint.words

            for degrees in OPEN:
                await hit(degrees, open_side)
            await press(pilot, *["up"] * 4)
            said = [await hit(degrees, closed_side) for degrees in CLOSED]
            crossing = app.tee.view.picture.crossing
            await press(pilot, "space")
            setup = app.tee.view.setup
        assert not any("Bracketed" in words for words in said[:2])
        assert said[-1] == "Bracketed 0 to 4. Try 2."
        assert (setup.bow, setup.grip) == (2.0, 30.0)
        # Least squares on these invented starts crosses at 2.2 notches; the model may differ by a little.
        assert crossing is not None
        assert crossing.bow == pytest.approx(2.2, abs=0.25)
        signs = [1 if handed == "right" else -1] * 4 + [-1 if handed == "right" else 1] * 4
        assert [ball.start_deg for ball in book.balls()] == [sign * size for sign, size in zip(signs, OPEN + CLOSED, strict=True)]


async def test_after_the_battery_died_the_strike_key_completes_the_last_ball(tee: Tee, tmp_path: Path) -> None:
    path = tmp_path / "book.db"
    book = Logbook.open(path)
    book.first_start(code="test", hand="right", club_name="iron", loft_deg=28.0)
    book.start_session()
    book.set_setup(bow=1.0, grip=30.0)
    app = tee(book)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "f", "j", "d")
    # The book is copied as it lies on the disk, without being closed: what a dead battery leaves.
    left = tmp_path / "left.db"
    left.write_bytes(path.read_bytes())
    book.close()
    with Logbook.open(left) as again:
        app = tee(again)
        async with app.run_test(size=(80, 24)) as pilot:
            await thought(pilot)
            echo = app.tee.query_one(EchoLine).echo
            assert echo is not None
            assert echo.text == "2 balls restored; ball 2 has no strike."
            setup = app.tee.view.setup
            assert (setup.bow, setup.grip) == (1.0, 30.0)
            await press(pilot, "u")
        assert [(ball.side, ball.strike) for ball in again.balls()] == [("right", "solid"), ("on line", "thin")]
