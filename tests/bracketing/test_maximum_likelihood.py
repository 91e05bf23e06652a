"""Maximum likelihood from numbers, intervals and one-sided answers; published answers stand in the outside checks."""

import math

import numpy as np
import pytest

from rangelog.bracketing.maximum_likelihood import fit


def test_numbers_only_is_least_squares() -> None:
    """With every answer a number the fit is least squares, its spread the root mean square residual."""
    draw = np.random.default_rng(1)
    x = np.column_stack((np.ones(30), draw.normal(size=30)))
    y = x @ [1.0, -2.0] + draw.normal(size=30)
    found = fit(x, y, y)
    expected, residual, *_ = np.linalg.lstsq(x, y, rcond=None)
    assert found.coefficients == pytest.approx(expected, abs=1e-8)
    assert found.spread == pytest.approx(math.sqrt(residual[0] / 30), rel=1e-8)


def test_narrow_intervals_tend_to_numbers() -> None:
    """Intervals a thousandth wide give what the numbers give."""
    draw = np.random.default_rng(2)
    y = draw.normal(3.0, 2.0, size=40)
    ones = np.ones((40, 1))
    grouped, exact = fit(ones, y - 5e-4, y + 5e-4), fit(ones, y, y)
    assert grouped.coefficients[0] == pytest.approx(exact.coefficients[0], abs=1e-4)
    assert grouped.spread == pytest.approx(exact.spread, abs=1e-4)


def test_recovers_a_line_from_classes() -> None:
    """Six hundred classed answers give the line back within three standard errors."""
    draw = np.random.default_rng(3)
    bow = draw.uniform(-2, 5, 600)
    start = 5.2 - 2.6 * bow + 2.8 * draw.normal(size=600)
    edges = np.array([-math.inf, -6, -2, 2, 6, math.inf])
    place = np.searchsorted(edges, start) - 1
    found = fit(np.column_stack((np.ones(600), bow)), edges[place], edges[place + 1])
    error = np.sqrt(np.diag(found.covariance))
    assert np.all(np.abs(np.append(found.coefficients, found.spread) - [5.2, -2.6, 2.8]) < 3 * error)


def test_one_sided_answers_alone_do_not_bound() -> None:
    """Answers that are all on one open side have no optimum, and it is said."""
    with pytest.raises(ValueError, match="do not bound"):
        fit(np.ones((5, 1)), np.zeros(5), np.full(5, math.inf), spread=1.0)


def test_an_interval_upside_down_is_refused() -> None:
    """Low above high is an error of the caller."""
    with pytest.raises(ValueError, match="low never above high"):
        fit(np.ones((1, 1)), [1.0], [0.0])
