"""Intervals and exact tests against published figures and general statistics libraries."""

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats import inter_rater
from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

from rangelog.evidence import agreement, intervals, means


# Newcombe RG (1998), Stat Med 17, 857-872, Table I, method 3
@pytest.mark.parametrize(
    ("hits", "n", "low", "high"), [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)]
)
def test_wilson_prints_newcombes_table(hits, n, low, high):
    share = intervals.wilson(hits, n)
    assert (round(share.low, 4), round(share.high, 4)) == (low, high)


# NIST/SEMATECH e-Handbook of Statistical Methods 7.2.4.1, doi:10.18434/M32189: one-sided lower score bound, z = 1.645
def test_one_sided_wilson_prints_the_handbooks_bound():
    assert intervals.wilson_lower(26, 200) == pytest.approx(0.09577, abs=5e-6)


# NIST/SEMATECH e-Handbook 7.2.4.1: exact two-sided 90 % limits for 4 of 20
def test_exact_interval_prints_the_handbooks_limits():
    share = intervals.exact(4, 20, 0.90)
    assert (share.low, share.high) == (pytest.approx(0.071354, abs=1e-6), pytest.approx(0.401029, abs=1e-6))


# R package binom, as shipped in statsmodels' own results (results_proportion): equal-tailed Jeffreys 95 %
@pytest.mark.parametrize(
    ("hits", "n", "low", "high"), [(4, 20, 0.071520, 0.408226), (18, 20, 0.716147, 0.978628), (4, 200, 0.006788, 0.046847)]
)
def test_jeffreys_prints_the_values_of_r(hits, n, low, high):
    share = intervals.jeffreys(hits, n)
    assert (share.low, share.high) == (pytest.approx(low, abs=1e-6), pytest.approx(high, abs=1e-6))


# R package binom, as shipped in statsmodels' own results: exact and Wilson 95 % for 4 of 20
def test_exact_and_wilson_print_the_values_of_r_for_4_of_20():
    exact, wilson = intervals.exact(4, 20), intervals.wilson(4, 20)
    assert (exact.low, exact.high) == (pytest.approx(0.057334, abs=1e-6), pytest.approx(0.436614, abs=1e-6))
    assert (wilson.low, wilson.high) == (pytest.approx(0.080658, abs=1e-6), pytest.approx(0.416017, abs=1e-6))


# statsmodels proportion_confint, a general library
@pytest.mark.parametrize(("method", "ours"), [("wilson", intervals.wilson), ("beta", intervals.exact), ("jeffreys", intervals.jeffreys)])
def test_every_inner_count_up_to_25_agrees_with_a_library(method, ours):
    for n in range(2, 26):
        for hits in range(1, n):
            share = ours(hits, n, 0.9)
            assert (share.low, share.high) == pytest.approx(proportion_confint(hits, n, 0.1, method), abs=1e-9)


# scipy.stats.fisher_exact, a general library
def test_fishers_test_agrees_with_a_library():
    rng = np.random.default_rng(1)
    for _ in range(200):
        n, m = rng.integers(1, 60, 2).tolist()
        a, b = int(rng.integers(0, n + 1)), int(rng.integers(0, m + 1))
        table = [[a, n - a], [b, m - b]]
        assert intervals.fisher_two_sided(a, n, b, m) == pytest.approx(stats.fisher_exact(table).pvalue, abs=1e-9)
        assert intervals.fisher_lower(a, n, b, m) == pytest.approx(stats.fisher_exact(table, "less").pvalue, abs=1e-9)


# statsmodels confint_proportions_2indep (Newcombe's hybrid score interval), a general library
def test_the_difference_of_shares_agrees_with_a_library():
    for a, n, b, m in ((56, 70, 48, 80), (9, 10, 3, 10), (5, 56, 0, 29)):
        found = intervals.share_difference(a, n, b, m)
        assert (found.low, found.high) == pytest.approx(confint_proportions_2indep(a, n, b, m, method="newcomb"), abs=1e-9)


# Newcombe RG (1998), Interval estimation for the difference between independent proportions, Stat Med 17, 873-890, method 10,
# 56/70 against 48/80: 0.0524 to 0.3339. From memory.
def test_the_difference_of_shares_prints_newcombes_first_example():
    found = intervals.share_difference(56, 70, 48, 80)
    assert (round(found.low, 4), round(found.high, 4)) == (0.0524, 0.3339)


# scipy.stats t, chi2 and ttest_ind intervals, a general library
def test_means_spreads_and_differences_agree_with_a_library():
    rng = np.random.default_rng(7)
    a, b = rng.normal(1, 3, 9), rng.normal(0, 2, 14)
    mean = means.mean(a)
    assert (mean.low, mean.high) == pytest.approx(stats.t.interval(0.9, 8, a.mean(), stats.sem(a)))
    spread = means.spread(a)
    expected = [a.std(ddof=1) * np.sqrt(8 / stats.chi2.ppf(tail, 8)) for tail in (0.975, 0.025)]
    assert (spread.low, spread.high) == pytest.approx(expected)
    for pooled in (True, False):
        found = means.difference(a, b, 0.95, pooled)
        library = stats.ttest_ind(a, b, equal_var=pooled).confidence_interval(0.95)
        assert (found.low, found.high) == pytest.approx((library.low, library.high))


# scipy.stats.linregress, a general library
def test_the_line_agrees_with_a_library():
    rng = np.random.default_rng(3)
    x = rng.integers(-2, 6, 20).astype(float)
    y = 4 - 2.5 * x + rng.normal(0, 3, 20)
    slope, at_zero, _ = means.line(x, y)
    library = stats.linregress(x, y)
    assert (slope.mean, slope.sd) == pytest.approx((library.slope, library.stderr))
    assert (at_zero.mean, at_zero.sd) == pytest.approx((library.intercept, library.intercept_stderr))
    assert slope.high - slope.mean == pytest.approx(stats.t.ppf(0.95, 18) * library.stderr)


# statsmodels cohens_kappa, a general library
@pytest.mark.parametrize("weights", [None, "quadratic"])
def test_kappa_agrees_with_a_library(weights):
    table = np.array([[10, 3, 1], [2, 8, 4], [1, 2, 9]])
    pairs = [(i, j) for i in range(3) for j in range(3) for _ in range(table[i, j])]
    found = agreement.agreement(pairs, [0, 1, 2] if weights else None).kappa
    library = inter_rater.cohens_kappa(table, wt=weights)
    assert found is not None
    assert (found.mean, found.sd) == pytest.approx((library.kappa, library.std_kappa))
