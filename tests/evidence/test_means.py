"""Intervals of numbers: infinite where the balls cannot tell, right on average where they can."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.errors import OffScale
from rangelog.evidence import means

numbers = st.lists(st.floats(-40, 40), min_size=2, max_size=30)


@pytest.mark.parametrize("values", [[], [3.0], [2.0, 2.0, 2.0], [0.0] * 10])
def test_too_few_balls_or_no_spread_give_infinite_ends_never_width_zero(values):
    found = means.mean(values)
    assert (found.low, found.high) == (-math.inf, math.inf)
    assert means.spread(values).high == math.inf


@given(values=numbers)
def test_a_mean_lies_in_its_interval_and_a_wider_level_is_wider(values):
    narrow, wide = means.mean(values, 0.5), means.mean(values, 0.95)
    assert wide.low <= narrow.low <= narrow.mean <= narrow.high <= wide.high


@pytest.mark.parametrize(("n", "low", "high"), [(10, 0.69, 1.83), (20, 0.76, 1.46)])
def test_a_spread_over_ten_balls_may_be_069_to_183_of_what_was_seen(n, low, high):
    assert means.spread_factors(n) == (pytest.approx(low, abs=0.005), pytest.approx(high, abs=0.005))


@pytest.mark.parametrize("call", [lambda: means.spread_factors(1), lambda: means.spread_factors(10, 0.0), lambda: means.mean([1, 2], 1.0)])
def test_what_cannot_be_answered_is_refused(call):
    with pytest.raises(OffScale):
        call()


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_numbers_that_are_not_finite_are_refused(bad):
    for call in (means.mean, means.spread, lambda v: means.difference(v, [1, 2]), lambda v: means.line(v, [1, 2])):
        with pytest.raises(OffScale):
            call([1.0, bad])


def test_intervals_cover_as_often_as_they_say():
    """Mean, spread and difference intervals hold the truth at their level over 3000 seeded samples of 6 and 9 balls."""
    rng = np.random.default_rng(11)
    hold = np.zeros(3)
    for _ in range(3000):
        a, b = rng.normal(1.0, 3.0, 6), rng.normal(-0.5, 3.0, 9)
        mean, spread, gap = means.mean(a), means.spread(b), means.difference(a, b, pooled=True)
        hold += [mean.low <= 1.0 <= mean.high, spread.low <= 3.0 <= spread.high, gap.low <= 1.5 <= gap.high]
    assert hold / 3000 == pytest.approx([0.90, 0.95, 0.90], abs=0.02)


def test_the_extremes_story_has_slope_crossing_and_scatter():
    """Bow 0: 6.0 4.5 7.5 4.0 right; bow 4: 3.0 6.5 4.0 4.5 left: -2.5 deg a notch, crossing 2.2, residual 1.5 (invented numbers)."""
    start = [6.0, 4.5, 7.5, 4.0, -3.0, -6.5, -4.0, -4.5]
    slope, at_zero, scatter = means.line([0.0] * 4 + [4.0] * 4, start)
    assert slope.mean == pytest.approx(-2.5, abs=0.005)
    assert -at_zero.mean / slope.mean == pytest.approx(2.2, abs=0.005)
    assert scatter == pytest.approx(1.5, abs=0.05)
    assert scatter / math.sqrt(8) / abs(slope.mean) == pytest.approx(0.22, abs=0.01)


def test_the_aim_story_crosses_outside_the_scale():
    slope, at_zero, _ = means.line([-1, 0, 1, 2, 3], [7.4, 6.4, 6.0, 5.6, 4.6])
    assert slope.mean == pytest.approx(-0.64)
    assert -at_zero.mean / slope.mean == pytest.approx(10.4, abs=0.05)


def test_a_line_through_balls_at_one_bow_has_no_slope():
    slope, at_zero, scatter = means.line([2.0, 2.0, 2.0], [1.0, 3.0, 4.0])
    assert math.isnan(slope.mean)
    assert math.isnan(at_zero.mean)
    assert math.isnan(scatter)
    assert slope.high == math.inf


def test_two_points_give_a_line_with_infinite_ends():
    slope, _, scatter = means.line([0.0, 4.0], [5.0, -3.0])
    assert (slope.mean, slope.high, scatter) == (-2.0, math.inf, 0.0)


def test_rows_of_different_length_are_refused():
    with pytest.raises(OffScale):
        means.line([1, 2, 3], [1, 2])


def test_a_difference_needs_two_balls_on_each_side():
    assert means.difference([1.0, 2.0], [3.0]).high == math.inf
    assert math.isnan(means.difference([], [3.0, 4.0]).mean)
    assert means.difference([2.0, 2.0], [3.0, 3.0]).low == -math.inf
    with pytest.raises(OffScale):
        means.difference_from_summary((1.0, 1.0, 1), (2.0, 1.0, 5))


def test_welch_gives_unlike_spreads_fewer_degrees_of_freedom():
    alike = means.difference_from_summary((0, 2.0, 8), (0, 2.0, 8), pooled=True)
    unlike = means.difference_from_summary((0, 0.1, 8), (0, math.sqrt(8 - 0.01), 8))
    assert unlike.sd == pytest.approx(alike.sd, rel=1e-3)
    assert unlike.high > alike.high


@pytest.mark.parametrize(("bias", "shares"), [(0, (0.82, 0.68, 0.58, 0.50, 0.38, 0.31)), (2, (0.50, 0.48, 0.45, 0.41, 0.34))])
def test_share_on_line_hardly_shows_a_bias_at_a_wide_spread(bias, shares):
    spreads = (1.5, 2, 2.5, 3, 4, 5) if bias == 0 else (1.5, 2, 2.5, 3, 4)
    assert [round(means.share_inside(2, bias, spread), 2) for spread in spreads] == pytest.approx(list(shares), abs=0.011)


@pytest.mark.parametrize(("window", "bias", "spread"), [(0, 0, 3), (2, 0, 0), (2, math.nan, 3), (-2, 0, 3)])
def test_a_share_inside_nothing_is_refused(window, bias, spread):
    with pytest.raises(OffScale):
        means.share_inside(window, bias, spread)
