"""One ball width along the target line."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.errors import OffScale
from rangelog.geometry import ball_position
from rangelog.geometry.ball_position import apex_ratio, lean_at, per_ball, travelled, widths


def test_the_round_figures_for_one_ball_back():
    found = per_ball()
    assert found.lean_deg == pytest.approx(1.8, abs=0.05)
    assert found.loft_deg == found.lean_deg
    assert found.attack_deg == pytest.approx(1.35, abs=0.05)
    assert found.launch_deg == pytest.approx(1.7, abs=0.05)
    assert found.path_open_deg == pytest.approx(0.7, abs=0.05)
    assert found.start_open_deg == (pytest.approx(0.7, abs=0.05), pytest.approx(2.0, abs=0.05))


def test_the_ranges_over_usual_hubs_radii_and_planes():
    every = [per_ball(hub, radius, plane) for hub in (1200, 1500) for radius in (1.4, 2.2) for plane in (58, 66)]
    for name, least, most in (("lean_deg", 1.6, 2.05), ("attack_deg", 0.9, 1.65), ("launch_deg", 1.4, 1.95), ("path_open_deg", 0.4, 0.95)):
        values = [getattr(found, name) for found in every]
        assert least <= min(values)
        assert max(values) <= most


def test_a_junior_with_a_hub_of_900_mm_gets_27_degrees_of_lean_per_ball():
    assert per_ball(hub_mm=900).lean_deg == pytest.approx(2.7, abs=0.05)


def test_thirty_and_sixty_degree_clubs_would_stand_five_balls_apart():
    """30 % of 60 less 30 % of 30 is 9 deg of lean, at 1.8 deg a ball: one arm-shaft angle cannot serve both."""
    assert 9 / per_ball().lean_deg == pytest.approx(5.0, abs=0.1)


def test_lean_falls_as_the_ball_goes_forward():
    leans = [lean_at(position, 9.0) for position in (-1, 0, 1)]
    assert leans[0] > leans[1] == 9.0 > leans[2]
    assert leans[0] - leans[1] == pytest.approx(per_ball().lean_deg)


@pytest.mark.parametrize(("change", "ratio"), [(1.7, 1.20), (-1.7, 0.81), (3.4, 1.42), (-3.4, 0.65)])
def test_apex_seen_from_a_launch_of_17(change, ratio):
    assert apex_ratio(17, change) == pytest.approx(ratio, abs=0.006)


def test_a_body_that_travels_with_the_ball_leaves_no_change():
    assert travelled(3.4, 1.0) == 0.0
    assert travelled(3.4, 0.0) == 3.4
    assert travelled(3.4, 1 - 0.3 / 3.4) == pytest.approx(0.3)
    assert travelled(1.7, -0.5) > 1.7


def test_millimetres_become_ball_widths():
    assert widths(85, "mm") == pytest.approx(1.99, abs=0.005)
    assert widths(-0.25) == -0.25


@pytest.mark.parametrize(("value", "unit"), [(15, "balls"), (-3.1, "balls"), (200, "mm"), (1, "inches"), (math.nan, "mm"), ("two", "mm")])
def test_ball_positions_off_their_scale_are_refused(value, unit):
    with pytest.raises(OffScale):
        widths(value, unit)


@given(millimetres=st.floats(-128, 128))
def test_widths_and_millimetres_agree(millimetres):
    assert widths(millimetres, "mm") * ball_position.BALL_MM == pytest.approx(millimetres, abs=1e-9)


@pytest.mark.parametrize(
    "call",
    [
        lambda: per_ball(100),
        lambda: per_ball(radius_m=0),
        lambda: per_ball(plane_deg=90),
        lambda: apex_ratio(0, 1),
        lambda: apex_ratio(2, -5),
    ],
)
def test_bodies_and_launches_off_their_scale_are_refused(call):
    with pytest.raises(OffScale):
        call()
