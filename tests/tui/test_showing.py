"""The player's units and decimal sign reach every line that is shown."""

import re
from pathlib import Path

import pytest

from rangelog.core.units import Units
from rangelog.logbook.showing import Showing
from rangelog.settings import Settings
from rangelog.tui import keymap
from rangelog.tui.plain import PlainLog
from tests.tui.states import STATES, bracketed, made, reach
from tests.tui.test_painted import pieces

POINT = re.compile(r"(?<!\d\.)\d*\.\d")
METRIC = re.compile(r"\d (m|mm|metres)\b")
UNREAD = ("review", "review numbers", "first start", "cautions")
"""States without a number of the log, or with numbers that are tested where they are made."""


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("crosses at 2.2 +-0.4", "crosses at 2,2 +-0,4"),
        ("+0.3 (-0.8..1.4)", "+0,3 (-0,8..1,4)"),
        ("p .03, p < .001", "p 0,03, p < 0,001"),
        ("2026-05-02 at 17.42.10", "2026-05-02 at 17.42.10"),
        ("/home/a.b/book.1.db, version 0.1.2", "/home/a.b/book.1.db, version 0.1.2"),
        ("bow 2.5, grip 30.", "bow 2,5, grip 30."),
    ],
)
def test_a_comma_stands_for_the_point_of_a_number_and_for_no_other(text: str, said: str) -> None:
    assert Showing(comma=True).said(text) == said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        # 1 yd is 0.9144 m, 1 in is 25.4 mm, both exact (international yard and pound agreement of 1959, from memory).
        ("apex 9.5 m", "apex 10.4 yd"),
        ("a gate 0.25 m wide at 3 m", "a gate 9.8 in wide at 3.3 yd"),
        ("about 3 mm on the handle", "about 0.1 in on the handle"),
        ("3 mats, 5 more", "3 mats, 5 more"),
    ],
)
def test_lengths_are_told_in_yards_and_inches(text: str, said: str) -> None:
    assert Showing(Units.IMPERIAL).said(text) == said


@pytest.mark.parametrize("name", [name for name in STATES if name not in UNREAD])
async def test_no_shown_line_has_a_point_in_a_number_or_a_metre(name: str, tmp_path: Path) -> None:
    state = STATES[name]
    app = made(state, tmp_path, decimal="comma", units="imperial")
    async with app.run_test(size=(120, 40)) as pilot:
        await reach(pilot, state)
        shown = " ".join(piece.text for piece in pieces(app))
    assert POINT.findall(shown) == []
    assert METRIC.findall(shown) == []


def test_no_plain_line_has_a_point_in_a_number_or_a_metre() -> None:
    log = PlainLog(bracketed(), keymap.ready(), clock=lambda: 0.0, settings=Settings(decimal="comma", units="imperial"))
    typed = ("f", "", "why", "plan", "words", "ball 8", "balls", "gate", "esc", "wrist", "esc", "setup.type", "2,5", "esc", "esc", "bow 9")
    said = " ".join([*log.start(), *(line for one in typed for line in log.line(one))])
    assert "2,5" in said
    assert "10,4 yd" in said
    assert POINT.findall(said) == []
    assert METRIC.findall(said) == []
