"""The club as three directions, and turns of them."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.errors import OffScale
from rangelog.geometry.club import square, tipped_to_sole
from rangelog.geometry.vectors import TARGET, TOWARD_PLAYER, UP, angle_deg, cross, dot, turned, unit

directions = st.tuples(*[st.floats(-1, 1)] * 3).filter(lambda v: dot(v, v) > 0.01)


@given(vector=directions, axis=directions, angle=st.floats(-360, 360))
def test_a_turn_keeps_length_and_the_part_along_the_axis(vector, axis, angle):
    after = turned(vector, axis, angle)
    assert dot(after, after) == pytest.approx(dot(vector, vector), abs=1e-12)
    assert dot(after, unit(axis)) == pytest.approx(dot(vector, unit(axis)), abs=1e-12)
    assert turned(after, axis, -angle) == pytest.approx(vector, abs=1e-12)


def test_the_axes_are_a_right_handed_three():
    assert cross(TARGET, TOWARD_PLAYER) == UP
    assert angle_deg(TARGET, UP) == 90
    with pytest.raises(ValueError, match="length"):
        unit((0.0, 0.0, 0.0))


@given(loft=st.floats(5, 70), lie=st.floats(50, 80), lean=st.floats(-4, 4))
def test_a_leaned_club_stays_square_and_loses_its_lean_in_loft(loft, lie, lean):
    club = square(loft, lie, lean)
    assert club.closed_deg == pytest.approx(0, abs=1e-9)
    assert club.loft_deg == pytest.approx(loft - lean, abs=1e-9)
    for a, b in ((club.shaft, club.leading), (club.leading, club.outward), (club.outward, club.shaft)):
        assert dot(a, b) == pytest.approx(0, abs=1e-12)
    assert club.outward[2] > 0 > club.shaft[2]
    # turning the shaft about its own line leaves it, tipping about the target line brings the sole back
    tipped = club.turned(TARGET, 5)
    assert tipped_to_sole(tipped, club).shaft == pytest.approx(club.shaft, abs=1e-12)


@pytest.mark.parametrize("numbers", [(4, 62), (30, 49), (30, 62, 50), (30, math.nan)])
def test_clubs_off_their_scale_are_refused(numbers):
    with pytest.raises(OffScale):
        square(*numbers)
