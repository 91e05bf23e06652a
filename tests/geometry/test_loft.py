"""Lean and loft."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.errors import OffScale
from rangelog.geometry import loft


@pytest.mark.parametrize(
    ("static", "low", "high"),
    [(24, 6.0, 8.4), (28, 7.0, 9.8), (30, 7.5, 10.5), (34, 8.5, 11.9), (46, 11.5, 16.1), (54, 13.5, 18.9), (60, 15, 21)],
)
def test_the_band_by_loft(static, low, high):
    band = loft.lean_band(static)
    assert (band.low_deg, band.high_deg) == (pytest.approx(low, abs=0.01), pytest.approx(high, abs=0.01))
    assert band.holds(low - 1.0)
    assert not band.holds(high + 1.1)


@pytest.mark.parametrize("bad", [300, 3, math.nan, "six"])
def test_a_static_loft_off_its_scale_names_the_range(bad):
    with pytest.raises(OffScale, match="Static loft runs 5 to 70 deg"):
        loft.lean_band(bad)


def test_the_lean_share_is_not_for_drivers():
    for ask in (lambda: loft.lean_band(10.5), lambda: loft.lean_share(14.9, 2)):
        with pytest.raises(OffScale, match="under 15 deg"):
            ask()
    assert loft.lean_share(30, 10) == pytest.approx(1 / 3)


@pytest.mark.parametrize(("static", "lean"), [(20, 20), (20, 25), (5, 44)])
def test_a_lean_that_leaves_no_loft_asks_to_check_the_numbers(static, lean):
    with pytest.raises(OffScale, match=r"^Check numbers\."):
        loft.dynamic_loft(static, lean)


def test_dynamic_loft_is_static_minus_lean():
    assert loft.dynamic_loft(30, 10) == 20
    assert loft.dynamic_loft(60, 18) == 42
    assert loft.dynamic_loft(30, -4) == 34


@pytest.mark.parametrize(("lean", "opened", "lost"), [(5, 2.0, 3.9), (10, 4.0, 7.8), (15, 6.0, 11.7), (20, 8.0, 15.7)])
def test_a_handle_carried_forward_opens_the_face_and_loses_less_loft_than_lean(lean, opened, lost):
    move = loft.carried_forward(30, 62, lean)
    assert move.closing_deg == pytest.approx(-opened, abs=0.05)
    assert move.loft_deg == pytest.approx(-lost, abs=0.05)


def test_a_handle_left_where_it_was_moves_nothing():
    move = loft.carried_forward(30, 62, 0)
    assert (move.closing_deg, move.loft_deg) == (0.0, 0.0)


@given(lean=st.floats(0.5, 25), lie=st.floats(55, 66), static=st.floats(20, 60))
def test_twisting_by_the_lean_times_cos_lie_squares_a_carried_face_nearly(lean, lie, static):
    """The repair is first order: what is left is under a fifth of what was opened."""
    opened = -loft.carried_forward(static, lie, lean).closing_deg
    repaired = loft.stronger_grip(static, lie, turn_deg=loft.twist_to_square(lie, lean)).closing_deg
    assert opened > 0
    assert repaired == pytest.approx(opened, rel=0.2)


def test_the_repair_is_47_degrees_of_twist_for_ten_of_lean():
    assert loft.twist_to_square(62, 10) == pytest.approx(4.7, abs=0.05)


@pytest.mark.parametrize(
    ("static", "lie", "lean", "closed", "lost"),
    [
        (30, 62, 0, 8.65, 4.68),
        (30, 62, 10, 8.11, 4.57),
        (44, 63.5, 0, 8.65, 4.44),
        (44, 63.5, 10, 7.67, 4.34),
        (60, 64, 0, 8.48, 4.37),
        (60, 64, 10, 6.85, 4.28),
        (10.5, 57, 0, 8.34, 5.43),
    ],
)
def test_ten_degrees_stronger_at_a_fixed_wrist(static, lie, lean, closed, lost):
    move = loft.stronger_grip(static, lie, lean)
    assert move.closing_deg == pytest.approx(closed, abs=0.006)
    assert move.loft_deg == pytest.approx(-lost, abs=0.006)


@pytest.mark.parametrize(
    "call", [lambda: loft.stronger_grip(30, 20), lambda: loft.carried_forward(30, 62, 60), lambda: loft.twist_to_square(62, math.inf)]
)
def test_angles_off_their_scale_are_refused(call):
    with pytest.raises(OffScale):
        call()
