"""One setting on its own: numbers and classes together."""

import math

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.special import ndtr

from rangelog.bracketing.maximum_likelihood import fit_mean


def test_a_baseline_of_classes() -> None:
    """1 far right, 5 right, 3 on line, 1 left (edges 2, 6): about +2.4, spread 3.0, standard error 1.0; a general optimiser agrees."""
    ends = [(6.0, math.inf)] + [(2.0, 6.0)] * 5 + [(-2.0, 2.0)] * 3 + [(-6.0, -2.0)]
    found = fit_mean(ends)
    assert found is not None
    mean, error, spread = found
    assert mean == pytest.approx(2.4, abs=0.1)
    assert spread == pytest.approx(3.0, abs=0.15)
    assert error == pytest.approx(1.0, abs=0.1)

    def minus(point: np.ndarray) -> float:
        centre, size = point[0], math.exp(point[1])
        return -sum(math.log(ndtr((high - centre) / size) - ndtr((low - centre) / size)) for low, high in ends)

    best = minimize(minus, np.array([0.0, 1.0]), method="Nelder-Mead", options={"xatol": 1e-8, "fatol": 1e-12, "maxiter": 4000})
    assert mean == pytest.approx(best.x[0], abs=1e-5)
    assert spread == pytest.approx(math.exp(best.x[1]), abs=1e-5)


@pytest.mark.parametrize("ends", [[], [(2.0, 6.0)], [(2.0, 6.0)] * 6, [(6.0, math.inf)] * 4, [(3.0, 3.0)] * 5, [(2.0, 6.0), (3.0, 3.0)]])
def test_no_spread_is_made_up_where_none_was_seen(ends: list[tuple[float, float]]) -> None:
    assert fit_mean(ends) is None
