"""The likelihood of exact and interval balls in the engine, maximised, gives the published estimates of other fields.

Every published estimate is reached twice: by a plain search over the engine's own `chance` without wild balls, and by the engine's
Newton fit of censored answers.
"""

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import minimize
from statsmodels.miscmodels.ordinal_model import OrderedModel  # type: ignore[import-untyped]

from rangelog.bracketing import Bracket
from rangelog.bracketing.likelihood import WILD_SHARE, Seen, chance, seen
from rangelog.bracketing.maximum_likelihood import fit
from rangelog.bracketing.normal import Floats

INF = math.inf
Search = Callable[[Floats, Floats, Floats, Floats], tuple[Floats, float, float]]


def unmixed(low: Floats, high: Floats) -> Seen:
    """Balls of a law without wild ones."""
    return replace(seen(low, high), floor=np.zeros(len(low)))


def log_likelihood(low: Floats, high: Floats, mean: Floats, sd: float) -> float:
    """Sum of log densities (exact) and log masses (intervals) by the engine's likelihood."""
    balls = unmixed(low, high)
    tame, _, _ = chance(balls, mean[None, :], np.full((1, len(low)), sd * sd))
    with np.errstate(divide="ignore"):
        return float(np.log(tame / (1 - WILD_SHARE)).sum())


def maximised(low: Floats, high: Floats, design: Floats, start: Floats) -> tuple[Floats, float, float]:
    """Coefficients (k,), SD and log-likelihood at the maximum.

    Searched over coefficients/SD and 1/SD, where the log-likelihood is concave (Olsen 1978, Pratt 1981).
    """

    def loss(point: Floats) -> float:
        sd = math.exp(-point[-1])
        return -log_likelihood(low, high, design @ point[:-1] * sd, sd)

    first = np.append(start[:-1] / start[-1], -math.log(start[-1]))
    found = minimize(loss, first, method="BFGS", options={"gtol": 1e-7})
    found = minimize(loss, found.x, method="Nelder-Mead", options={"xatol": 1e-10, "fatol": 1e-13, "maxiter": 20000, "maxfev": 20000})
    sd = math.exp(-found.x[-1])
    return found.x[:-1] * sd, sd, -float(found.fun)


def by_newton(low: Floats, high: Floats, design: Floats, start: Floats) -> tuple[Floats, float, float]:
    """The same from the engine's own fit, which needs no start."""
    found = fit(design, low, high)
    return found.coefficients, found.spread, found.log_likelihood


twice = pytest.mark.parametrize("search", [maximised, by_newton])


@twice
def test_tobit_regression_gives_the_printed_coefficients(search: Search) -> None:
    """Tobin's durable goods, 20 rows, left-censored at 0: data and answer of R's survival package."""
    rows = np.array([
        (0, 57.7, 236), (0.7, 50.9, 283), (0, 48.5, 207), (0, 41.7, 220), (0, 47.7, 238), (0, 59.8, 216), (0, 44.3, 284),
        (3.7, 45.1, 221), (0, 51.7, 275), (3, 50, 269), (10.4, 46.8, 207), (0, 58, 249), (0, 58.9, 246), (0, 40, 277),
        (1.5, 34.1, 231), (0, 39.9, 219), (0, 33.4, 240), (3.5, 48.1, 266), (6.1, 46.6, 214), (0, 53.1, 251),
    ])  # fmt: skip
    durable = rows[:, 0].astype(float)
    # the columns are centred for the search only, and the intercept is moved back
    centre = rows[:, 1:].mean(axis=0)
    design = np.column_stack([np.ones(20), (rows[:, 1:] - centre) / 10])
    coefficients, sd, top = search(np.where(durable > 0, durable, -INF), durable, design, np.array([1.0, 0.0, 0.0, 5.0]))
    slopes = coefficients[1:] / 10
    assert [coefficients[0] - slopes @ centre, *slopes] == pytest.approx([15.1448663607, -0.129059284097, -0.0455416629543], rel=2e-5)
    assert sd == pytest.approx(5.57253976309, rel=1e-5)
    assert top == pytest.approx(-28.9401331997, abs=1e-8)


def smoked_fish() -> tuple[Floats, Floats]:
    """Data of R's fitdistrplus (smokedfish): 103 counts between two limits, log10; an open end is infinite."""
    counted = [
        (0, 0.04, 54), (0, 1, 1), (0, 100, 2), (0.04, 1, 7), (0.04, 10, 26), (0.04, 100, 8), (1, 100, 1), (15, 15, 1),
        (1, INF, 1), (100, INF, 2),
    ]  # fmt: skip
    ends = np.array([(low, high) for low, high, count in counted for _ in range(count)], dtype=float)
    with np.errstate(divide="ignore"):
        low, high = np.log10(ends).T
    return low, high


@twice
def test_interval_censored_normal_gives_the_printed_fit(search: Search) -> None:
    """Smoked fish, 103 interval-censored counts, data and answer of R's fitdistrplus (smokedfish, log10).

    The printed mean stops 2e-4 short of the optimum, so mean and SD are held to 5e-4 and the log-likelihood to its last digit.
    """
    low, high = smoked_fish()
    assert len(low) == 103
    mean, sd, top = search(low, high, np.ones((103, 1)), np.array([-1.0, 1.0]))
    assert mean[0] == pytest.approx(-1.575392, abs=5e-4)
    assert sd == pytest.approx(1.539446, abs=5e-4)
    assert top == pytest.approx(-87.10945, abs=5e-6)


def test_the_interval_censored_fit_has_the_printed_standard_errors() -> None:
    """R's fitdistrplus (smokedfish): standard errors 0.2013872 of the mean and 0.2118026 of the SD."""
    low, high = smoked_fish()
    errors = np.sqrt(np.diag(fit(np.ones((103, 1)), low, high).covariance))
    assert errors == pytest.approx([0.2013872, 0.2118026], abs=5e-4)


# Hamada MS, Mang JT, Hoff LH (2019), Quality Engineering, doi:10.1080/08982112.2018.1551547, Table 1: 25 up-and-down trials.
HAMADA_HEIGHTS = (
    25.4, 28.5, 25.4, 28.5, 32.0, 35.9, 32.0, 35.9, 40.3, 35.9, 32.0, 28.5, 32.0,
    28.5, 32.0, 28.5, 32.0, 35.9, 40.3, 35.9, 32.0, 35.9, 40.3, 35.9, 40.3,
)  # fmt: skip
HAMADA_RESPONSES = "0100010011101010001100101"


def hamada() -> tuple[Floats, Floats]:
    """Each trial says on which side of its height the sample's threshold lay: ends on the log10 scale."""
    x = np.log10(np.array(HAMADA_HEIGHTS))
    responded = np.array([y == "1" for y in HAMADA_RESPONSES])
    return np.where(responded, -INF, x), np.where(responded, x, INF)


@twice
def test_up_and_down_trials_give_the_printed_probit_estimate(search: Search) -> None:
    """Hamada et al. (2019): b0 -20.77376, b1 13.56263, mean 1.531691, SD 0.073731988, H50 34.01661."""
    low, high = hamada()
    mean, sd, top = search(low, high, np.ones((25, 1)), np.array([1.5, 0.1]))
    assert mean[0] == pytest.approx(1.531691, abs=1e-6)
    assert sd == pytest.approx(0.0737320, abs=1e-6)
    assert -mean[0] / sd == pytest.approx(-20.77376, abs=2e-4)
    assert 1 / sd == pytest.approx(13.56263, abs=2e-4)
    # printed from the rounded mean, hence the tolerance; the log-likelihood is recomputed, not printed
    assert 10.0 ** mean[0] == pytest.approx(34.01661, abs=1e-4)
    assert top == pytest.approx(-13.511840, abs=1e-6)


@twice
@pytest.mark.parametrize("seed", [1, 2])
def test_three_classes_agree_with_an_ordered_probit(seed: int, search: Search) -> None:
    """Classes with known edges +-2 deg are an ordered probit whose two cuts and slope are this model's line and spread.

    statsmodels' OrderedModel fits the same seeded balls; spread = 4 / (cut2 - cut1), slope = its slope x spread.
    """
    rng = np.random.default_rng(seed)
    bow = np.repeat(np.array([0.0, 1.0, 2.0, 3.0, 4.0]), 30)
    start = 5.0 - 2.4 * bow + 2.8 * rng.standard_normal(len(bow))
    place = np.searchsorted([-2.0, 2.0], start)
    edges = np.array([-INF, -2.0, 2.0, INF])
    design = np.column_stack([np.ones(len(bow)), bow - 2.0])
    line, spread, top = search(edges[place], edges[place + 1], design, np.array([0.0, -2.0, 3.0]))

    model = OrderedModel(place, (bow - 2.0)[:, None], distr="probit")
    fitted = model.fit(method="bfgs", disp=False, gtol=1e-8)
    first, second = model.transform_threshold_params(fitted.params[-2:])[1:3]
    assert spread == pytest.approx(4.0 / (second - first), rel=1e-4)
    assert line[1] == pytest.approx(fitted.params[0] * spread, rel=1e-4)
    assert line[0] == pytest.approx(-spread * (first + second) / 2.0, abs=1e-3)
    assert top == pytest.approx(fitted.llf, abs=1e-6)


def test_five_classes_with_known_edges_are_an_ordered_probit_with_fixed_cuts() -> None:
    """At given line and spread the log-likelihood of five classes equals OrderedModel's at the cuts those edges make."""
    rng = np.random.default_rng(4)
    bow = np.tile(np.arange(-2.0, 5.5), 12)
    place = np.searchsorted([-6.0, -2.0, 2.0, 6.0], 3.0 - 2.6 * bow + 3.0 * rng.standard_normal(len(bow)))
    edges = np.array([-INF, -6.0, -2.0, 2.0, 6.0, INF])
    spread, level, slope = 2.7, 3.4, -2.2
    ours = log_likelihood(edges[place], edges[place + 1], level + slope * bow, spread)

    model = OrderedModel(place, bow[:, None], distr="probit")
    cuts = (edges[1:5] - level) / spread
    theirs = model.loglike(np.concatenate([[slope / spread], [cuts[0]], np.log(np.diff(cuts))]))
    assert ours == pytest.approx(theirs, abs=1e-8)


def test_the_slopes_of_the_likelihood_are_its_derivatives() -> None:
    """First and second derivative in the mean agree with differences of the logarithm, wild floor included."""
    low = np.array([-INF, -6.0, -2.0, 2.0, 6.0, 1.3])
    high = np.array([-6.0, -2.0, 2.0, 6.0, INF, 1.3])
    balls = replace(seen(low, high), floor=np.full(6, 0.01))
    var = np.full((1, 6), 7.3)
    step = 1e-4
    for mean in (-7.0, -1.0, 0.4, 3.0, 9.0):
        logs = [np.log(chance(balls, np.full((1, 6), mean + by), var)[0][0]) for by in (-step, 0.0, step)]
        _, first, second = chance(balls, np.full((1, 6), mean), var)
        assert first[0] == pytest.approx((logs[2] - logs[0]) / (2 * step), abs=1e-6)
        assert second[0] == pytest.approx((logs[2] - 2 * logs[1] + logs[0]) / step**2, abs=1e-5)


@pytest.mark.parametrize("seed", [5, 6])
def test_a_bracket_with_many_balls_agrees_with_an_ordered_probit(seed: int) -> None:
    """Through the public door: 600 seeded three-class balls without drift give the crossing and slope of OrderedModel.

    The prior and the allowance for wild balls, of which there are none here, may move the slope by a few per cent, the crossing by less
    than its standard error (about 0.06 notch).
    """
    rng = np.random.default_rng(seed)
    bow = np.tile(np.array([0.0, 1.0, 2.0, 3.0, 4.0]), 120)
    place = np.searchsorted([-2.0, 2.0], 5.0 - 2.4 * bow + 2.8 * rng.standard_normal(len(bow)))
    b = Bracket(window=2.0, wide=45.0, drift_deg_per_ball=0.0)
    for at, seen_place in zip(bow, place, strict=True):
        b.add(bow=float(at), grip=30.0, start=("left", "on line", "right")[seen_place], session="day")

    model = OrderedModel(place, bow[:, None], distr="probit")
    fitted = model.fit(method="bfgs", disp=False, gtol=1e-8)
    first, second = model.transform_threshold_params(fitted.params[-2:])[1:3]
    assert b.crossing(grip=30.0).bow == pytest.approx((first + second) / 2 / fitted.params[0], abs=0.03)
    assert b.bow_effect().mean == pytest.approx(fitted.params[0] * 4.0 / (second - first), rel=0.08)
