"""Rank methods against textbooks and general statistics libraries."""

import itertools

import numpy as np
import pytest
from scipy import stats

from rangelog.evidence import ranks


# Hollander & Wolfe, tuna lightness and panel scores, as in the help page of R's cor.test: T = 26, tau = 0.4444444, p = 0.1194
def test_kendall_on_the_tuna_data():
    x = [44.4, 45.9, 41.9, 53.3, 44.7, 44.1, 50.7, 45.2, 60.1]
    y = [2.6, 3.1, 2.5, 5.0, 3.6, 4.0, 5.2, 2.8, 3.8]
    found = ranks.kendall(x, y)
    assert found.statistic == 26
    assert found.tau == pytest.approx(0.4444444, abs=1e-7)
    assert found.exact
    assert found.p_two_sided == pytest.approx(0.1194, abs=5e-5)


# SciPy documentation, kendalltau example with ties: -0.4714045208, p 0.2827454600
def test_kendall_with_ties_prints_the_documented_example():
    found = ranks.kendall([12, 2, 1, 12, 2], [1, 4, 7, 1, 0])
    assert found.tau == pytest.approx(-0.4714045208, abs=1e-10)
    assert found.p_two_sided == pytest.approx(0.2827454600, abs=1e-9)


# Hollander & Wolfe Ex. 6.2: J = 79, tie-corrected one-sided p = .02071
def test_jonckheere_with_ties_prints_the_textbook_example():
    groups = [[40, 35, 38, 43, 44, 41], [38, 40, 47, 44, 40, 42], [48, 40, 45, 43, 46, 44]]
    found = ranks.jonckheere(groups)
    assert found.statistic == 79
    assert not found.exact
    assert found.p_greater == pytest.approx(0.02071, abs=5e-6)


# Exact Jonckheere-Terpstra example of a published rank-test page: J = 59, two-sided p = .01973
def test_jonckheere_exact_prints_the_published_example():
    groups = [[447, 396, 383, 410], [438, 521, 468, 391, 504, 472], [513, 543, 506, 489, 407]]
    found = ranks.jonckheere(groups)
    assert found.statistic == 59
    assert found.exact
    assert found.p_greater == pytest.approx(0.00986632, abs=5e-9)
    assert found.p_two_sided == pytest.approx(0.01973, abs=5e-6)


# Bonett DG (2021), R package statpsych, ci.theil: slope 0.5, 95 % 0.3243243 to 0.75
def test_theil_sen_prints_the_documented_example():
    y = [21, 4, 9, 12, 35, 18, 10, 22, 24, 1, 6, 8, 13, 16, 19]
    x = [67, 28, 30, 28, 52, 40, 25, 37, 44, 10, 14, 20, 28, 40, 51]
    found = ranks.theil_sen(x, y)
    assert (found.mean, found.low, found.high) == (0.5, pytest.approx(0.3243243, abs=1e-7), 0.75)


# Hollander, Wolfe & Chicken Ex. 9.1 (data as in R package NSM3; the slope recomputed by hand from the ten listed slopes)
def test_theil_sen_on_the_textbook_data():
    assert ranks.theil_sen([1, 2, 3, 4, 5], [1.26, 1.27, 1.12, 1.16, 1.03]).mean == pytest.approx(-0.05625)


# scipy.stats.theilslopes, a general library
def test_theil_sen_agrees_with_a_library():
    rng = np.random.default_rng(4)
    for _ in range(30):
        x = rng.integers(0, 8, 18).astype(float)
        y = rng.normal(0, 2, 18) - x
        library = stats.theilslopes(y, x, 0.9)
        found = ranks.theil_sen(x, y, 0.9)
        assert (found.mean, found.low, found.high) == pytest.approx((library.slope, library.low_slope, library.high_slope))


# scipy.stats.kendalltau, a general library
def test_kendall_agrees_with_a_library():
    rng = np.random.default_rng(5)
    for top, method in ((10_000, "exact"), (6, "asymptotic")):
        for _ in range(20):
            x, y = rng.integers(0, top, (2, 12))
            found, library = ranks.kendall(x, y), stats.kendalltau(x, y, method=method)
            assert found.tau == pytest.approx(library.statistic)
            assert found.p_two_sided == pytest.approx(library.pvalue)


# scipy.stats.mannwhitneyu, a general library: two groups are the smallest Jonckheere-Terpstra
def test_jonckheere_on_two_groups_is_mann_whitney():
    rng = np.random.default_rng(6)
    a, b = rng.normal(0, 1, 7), rng.normal(1, 1, 9)
    library = stats.mannwhitneyu(b, a, alternative="greater", method="exact")
    found = ranks.jonckheere([a, b])
    assert (found.statistic, found.p_greater) == (library.statistic, pytest.approx(library.pvalue))
    tied_a, tied_b = rng.integers(0, 3, 12), rng.integers(0, 3, 10)
    normal = stats.mannwhitneyu(tied_b, tied_a, alternative="greater", method="asymptotic", use_continuity=False)
    assert ranks.jonckheere([tied_a, tied_b]).p_greater == pytest.approx(normal.pvalue)


# scipy.stats.permutation_test over every deal, a general library
def test_the_class_permutation_agrees_with_a_library():
    for first, second in itertools.product(([2, 2, 1, 0], [1, 1, 2]), ([0, 1, 0, 2], [2, 0, 0])):
        library = stats.permutation_test(
            (first, second), lambda a, b: np.sum(a), alternative="greater", n_resamples=np.inf, vectorized=False
        )
        assert ranks.permutation_shift(first, second).p_greater == pytest.approx(library.pvalue)
