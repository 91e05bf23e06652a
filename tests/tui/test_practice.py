"""Practice: simulated balls on a temporary book."""

import itertools
import sys
from datetime import UTC, datetime
from io import StringIO
from pathlib import Path

import pytest

from rangelog.cli import main
from rangelog.core.setup import Setup
from rangelog.core.words import Side
from rangelog.logbook.practice import NOTICE, PracticeBook
from rangelog.settings import Settings
from rangelog.tui import keymap
from rangelog.tui.practice import PracticePlain, made_app
from rangelog.tui.widgets.lines import EchoLine, NoticeLine
from tests.tui.conftest import Hand, press

START = datetime(2026, 5, 2, 17, 0, tzinfo=UTC)


@pytest.fixture
def practice(tmp_path: Path) -> PracticeBook:
    return PracticeBook.begin(tmp_path, seed=3, start=START)


async def test_enter_hits_a_ball_and_says_which_keys_would_have_logged_it(practice: PracticeBook) -> None:
    app = made_app(practice, Settings(), keymap.ready(), colourless=False)
    app.desk.clock = Hand()
    async with app.run_test(size=(60, 18)) as pilot:
        assert NOTICE in app.tee.query_one(NoticeLine).text()
        await press(pilot, "enter", "enter")
        ball = practice.balls()[-1]
        assert ball.seq == 2
        assert ball.strike is not None
        echo = app.tee.query_one(EchoLine).echo
        assert echo is not None
        assert echo.text.startswith(f"Simulated: {ball.side}, {ball.height}, {ball.strike}. Your own ball: ")
        first, _, second = echo.text.rstrip(".").split("ball: ")[1].partition(" then ")
        await press(pilot, first, second)
        own = practice.balls()[-1]
        assert (own.side, own.height, own.strike) == (ball.side, ball.height, ball.strike)
    practice.close()


async def test_a_held_enter_is_one_ball(practice: PracticeBook) -> None:
    app = made_app(practice, Settings(), keymap.ready(), colourless=False)
    app.desk.clock = Hand()
    app.desk.clock.step_s = 0.05
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, *["enter"] * 5)
        assert len(practice.balls()) == 1
    practice.close()


def test_the_invented_golfer_is_bracketed_by_the_hints(practice: PracticeBook) -> None:
    practice.load_model()
    sides = {}
    for bow in (0.0, 5.0):
        practice.set_setup(bow=bow)
        for _ in range(6):
            practice.swing()
        sides[bow] = [ball.side for ball in practice.balls()[-6:]]
    assert all(side in (Side.RIGHT, Side.FAR_RIGHT) for side in sides[0.0])
    assert all(side in (Side.LEFT, Side.FAR_LEFT) for side in sides[5.0])
    hint = practice.view().hint
    assert hint is not None
    assert hint.rule not in ("tired", "pace")
    assert practice._desk.state.setup != Setup()
    practice.close()


def test_plain_practice_hits_on_an_empty_line(practice: PracticeBook) -> None:
    log = PracticePlain(practice, keymap.ready(), clock=itertools.count(0.0, 5.0).__next__)
    assert "nothing is kept" in log.start()[0]
    assert log.line("")[0].startswith("Simulated: ")
    assert len(practice.balls()) == 1
    practice.close()


def test_the_command_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    monkeypatch.setenv("RANGELOG_BOOK", str(tmp_path / "own.db"))
    monkeypatch.setattr(sys, "stdin", StringIO("\n\nleave\n\n"))
    assert main(["--plain", "practice"]) == 0
    assert capsys.readouterr().out.count("Simulated: ") == 2
    assert list(tmp_path.iterdir()) == []
