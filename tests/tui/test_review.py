"""The review screens: keyboard only, n and filter first, picture, sentence, numbers one key away."""

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Static

from rangelog.core.ball import Ball
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.session import Block, Session
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Side, Strike
from rangelog.logbook.archive import Archive
from rangelog.logbook.review_filter import Filter
from rangelog.logbook.review_room import VIEWS, ReviewRoom
from rangelog.tui.app import RangelogApp
from rangelog.tui.screens.review import ReviewScreen
from rangelog.tui.screens.review_drawn import drawn
from tests.tui.conftest import press


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """An invented bracket on mat with the stick on, and a club whose name would break a screen that took it for markup."""
    path = tmp_path / "anna.book"
    with Archive.take(path, daily_backup=False) as archive:
        archive.save_player(Player("p", "anna"))
        archive.add_club(Club("c", "iron [/b] [red]", 28.0))
        archive.add_prescription(Prescription("rx", club_id="c"))
        archive.start_session(Session("s", "2026-05-04T17:00:00+02:00"))
        archive.start_block(Block("b", "s", 1, BlockKind.BOW_BRACKET))
        sides = [(0.0, Side.RIGHT)] * 4 + [(4.0, Side.LEFT)] * 3 + [(2.0, Side.ON_LINE)] * 3
        archive.add_balls(
            [
                Ball(f"s{at}", "s", at, "2026-05-04T17:00:00+02:00", Setup(bow, 30.0, club_id="c"), "b", "rx", side, strike=Strike.SOLID)
                for at, (bow, side) in enumerate(sides, start=1)
            ]
        )
    return path


async def opened(pilot: Pilot[int], path: Path) -> ReviewScreen:
    screen = ReviewScreen(path)
    await pilot.app.push_screen(screen)
    await pilot.app.workers.wait_for_complete([worker for worker in pilot.app.workers if worker.group == "review"])
    for _ in range(4):
        await pilot.pause(0)
    return screen


def shown(screen: ReviewScreen, name: str) -> str:
    return str(screen.query_one(f"#{name}", Static).render())


async def test_the_first_view_has_n_and_filter_first_a_picture_and_a_sentence(tee: Callable[..., RangelogApp], book: Path) -> None:
    async with tee().run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, book)
        assert shown(screen, "first") == "10 balls: counted, since 2025-11-03"
        assert "Where did each setting start the ball?" in shown(screen, "title")
        assert shown(screen, "sentence").startswith("Straight: grip 30 at bow ")
        assert screen.query_one("#picture").display
        assert not screen.query_one("#numbers").display


async def test_arrows_go_through_every_question_and_round(tee: Callable[..., RangelogApp], book: Path) -> None:
    async with tee().run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, book)
        seen = []
        for _ in VIEWS:
            assert screen.answer is not None
            seen.append(screen.answer.question)
            await press(pilot, "right")
        assert len(set(seen)) == len(VIEWS)
        assert screen.choice.view == 0
        await press(pilot, "left")
        assert screen.choice.view == len(VIEWS) - 1


async def test_the_numbers_are_one_key_away_and_back(tee: Callable[..., RangelogApp], book: Path) -> None:
    async with tee().run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, book)
        await press(pilot, "enter")
        assert screen.query_one("#numbers").display
        assert re.search(r"grip +bow +balls", shown(screen, "table"))
        assert "Grip was 30 for all 10 balls" in shown(screen, "table")
        await press(pilot, "enter")
        assert screen.query_one("#picture").display


async def test_single_keys_step_the_filter_and_one_clears_it(tee: Callable[..., RangelogApp], book: Path) -> None:
    async with tee().run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, book)
        await press(pilot, "t", "t")
        assert shown(screen, "first") == "0 balls: counted, stick off, since 2025-11-03"
        await press(pilot, "x")
        assert shown(screen, "first") == "10 balls: counted, since 2025-11-03"
        await press(pilot, "c")
        assert shown(screen, "first") == "10 balls: counted, 28 deg iron [/b] [red], since 2025-11-03"
        await press(pilot, "d", "d")
        assert shown(screen, "first").endswith("one session")
        await press(pilot, "d")
        assert shown(screen, "first").endswith("[red]")
        await press(pilot, "x", "n", "n")
        assert shown(screen, "first") == "0 balls: uncounted, since 2025-11-03"


@pytest.mark.parametrize("size", [(60, 18), (80, 24), (120, 40), (30, 8)])
async def test_every_view_is_drawn_at_every_size(tee: Callable[..., RangelogApp], book: Path, size: tuple[int, int]) -> None:
    async with tee().run_test(size=size) as pilot:
        screen = await opened(pilot, book)
        for _ in VIEWS:
            await press(pilot, "right")
        assert screen.answer is not None


async def test_a_book_that_cannot_be_read_is_told_in_one_line(tee: Callable[..., RangelogApp], tmp_path: Path) -> None:
    async with tee().run_test(size=(80, 24)) as pilot:
        screen = await opened(pilot, tmp_path / "nothing.book")
        assert "nothing.book" in shown(screen, "waiting")
        await press(pilot, "right", "enter", "t")
        assert screen.answer is None


def test_an_answer_without_balls_has_a_picture_that_can_be_filled_or_a_table(tmp_path: Path) -> None:
    from plotext import _figure

    Archive.take(tmp_path / "empty.book", daily_backup=False).close()
    room = ReviewRoom.open(tmp_path / "empty.book")
    for view in VIEWS:
        picture = drawn(room.answer(view, Filter()))
        if picture is not None:
            figure = _figure._figure_class()
            figure.plot_size(60, 15)
            picture(figure, 2.0)
            assert "No balls to draw." in figure.build()
