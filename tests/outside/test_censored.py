"""Published answers of the normal model with censored and interval answers, and the class fit of a baseline."""

import math

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.special import ndtr

from rangelog.core.errors import OffScale
from rangelog.evidence.censored import fit, fit_mean

TOBIN = """0 57.7 236; 0.7 50.9 283; 0 48.5 207; 0 41.7 220; 0 47.7 238; 0 59.8 216; 0 44.3 284; 3.7 45.1 221; 0 51.7 275; 3 50 269;
10.4 46.8 207; 0 58 249; 0 58.9 246; 0 40 277; 1.5 34.1 231; 0 39.9 219; 0 33.4 240; 3.5 48.1 266; 6.1 46.6 214; 0 53.1 251"""

FISH = (
    ((-math.inf, 0.04), 54), ((-math.inf, 1), 1), ((-math.inf, 100), 2), ((0.04, 1), 7), ((0.04, 10), 26), ((0.04, 100), 8),
    ((1, 100), 1), ((15, 15), 1), ((1, math.inf), 1), ((100, math.inf), 2),
)  # fmt: skip

HAMADA = """25.4 0 28.5 1 25.4 0 28.5 0 32.0 0 35.9 1 32.0 0 35.9 0 40.3 1 35.9 1 32.0 1 28.5 0 32.0 1
28.5 0 32.0 1 28.5 0 32.0 0 35.9 0 40.3 1 35.9 1 32.0 0 35.9 0 40.3 1 35.9 0 40.3 1"""


def test_tobin_data() -> None:
    """Tobin's durable-goods data, left-censored at 0 (R package survival, tobin): 15.14487, -0.129059, -0.0455417, scale 5.57254."""
    rows = np.array([[float(cell) for cell in row.split()] for row in TOBIN.split(";")])
    durable, features = rows[:, 0], np.column_stack([np.ones(len(rows)), rows[:, 1:]])
    found = fit(np.where(durable > 0, durable, -np.inf), durable, features)
    assert found is not None
    assert found.coefficients == pytest.approx((15.1448663607, -0.129059284097, -0.0455416629543), rel=1e-5)
    assert found.spread == pytest.approx(5.57253976309, rel=1e-6)
    assert found.log_likelihood == pytest.approx(-28.9401331997, abs=1e-6)


def test_smoked_fish_data() -> None:
    """fitdistrplus, smokedfish, log10: mean -1.575392 (.2013872), sd 1.539446 (.2118026), logL -87.10945; its mean stops 2e-4 short."""
    ends = [(_log10(low), _log10(high)) for (low, high), count in FISH for _ in range(count)]
    lows, highs = zip(*ends, strict=True)
    found = fit(lows, highs, np.ones((len(ends), 1)))
    assert found is not None
    assert found.coefficients[0] == pytest.approx(-1.575392, abs=5e-4)
    assert found.standard_errors[0] == pytest.approx(0.2013872, abs=2e-3)
    assert found.spread == pytest.approx(1.539446, abs=5e-4)
    assert found.spread_error == pytest.approx(0.2118026, abs=2e-3)
    assert found.log_likelihood == pytest.approx(-87.10945, abs=5e-6)


def _log10(value: float) -> float:
    return value if math.isinf(value) else math.log10(value)


def test_up_and_down_trials() -> None:
    """Hamada, Mang & Hoff (2019), Quality Engineering, Table 1: probit mu 1.531691, sigma .073731988 of log10 height, H50 34.01661."""
    cells = [float(cell) for cell in HAMADA.split()]
    trials = [(math.log10(height), response) for height, response in zip(cells[::2], cells[1::2], strict=True)]
    lows = [-math.inf if response else height for height, response in trials]
    highs = [height if response else math.inf for height, response in trials]
    found = fit(lows, highs, np.ones((len(trials), 1)))
    assert found is not None
    assert found.coefficients[0] == pytest.approx(1.531691, abs=1e-6)
    assert found.spread == pytest.approx(0.073731988, abs=5e-7)  # the printed fit stops 2e-7 short of the optimum
    assert 10 ** found.coefficients[0] == pytest.approx(34.01661, abs=1e-4)


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


def test_numbers_alone_are_least_squares() -> None:
    """With numbers only the optimum is least squares, its spread the root mean square residual (a fact of the normal model)."""
    rng = np.random.default_rng(4)
    x = np.linspace(0, 4, 12)
    y = 5.5 - 2.5 * x + rng.normal(0, 1.5, 12)
    features = np.column_stack([np.ones(12), x])
    found = fit(y, y, features)
    expected, residual, *_ = np.linalg.lstsq(features, y, rcond=None)
    assert found is not None
    assert found.coefficients == pytest.approx(tuple(expected), abs=1e-8)
    assert found.spread == pytest.approx(math.sqrt(residual[0] / 12), abs=1e-8)


@pytest.mark.parametrize("ends", [[], [(2.0, 6.0)], [(2.0, 6.0)] * 6, [(6.0, math.inf)] * 4, [(3.0, 3.0)] * 5, [(2.0, 6.0), (3.0, 3.0)]])
def test_no_spread_is_made_up_where_none_was_seen(ends: list[tuple[float, float]]) -> None:
    assert fit_mean(ends) is None


def test_bad_answers_are_refused() -> None:
    with pytest.raises(OffScale):
        fit([3.0, 1.0], [2.0, 1.0], np.ones((2, 1)))
    with pytest.raises(OffScale):
        fit([math.nan, 1.0], [2.0, 1.0], np.ones((2, 1)))
