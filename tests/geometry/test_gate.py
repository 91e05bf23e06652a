"""The gate and the offset: degrees and metres, there and back, and plain answers to impossible gates."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.errors import OffScale
from rangelog.geometry import gate

distances = st.floats(0.5, 50)
windows = st.floats(0.1, 40)

WIDTHS = {
    2: (0.11, 0.18, 0.25, 0.32, 0.39),
    3: (0.15, 0.25, 0.36, 0.46, 0.57),
    4: (0.18, 0.32, 0.46, 0.60, 0.74),
    5: (0.22, 0.39, 0.57, 0.74, 0.92),
}


@pytest.mark.parametrize("distance", WIDTHS)
def test_the_table_of_widths(distance):
    assert [round(gate.width_for(window, distance), 2) for window in range(1, 6)] == list(WIDTHS[distance])


def test_half_a_metre_at_three_metres_clears_436_and_touches_to_517():
    found = gate.gate(0.50, 3.0)
    assert found.clears_deg == pytest.approx(4.36, abs=0.005)
    assert found.touches_deg == pytest.approx(5.17, abs=0.005)
    assert found.sentence(2) == "clears +-4.4 deg, wider than your +-2 window; for +-2 use 0.25 m"


def test_a_gate_that_fits_or_is_too_narrow_says_so():
    assert gate.gate(0.25, 3.0).sentence(2) == "clears +-2.0 deg, the same as your +-2 window"
    assert gate.gate(0.15, 3.0).sentence(2).startswith("clears +-1.0 deg, narrower than your +-2 window")


@given(window=windows, distance=distances)
def test_width_and_window_are_one_anothers_way_back(window, distance):
    width = gate.width_for(window, distance)
    if 0.043 < width < 20:
        assert gate.gate(width, distance).clears_deg == pytest.approx(window, rel=1e-9)
        assert gate.distance_for(width, window) == pytest.approx(distance, rel=1e-9)


@given(start=st.floats(-45, 45), distance=distances)
def test_offset_and_degrees_are_one_anothers_way_back(start, distance):
    assert gate.offset_deg(gate.offset_m(start, distance), distance) == pytest.approx(start, abs=1e-9)


@pytest.mark.parametrize("width", [0.0, 0.02, 0.0426, 0.04267])
def test_a_gate_no_wider_than_the_ball_lets_no_ball_pass(width):
    with pytest.raises(OffScale, match=r"^Ball cannot pass\.$"):
        gate.gate(width, 3.0)


def test_a_gate_a_hair_wider_than_the_ball_lets_it_pass():
    assert gate.gate(0.0427, 3.0).clears_deg > 0


@pytest.mark.parametrize("distance", [0, 0.0, -1, -0.001])
@pytest.mark.parametrize("ask", [lambda d: gate.gate(0.5, d), lambda d: gate.offset_deg(0.1, d), lambda d: gate.width_for(2, d)])
def test_a_distance_of_zero_or_less_is_refused_in_words(ask, distance):
    with pytest.raises(OffScale, match=r"^Distance must be over 0\.$"):
        ask(distance)


@pytest.mark.parametrize("bad", [math.nan, math.inf, "three", None])
def test_what_is_no_number_is_refused_by_name(bad):
    with pytest.raises(OffScale) as refused:
        gate.gate(0.5, bad)
    assert refused.value.field == "distance"
    with pytest.raises(OffScale) as refused:
        gate.gate(bad, 3.0)
    assert refused.value.field == "width"


@pytest.mark.parametrize("window", [0, -2, 46, math.nan])
def test_a_window_off_its_scale_is_refused(window):
    with pytest.raises(OffScale):
        gate.width_for(window, 3.0)


@pytest.mark.parametrize(("offset", "bias"), [(0.02, 0.38), (0.05, 0.95), (-0.05, -0.95)])
def test_a_gate_laid_off_sideways_is_a_bias(offset, bias):
    assert gate.offset_deg(offset, 3.0) == pytest.approx(bias, abs=0.005)


@pytest.mark.parametrize(
    ("degrees", "distance", "metres"), [(1, 1, 0.0175), (1, 50, 0.87), (1, 100, 1.75), (2, 100, 3.49), (6, 100, 10.5), (5, 3, 0.26)]
)
def test_degrees_as_metres_down_the_range(degrees, distance, metres):
    assert gate.offset_m(degrees, distance) == pytest.approx(metres, abs=0.011)


def test_an_offset_beyond_45_degrees_is_refused():
    with pytest.raises(OffScale):
        gate.offset_deg(4.0, 3.0)


def test_height_over_the_gate_and_how_far_out_a_metre_of_stick_serves():
    assert gate.height_m(17, 3.0) == pytest.approx(0.92, abs=0.005)
    assert [round(gate.stick_reach_m(1.0, launch), 1) for launch in (17, 10, 25)] == [3.3, 5.7, 2.1]
    assert gate.stick_reach_m(1.0, 0.0) == math.inf


def test_launch_of_a_short_slow_shot_from_apex_and_carry():
    # range and apex in vacuum: R = v^2 sin(2a)/g, H = (v sin a)^2/2g, so 4 H/R = tan a
    for launch in (10, 30, 50):
        a = math.radians(launch)
        carry, apex = 20**2 * math.sin(2 * a) / 9.80665, (20 * math.sin(a)) ** 2 / (2 * 9.80665)
        assert gate.launch_from_apex(apex, carry) == pytest.approx(launch)
    for carry in (0, -5, math.nan):
        with pytest.raises(OffScale):
            gate.launch_from_apex(5, carry)
