"""The calculators on the screen and in plain lines."""

import itertools
from collections.abc import Callable

import pytest
from textual.widgets import Static

from rangelog.logbook.calculators import CALCULATORS
from rangelog.settings import Settings
from rangelog.tui import keymap
from rangelog.tui.app import RangelogApp
from rangelog.tui.plain import PlainLog
from rangelog.tui.screens.calculator import CalculatorScreen, table_lines
from tests.tui.conftest import press
from tests.tui.fake_book import FakeBook

Tee = Callable[..., RangelogApp]


def shown(screen: CalculatorScreen) -> str:
    return "\n".join(str(screen.query_one(name, Static).render()) for name in ("#title", "#asks", "#answer"))


async def test_a_gate_is_worked_out_while_it_is_typed(tee: Tee) -> None:
    app = tee(FakeBook())
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, "semicolon", *"gate", "enter", *"0.5")
        screen = app.screen
        assert isinstance(screen, CalculatorScreen)
        assert "clears +-4.4 deg, wider than your +-2 window; for +-2 use 0.25" in shown(screen)
        await press(pilot, "backspace", "backspace", "backspace", *"4cm")
        assert "Ball cannot pass." in shown(screen)
        assert "clears" not in shown(screen)
        await press(pilot, "escape")
        assert app.screen is app.tee


async def test_the_club_in_hand_is_known_and_arrows_turn_to_the_next_calculator(tee: Tee) -> None:
    app = tee(FakeBook())
    async with app.run_test(size=(60, 18)) as pilot:
        app.choose("calculator.wrist")
        await press(pilot, "right")
        screen = app.screen
        assert isinstance(screen, CalculatorScreen)
        assert "28 deg" in shown(screen)
        await press(pilot, "down", *"40")
        assert "Check numbers. A lean of 40 leaves no loft on a club of 28 deg." in " ".join(shown(screen).split())
        await press(pilot, "right", *"15")
        assert "Ball position runs -3 to 3 ball widths." in " ".join(shown(screen).split())


async def test_keys_of_another_keyboard_are_digits(tee: Tee) -> None:
    app = tee(FakeBook(), layout="azerty")
    async with app.run_test(size=(80, 24)) as pilot:
        app.choose("calculator.ball_position")
        await press(pilot, "é")
        screen = app.screen
        assert isinstance(screen, CalculatorScreen)
        assert screen.given()["position_balls"] == "2"


def test_a_wide_table_leaves_columns_out_and_keeps_the_ends() -> None:
    lines = table_lines(CALCULATORS["wrist"].answer({}).table, 56)
    head = "".join(text for text, _ in lines[0])
    assert len(head) <= 56
    assert head.split() == ["delta", "0", "30", "60", "90"]


@pytest.mark.parametrize("name", list(CALCULATORS))
def test_plain_lines_ask_and_answer_every_calculator(name: str) -> None:
    log = PlainLog(FakeBook(), keymap.ready(), clock=itertools.count(0.0, 5.0).__next__, settings=Settings(decimal="comma"))
    log.start()
    act = {"gate": "gate and offset", "wrist": "wrist angles", "loft": "loft and lean", "ball position": "ball position effects"}[name]
    said = log.line(act)
    for _ in CALCULATORS[name].asks:
        said = log.line("")
    assert said[-1] == "Logged balls overrule this." or said[-1].startswith("Shaft 25 deg behind:")
    assert any("," in line for line in said)


def test_a_wrong_number_in_plain_lines_is_told_and_asked_again() -> None:
    log = PlainLog(FakeBook(), keymap.ready(), clock=itertools.count(0.0, 5.0).__next__)
    log.start()
    log.line("gate and offset")
    said = log.line("4 cm")
    assert said[0] == "Ball cannot pass."
    assert "Gate, inside width" in said[1]
