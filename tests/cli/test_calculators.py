"""The calculators at the prompt: the sentences and numbers of the log's own calculators."""

import json

import pytest

from rangelog.cli import main
from rangelog.logbook import calculators

Capture = pytest.CaptureFixture[str]


def printed(capsys: Capture, *words: str) -> str:
    assert main(words) == 0
    return capsys.readouterr().out


def test_the_prompt_says_what_the_screen_says(capsys: Capture) -> None:
    told = printed(capsys, "gate", "--width", "0.5", "--distance", "3")
    assert told.splitlines() == list(calculators.CALCULATORS["gate"].answer({"width_m": "0.5"}).lines)


def test_the_planar_table_is_printed_whole(capsys: Capture) -> None:
    # common practice, no source: at 15 deg and grip 45 the bend is shared 10.5 to 10.7
    told = printed(capsys, "wrist", "--table")
    assert "10.5/10.7" in told
    assert told.splitlines()[1].split() == ["delta", "0", "15", "30", "45", "60", "75", "90"]
    assert told.splitlines()[-1] == calculators.OVERRULED


@pytest.mark.parametrize(
    ("words", "name", "value"),
    [
        # common practice, no source: 0.50 m at 3 m clears 4.36 deg
        (("gate", "--width", "0.5", "--distance", "3"), "clears_deg", 4.36),
        (("wrist", "--delta", "15", "--grip", "0"), "bow_deg", 15.0),
        (("loft", "--loft", "30", "--lean", "10"), "dynamic_loft_deg", 20.0),
        (("loft", "--loft", "10", "--lean", "3"), "dynamic_loft_deg", 7.0),
        # common practice, no source: one ball back launches about 1.7 deg lower
        (("ball-position", "--balls", "-1"), "launch_deg", -1.7),
    ],
)
def test_a_script_gets_numbers_with_units_in_their_names(capsys: Capture, words: tuple[str, ...], name: str, value: float) -> None:
    assert json.loads(printed(capsys, *words, "--json"))[name] == pytest.approx(value, abs=0.05)


def test_a_lean_beyond_the_loft_is_one_clear_line(capsys: Capture) -> None:
    assert main(["loft", "--loft", "28", "--lean", "30"]) == 2
    assert capsys.readouterr().err.strip() == "rangelog: Check numbers. A lean of 30 leaves no loft on a club of 28 deg."
