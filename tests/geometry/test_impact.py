"""Start direction between face and path."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.errors import OffScale
from rangelog.geometry import impact


@given(oblique=st.floats(1, 80), restitution=st.floats(0, 1))
def test_the_ball_starts_between_face_and_path(oblique, restitution):
    assert 0 < impact.off_normal_deg(oblique, restitution) < oblique


def test_the_face_owns_less_as_the_strike_gets_more_oblique():
    shares = [impact.face_share(oblique) for oblique in range(5, 85, 5)]
    assert shares == sorted(shares, reverse=True)


def test_a_square_face_and_path_start_on_line():
    assert impact.off_normal_deg(0) == 0
    assert impact.start_deg(0, 0) == 0
    assert impact.start_deg(4, 4) == 4
    assert impact.start_deg(4, -4) == pytest.approx(2)


@pytest.mark.parametrize("share", [0.60, 0.84, math.nan])
def test_a_share_outside_the_published_band_is_refused(share):
    with pytest.raises(OffScale):
        impact.start_deg(1, 1, share)


@pytest.mark.parametrize(
    "call",
    [
        lambda: impact.face_share(0),
        lambda: impact.off_normal_deg(90),
        lambda: impact.off_normal_deg(30, 1.2),
        lambda: impact.off_normal_deg(30, ball_kg=0),
        lambda: impact.start_deg(50, 0),
    ],
)
def test_impossible_impacts_are_refused(call):
    with pytest.raises(OffScale):
        call()
