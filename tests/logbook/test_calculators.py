"""The sentences of the calculators, and numbers as a player types them."""

import pytest

from rangelog.core.errors import OffScale
from rangelog.core.units import Units
from rangelog.core.words import Hand
from rangelog.logbook.calculators import CALCULATORS, OVERRULED
from rangelog.logbook.showing import Showing

IMPERIAL = Showing(Units.IMPERIAL)
COMMA = Showing(comma=True)


def said(name: str, given: dict[str, str], showing: Showing = Showing(), hand: Hand | None = None) -> str:  # noqa: B008
    return " ".join(CALCULATORS[name].answer(given, showing, hand).lines)


@pytest.mark.parametrize(
    ("name", "given", "field", "words"),
    [
        ("gate", {"distance_m": "0"}, "distance_m", "Distance must be over 0."),
        ("gate", {"flag_m": "-5"}, "flag_m", "Distance must be over 0."),
        ("gate", {"width_m": "42 mm"}, "width_m", "Ball cannot pass."),
        ("gate", {"width_m": "wide"}, "width_m", "Gate, inside width: a number in m or cm or mm or yd or ft or in."),
        ("gate", {"distance_m": "3 L"}, "distance_m", "Gate, from the ball: a number in m or cm or mm or yd or ft or in."),
        ("loft", {"loft_deg": "300"}, "loft_deg", "Static loft runs 5 to 70 deg."),
        ("loft", {"loft_deg": "3"}, "loft_deg", "Static loft runs 5 to 70 deg."),
        ("loft", {"loft_deg": "28", "lean_deg": "30"}, "lean_deg", "Check numbers."),
        ("loft", {}, "loft_deg", "Static loft: type a number."),
        ("wrist", {"grip_deg": "120"}, "grip_deg", ""),
        ("wrist", {"delta_deg": "nan"}, "delta_deg", "Shaft behind the forearm: a number in deg."),
        ("wrist", {"set_deg": "80"}, "set_deg", "Wrist set runs 0 to 60 deg."),
        ("ball position", {"position_balls": "15"}, "position_balls", "Ball position runs -3 to 3 ball widths."),
        ("ball position", {"hub_mm": "5"}, "hub_mm", "Hub height runs 600 to 1800 mm."),
    ],
)
def test_bad_numbers_are_refused_at_their_place_and_nothing_is_worked_out(name: str, given: dict[str, str], field: str, words: str) -> None:
    with pytest.raises(OffScale) as caught:
        CALCULATORS[name].answer(given)
    assert caught.value.field == field
    assert caught.value.title == words or not words


def test_a_gate_speaks_of_the_window_and_the_flag() -> None:
    told = said("gate", {"width_m": "0,5", "offset_m": "2 L", "flag_m": "50", "launch_deg": "17"})
    # common practice, no source: 0.50 m at 3 m clears about 4.4 deg, a 2 deg window wants 0.25 m, 2 deg is 1.75 m at 50 m
    assert "0.50 m at 3 m clears +-4.4 deg" in told
    assert "2 m off at 50 m is 2.3 left." in told
    assert "At 50 m your +-2 deg is 1.75 m to either side." in told
    assert "0.92 m up" in told
    assert told.endswith(OVERRULED)


def test_inches_and_yards_in_inches_and_yards_out() -> None:
    told = said("gate", {"width_m": "20", "distance_m": "10 ft"}, IMPERIAL)
    assert told.startswith("20.0 in at 3.3 yd clears")
    assert "use 10.1 in" in told


def test_a_decimal_comma_reaches_every_number() -> None:
    told = said("loft", {"loft_deg": "30,5", "lean_deg": "10"}, COMMA)
    assert "30,5 deg: lean 7,6 to 10,7" in told
    assert "." not in told.replace(". ", " ").rstrip(".").replace(" Logged", "")


def test_millimetres_are_ball_widths_and_the_open_side_is_named() -> None:
    # common practice, no source: one ball back turns the start 0.7 to 2 deg toward the open side
    assert "0.7 to 2.0 deg toward the open side (right of the line)" in said("ball position", {}, hand=Hand.RIGHT)
    assert "toward the open side (left of the line)" in said("ball position", {}, hand=Hand.LEFT)
    forward = said("ball position", {"position_balls": "85 mm"}, hand=Hand.RIGHT)
    assert forward.startswith("1.99 ball forward (85 mm)")
    assert "toward the closed side (left of the line)" in forward


def test_a_driver_has_no_share_and_still_a_loft_left() -> None:
    told = said("loft", {"loft_deg": "10", "lean_deg": "3"})
    assert "not for clubs under 15 deg" in told
    assert "7.0 deg left" in told
    assert "%" not in told


def test_sentences_of_the_log_keep_dates_and_paths() -> None:
    style = Showing(Units.IMPERIAL, comma=True)
    assert style.said("Ball 3: 5.5 left, apex 9 m. In /tmp/a.1.5/b.") == "Ball 3: 5,5 left, apex 9,8 yd. In /tmp/a.1.5/b."
    assert style.said("27.5.2026, rangelog 1.2.3") == "27.5.2026, rangelog 1.2.3"
