"""The body check in lengths, and turns on the handle."""

import math

import pytest

from rangelog.core.errors import OffScale
from rangelog.geometry.body import handle_arc_mm, midline_mm, nose_at_impact, nose_mm


def test_the_midline_comes_from_the_feet():
    assert midline_mm(400, 0) == 200
    assert midline_mm(-150, 250) == 50


def test_a_nose_offset_needs_a_unit_and_a_side():
    with pytest.raises(OffScale, match="mm or inches"):
        nose_mm(90, "")
    with pytest.raises(OffScale, match="behind or ahead"):
        nose_mm(90, "mm", "left")
    assert nose_mm(90, "mm") == 90
    assert nose_mm(3.5, "in") == pytest.approx(88.9)
    assert nose_mm(20, "mm", "ahead") == -20


@pytest.mark.parametrize(("value", "unit"), [(90, "in"), (-5, "mm"), (math.nan, "mm"), (401, "mm"), ("far", "mm")])
def test_a_nose_offset_that_no_player_has_is_refused(value, unit):
    with pytest.raises(OffScale):
        nose_mm(value, unit)


@pytest.mark.parametrize(
    ("offset", "answer"), [(-1, "fail"), (0, "not sure"), (24.9, "not sure"), (25, "pass"), (90, "pass"), (150, "pass"), (151, "not sure")]
)
def test_the_nose_at_impact(offset, answer):
    assert nose_at_impact(offset).answer == answer
    assert "midline" in nose_at_impact(offset).words


def test_a_turn_on_the_handle_is_a_few_millimetres():
    assert handle_arc_mm(10) == pytest.approx(2.1, abs=0.05)
    assert handle_arc_mm(15) == pytest.approx(3.1, abs=0.05)
    with pytest.raises(OffScale):
        handle_arc_mm(15, 5)
