"""The list of all balls on the screen."""

from collections.abc import Callable
from pathlib import Path

import pytest
from textual.widgets import Static

from rangelog.core.flight import Flight
from rangelog.core.words import Side
from rangelog.logbook import Logbook
from rangelog.settings import Settings
from rangelog.tui.app import RangelogApp
from rangelog.tui.screens.ball import BallScreen
from rangelog.tui.screens.balls import BallLines, BallsScreen
from tests.tui.conftest import press

Tee = Callable[..., RangelogApp]


@pytest.fixture
def two_visits(logbook: Logbook) -> Logbook:
    """An invented book with three balls of an earlier session, one noted and later corrected, and two of the running one."""
    for side in (Side.RIGHT, Side.RIGHT, Side.FAR_RIGHT):
        logbook.hit(Flight(side))
    logbook.note("wind [/b]")
    logbook.edit_ball(logbook.balls()[-1].id, "side", "right", "mis-keyed")
    logbook.end_session()
    logbook.start_session()
    logbook.set_setup(bow=0.0, grip=30.0)
    logbook.hit(Flight(Side.LEFT))
    logbook.hit(Flight(Side.ON_LINE))
    return logbook


def said(screen: object, name: str) -> str:
    return str(screen.query_one(name, Static).render())  # type: ignore[attr-defined]


def page(screen: BallScreen) -> str:
    return "\n".join("".join(text for text, _ in line) for line in screen._lines)


async def test_all_balls_are_listed_under_their_sessions_and_found_again(tee: Tee, two_visits: Logbook) -> None:
    app = tee(two_visits)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "tab")
        screen = app.screen
        assert isinstance(screen, BallsScreen)
        assert "BALLS   5, counted or not" in said(screen, "#title")
        lines = screen.query_one(BallLines)
        assert (len(lines.shelf), lines.at) == (7, 1)
        await press(pilot, "down", "down")
        assert lines.at == 4, "a heading is stepped over"
        await press(pilot, "f", *"WIND", "enter")
        assert 'BALLS   1, counted or not   note holds "WIND"' in said(screen, "#title")
        await press(pilot, "x", "n", "n")
        assert "BALLS   0, not counted only" in said(screen, "#title")
        await press(pilot, "x", "d", *"soon", "enter")
        assert "A date is written" in said(screen, "#foot")
    two_visits.close()


async def test_a_ball_of_an_earlier_session_is_read_only_and_shows_its_history(tee: Tee, two_visits: Logbook) -> None:
    app = tee(two_visits)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "tab", "down", "down", "enter")
        screen = app.screen
        assert isinstance(screen, BallScreen)
        assert "start side: far right → right, because: mis-keyed" in page(screen)
        assert "wind [/b]" in page(screen)
        assert "only balls of the running session are corrected" in page(screen)
        await press(pilot, "enter")
        assert isinstance(app.screen, BallsScreen)
    two_visits.close()


async def test_a_ball_of_the_running_session_is_corrected_and_the_correction_undone(tee: Tee, two_visits: Logbook) -> None:
    app = tee(two_visits)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "tab", "enter", "enter", "5", "4", "enter", *"typed late", "enter")
        assert isinstance(app.screen, BallsScreen)
        assert two_visits.balls()[-1].setup.bow == 4.0
        assert two_visits.history(two_visits.balls()[-1].id)[-1].reason == "typed late"
        await press(pilot, "backspace")
        assert two_visits.balls()[-1].setup.bow == 0.0
    two_visits.close()


async def test_the_list_follows_a_book_that_was_saved_elsewhere(tee: Tee, two_visits: Logbook, tmp_path: Path) -> None:
    app = tee(two_visits)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "tab")
        two_visits.save_elsewhere(tmp_path / "other.db")
        two_visits.hit(Flight(Side.LEFT))
        screen = app.screen
        assert isinstance(screen, BallsScreen)
        screen.reload()
        assert "BALLS   6," in said(screen, "#title")
    two_visits.close()


async def test_numbers_of_balls_wear_the_players_decimal_sign(tee: Tee, two_visits: Logbook) -> None:
    two_visits.number("5,5 R")
    app = tee(two_visits)
    app.settings = Settings(decimal="comma")
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "tab")
        drawn = app.screen.query_one(BallLines).render_line(1).text
        assert "5,5 right" in drawn
    two_visits.close()
