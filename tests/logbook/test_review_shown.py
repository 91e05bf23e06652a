"""Answers with the player's decimal sign, and in lines that read aloud."""

import re

import pytest

from rangelog.core.units import Units
from rangelog.logbook.review_answer import Answer
from rangelog.logbook.review_shown import Shown
from rangelog.logbook.review_spoken import spoken_lines
from rangelog.logbook.showing import AS_KEPT, Showing

COMMA = Showing(Units.METRIC, comma=True)
ANSWER = Answer(
    "How wide am I?",
    12,
    "counted, 5.5 iron, since 2026-05-01",
    "At grip 37.5, bow 2.5 with the 5.5 iron: start +2.4 +-1.7, 3 of 10 (11-60 %), p = .014, p < .001.",
    ("grip", "mean start", "on line", "note"),
    (("37.5", "+2.4 +-1.7 (from classes)", "3 of 10 (11-60 %)", ""), ("30", "not known", "0 of 0", "5.5 iron")),
    ("Difference: -2.4 (-2.7 to -2.1) deg, 90 % interval.",),
)


def test_a_decimal_comma_reaches_every_number_and_nothing_that_the_player_wrote() -> None:
    found = Shown(COMMA, ["5.5 iron", ""]).answer(ANSWER)
    assert found.sentence == "At grip 37,5, bow 2,5 with the 5.5 iron: start +2,4 +-1,7, 3 of 10 (11-60 %), p = 0,014, p < 0,001."
    assert found.rows == (("37,5", "+2,4 +-1,7 (from classes)", "3 of 10 (11-60 %)", ""), ("30", "not known", "0 of 0", "5.5 iron"))
    assert found.notes == ("Difference: -2,4 (-2,7 to -2,1) deg, 90 % interval.",)
    assert found.first_line == ANSWER.first_line


def test_as_it_is_kept_nothing_is_touched() -> None:
    assert Shown(AS_KEPT, ["iron"]).answer(ANSWER) is ANSWER


@pytest.mark.parametrize("text", ["2026-05-01", "version 1", "a.b", "28 deg iron", "https://1.2.3.4/5.6"])
def test_dates_and_names_have_no_decimals(text: str) -> None:
    assert Shown(COMMA).said(text) == text


def test_an_answer_is_read_line_by_line_with_every_number_named() -> None:
    assert spoken_lines(ANSWER) == (
        "How wide am I?",
        "12 balls: counted, 5.5 iron, since 2026-05-01.",
        "At grip 37.5, bow 2.5 with the 5.5 iron: start +2.4 plus or minus 1.7, 3 of 10 (11 to 60 per cent), p = .014, p < .001.",
        "grip 37.5; mean start +2.4 plus or minus 1.7 (from classes); on line 3 of 10 (11 to 60 per cent).",
        "grip 30; mean start not known; on line 0 of 0; note 5.5 iron.",
        "Difference: -2.4 (-2.7 to -2.1) deg, 90 per cent interval.",
    )
    assert not re.search(r"[%│]|\+-", " ".join(spoken_lines(ANSWER)))
