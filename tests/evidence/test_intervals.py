"""Intervals of counts: legal, never empty, never of width 0."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.errors import OffScale
from rangelog.evidence import intervals

counts = st.integers(0, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))
KINDS = [intervals.wilson, intervals.jeffreys, intervals.exact]


@pytest.mark.parametrize("kind", KINDS)
@given(count=counts)
def test_an_interval_holds_its_share_and_is_never_of_width_zero(kind, count):
    share = kind(*count)
    assert 0.0 <= share.low < share.high <= 1.0
    if count[1]:
        assert share.low <= share.share <= share.high


@pytest.mark.parametrize("kind", KINDS)
@given(count=counts)
def test_hits_and_misses_mirror_one_another(kind, count):
    hits, n = count
    one, other = kind(hits, n), kind(n - hits, n)
    assert one.low == pytest.approx(1 - other.high, abs=1e-12)


@given(count=counts)
def test_the_exact_interval_is_the_most_cautious_against_jeffreys(count):
    exact, jeffreys = intervals.exact(*count), intervals.jeffreys(*count)
    assert exact.low <= jeffreys.low + 1e-12
    assert exact.high >= jeffreys.high - 1e-12


@given(count=counts, level=st.sampled_from([0.5, 0.9, 0.95, 0.99]))
def test_a_one_sided_bound_is_the_end_of_the_interval_of_twice_its_tail(count, level):
    hits, n = count
    if n:
        wide = intervals.wilson(hits, n, 2 * level - 1) if level > 0.5 else None
        if wide:
            assert intervals.wilson_lower(hits, n, level) == pytest.approx(wide.low, abs=1e-12)
            assert intervals.wilson_upper(hits, n, level) == pytest.approx(wide.high, abs=1e-12)


def test_six_solid_of_six_says_likely_over_61_percent():
    share = intervals.wilson(6, 6)
    assert share.low == pytest.approx(0.61, abs=0.005)
    assert share.high == 1.0


def test_no_balls_leave_the_whole_range_open():
    assert (intervals.wilson(0, 0).low, intervals.wilson(0, 0).high) == (0.0, 1.0)
    assert intervals.wilson_lower(0, 0) == 0.0
    assert intervals.wilson_upper(0, 0) == 1.0
    assert math.isnan(intervals.wilson(0, 0).share)


@pytest.mark.parametrize("count", [(-1, 3), (4, 3), (0, -1)])
@pytest.mark.parametrize("kind", [*KINDS, intervals.wilson_lower, intervals.wilson_upper])
def test_a_count_outside_its_total_is_refused(kind, count):
    with pytest.raises(OffScale):
        kind(*count)


@pytest.mark.parametrize("level", [0.0, 1.0, -0.1, 95, math.nan])
@pytest.mark.parametrize("kind", KINDS)
def test_a_level_outside_zero_to_one_is_refused(kind, level):
    with pytest.raises(OffScale):
        kind(3, 10, level)


def test_the_story_figures_of_shares():
    # invented counts: a baseline, a confirm block and a retention block; Wilson 95 %
    for hits, n, low, high in ((3, 10, 0.11, 0.60), (15, 20, 0.53, 0.89), (6, 10, 0.31, 0.83)):
        share = intervals.wilson(hits, n)
        assert (round(share.low, 2), round(share.high, 2)) == (low, high)


def test_the_story_figures_of_exact_tests():
    assert intervals.fisher_two_sided(18, 20, 10, 20) == pytest.approx(0.014, abs=0.0005)
    assert intervals.fisher_two_sided(6, 10, 15, 20) == pytest.approx(0.43, abs=0.005)
    assert intervals.fisher_two_sided(4, 12, 29, 40) == pytest.approx(0.02, abs=0.005)


@given(first=counts, second=counts)
def test_the_exact_test_does_not_care_which_row_comes_first(first, second):
    assert intervals.fisher_two_sided(*first, *second) == pytest.approx(intervals.fisher_two_sided(*second, *first), rel=1e-9)


@given(first=counts, second=counts)
def test_the_two_one_sided_chances_overlap_in_the_table_seen(first, second):
    (a, n), (b, m) = first, second
    below = intervals.fisher_lower(a, n, b, m)
    above = intervals.fisher_lower(b, m, a, n)
    total = a + b
    seen = math.comb(n, a) * math.comb(m, b) / math.comb(n + m, total)
    assert below + above == pytest.approx(1 + seen, rel=1e-9)


def test_a_difference_of_shares_says_whether_it_is_shown():
    strike = intervals.share_difference(18, 20, 10, 20)
    direction = intervals.share_difference(14, 20, 15, 20)
    assert strike.shown
    assert strike.low > 0
    assert not direction.shown
    assert direction.low < 0 < direction.high


@given(first=counts, second=counts)
def test_a_difference_stays_inside_minus_one_to_one_and_holds_itself(first, second):
    found = intervals.share_difference(*first, *second)
    assert -1 - 1e-12 <= found.low < found.high <= 1 + 1e-12
    if first[1] and second[1]:
        assert found.low <= found.difference <= found.high
    else:
        assert (found.low, found.high, found.p) == (-1.0, 1.0, 1.0)


def test_telling_75_from_55_percent_needs_88_balls_each():
    # normal approximation, two-sided 5 %, power 80 %, the arithmetic mean share in the null variance
    first, second, z = 0.75, 0.55, (1.959964, 0.841621)
    middle = (first + second) / 2
    null, real = math.sqrt(2 * middle * (1 - middle)), math.sqrt(first * (1 - first) + second * (1 - second))
    assert math.ceil(((z[0] * null + z[1] * real) / (first - second)) ** 2) in (88, 89)
    assert not intervals.share_difference(15, 20, 11, 20).shown
    assert intervals.share_difference(66, 88, 48, 88).shown
