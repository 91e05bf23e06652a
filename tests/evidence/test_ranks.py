"""Rank tests against brute force over every order, and on rows that say nothing."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.errors import OffScale
from rangelog.evidence import ranks

classes = st.lists(st.integers(0, 2), min_size=1, max_size=5)


def test_kendall_matches_every_order_of_six_values():
    y = [3.0, 1.0, 4.0, 1.5, 5.0, 9.0]
    x = list(range(6))

    def concordant(row):
        return sum(row[j] > row[i] for i in range(6) for j in range(i + 1, 6))

    every = [concordant(row) for row in itertools.permutations(y)]
    found = ranks.kendall(x, y)
    assert found.statistic == concordant(y)
    assert found.p_greater == pytest.approx(np.mean([c >= found.statistic for c in every]))
    assert found.p_less == pytest.approx(np.mean([c <= found.statistic for c in every]))


def test_jonckheere_exact_matches_every_deal_of_seven_values():
    groups = [[1.0, 5.0], [2.0, 6.0, 3.0], [7.0, 4.0]]
    pool = [value for group in groups for value in group]

    def j(row):
        parts = [row[:2], row[2:5], row[5:]]
        return sum(b > a for p, q in itertools.combinations(parts, 2) for a in p for b in q)

    every = [j(row) for row in itertools.permutations(pool)]
    found = ranks.jonckheere(groups)
    assert found.exact
    assert found.p_greater == pytest.approx(np.mean([value >= j(pool) for value in every]))
    assert found.p_less == pytest.approx(np.mean([value <= j(pool) for value in every]))


def test_jonckheere_normal_agrees_with_its_exact_self():
    rng = np.random.default_rng(2)
    groups = [rng.normal(0.4 * k, 1, 9) for k in range(3)]
    exact, normal = ranks.jonckheere(groups), ranks.jonckheere(groups, exact=False)
    assert normal.p_greater == pytest.approx(exact.p_greater, abs=0.01)


@given(first=classes, second=classes)
def test_the_class_permutation_matches_every_deal(first, second):
    pool = first + second
    sums = [sum(pool[i] for i in chosen) for chosen in itertools.combinations(range(len(pool)), len(first))]
    found = ranks.permutation_shift(first, second)
    assert found.p_greater == pytest.approx(np.mean([total >= sum(first) for total in sums]), abs=1e-9)
    assert found.p_less == pytest.approx(np.mean([total <= sum(first) for total in sums]), abs=1e-9)


@pytest.mark.parametrize(
    "found",
    [
        ranks.kendall([], []),
        ranks.kendall([1.0], [2.0]),
        ranks.kendall([1, 1, 1], [1, 2, 3]),
        ranks.jonckheere([[1, 2]]),
        ranks.jonckheere([[2, 2], [2, 2]]),
        ranks.jonckheere([[], [1.0], []]),
        ranks.permutation_shift([], [1, 2]),
        ranks.permutation_shift([1, 1], [1, 1]),
    ],
)
def test_rows_that_say_nothing_have_p_one(found):
    assert (found.p_greater, found.p_less, found.p_two_sided) == (1.0, 1.0, 1.0)


def test_a_rising_row_is_a_trend_and_its_mirror_the_opposite():
    up = ranks.kendall(range(8), range(8))
    down = ranks.kendall(range(8), range(8, 0, -1))
    assert (up.tau, down.tau) == (1.0, -1.0)
    assert up.p_greater == pytest.approx(1 / math.factorial(8))
    assert down.p_less == pytest.approx(up.p_greater)


def test_kendall_with_ties_is_a_mirror_too():
    x, y = [12, 2, 1, 12, 2], [1, 4, 7, 1, 0]
    there, back = ranks.kendall(x, y), ranks.kendall([-v for v in x], y)
    assert there.tau == pytest.approx(-back.tau)
    assert there.p_greater == pytest.approx(back.p_less)


def test_theil_sen_is_not_bent_by_one_wild_ball():
    x = list(range(11))
    y = [-2.5 * v + 5 for v in x]
    y[10] = 60.0
    assert ranks.theil_sen(x, y).mean == pytest.approx(-2.5)


@pytest.mark.parametrize(("x", "y"), [([1.0], [1.0]), ([1, 1, 1], [1, 2, 3]), ([1, 2], [4, 6]), ([1, 2, 3], [2, 2, 2])])
def test_theil_sen_has_infinite_ends_where_the_pairs_are_too_few(x, y):
    assert ranks.theil_sen(x, y).low == -math.inf
    assert ranks.theil_sen(x, y).high == math.inf


@pytest.mark.parametrize(
    "call",
    [
        lambda: ranks.kendall([1, 2], [1]),
        lambda: ranks.kendall([1, math.nan], [1, 2]),
        lambda: ranks.theil_sen([1, 2], [1]),
        lambda: ranks.theil_sen([1, 2], [1, 2], 1.5),
        lambda: ranks.jonckheere([[1, 1], [2, 3]], exact=True),
        lambda: ranks.permutation_shift(range(7), [1]),
        lambda: ranks.permutation_shift([math.inf], [1]),
    ],
)
def test_what_cannot_be_ranked_is_refused(call):
    with pytest.raises(OffScale):
        call()
