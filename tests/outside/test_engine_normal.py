"""The cut normal law of the engine gives published values: density, distribution, moments and the one-sided update."""

import math

import numpy as np
import pytest
from scipy.special import ndtri

from rangelog.bracketing.normal import between, interval_update, log_between, truncated_density, truncated_distribution, truncated_moments

INF = math.inf


# J. Burkardt, truncated_normal code, printed test values: mean 100, SD 25.
@pytest.mark.parametrize(
    ("low", "high", "x", "density"),
    [
        (50, 150, 90, 0.01543301171801836),
        (50, 150, 100, 0.01671838200940538),
        (50, INF, 90, 0.01507373507401876),
        (50, INF, 100, 0.01632918226724295),
        (50, INF, 110, 0.01507373507401876),
    ],
)
def test_truncated_density_is_the_printed_one(low: float, high: float, x: float, density: float) -> None:
    """Density of N(100, 25^2) kept between two ends."""
    assert truncated_density(x, 100, 25, low, high) == pytest.approx(density, rel=1e-13)


# J. Burkardt, truncated_normal code, printed test values: mean 100, SD 25.
@pytest.mark.parametrize(
    ("low", "high", "x", "distribution"),
    [
        (50, INF, 90, 0.3293202045481688),
        (50, INF, 100, 0.4883601253415709),
        (50, INF, 110, 0.6474000461349729),
        (-INF, 150, 90, 0.3525999538650271),
        (-INF, 150, 100, 0.5116398746584292),
        (-INF, 150, 110, 0.6706797954518312),
    ],
)
def test_truncated_distribution_is_the_printed_one(low: float, high: float, x: float, distribution: float) -> None:
    """Distribution function of N(100, 25^2) kept on one side of an end."""
    assert truncated_distribution(x, 100, 25, low, high) == pytest.approx(distribution, rel=1e-13)


# Moments of the same laws by the formula of J. Burkardt's truncated_normal code; recomputed, not printed there.
@pytest.mark.parametrize(
    ("mean", "sd", "low", "high", "moments"),
    [
        (100, 25, 50, 150, (100.0, 483.588315)),
        (100, 25, 50, INF, (101.381197, 554.032468)),
        (100, 25, -INF, 150, (98.618803, 554.032468)),
        (0, 1, 0, INF, (0.797885, 0.363380)),
    ],
)
def test_truncated_moments_follow_the_formula(mean: float, sd: float, low: float, high: float, moments: tuple[float, float]) -> None:
    """Mean and variance of a cut normal, the half-normal among them."""
    assert truncated_moments(mean, sd, low, high) == pytest.approx(moments, abs=6e-7)


def test_truncated_moments_agree_with_a_fine_sum_over_the_density() -> None:
    """Mean and variance equal the moments of the density summed over a fine grid, off centre."""
    x = np.linspace(1.0, 6.0, 200001)
    density = np.array([truncated_density(float(value), -0.7, 2.1, 1.0, 6.0) for value in x[::100]])
    grid = x[::100]
    mean = np.trapezoid(grid * density, grid)
    var = np.trapezoid((grid - mean) ** 2 * density, grid)
    assert truncated_moments(-0.7, 2.1, 1.0, 6.0) == pytest.approx((mean, var), rel=1e-5)


def test_one_sided_update_is_the_printed_rating_update() -> None:
    """Herbrich, Minka & Graepel (2006) with the printed answer of the trueskill library's documentation.

    Both players N(25, (25/3)^2), beta 25/6, tau 25/300, draw chance 0.10; one wins: winner 29.396, 7.171, loser 20.604, 7.171.
    """
    beta, tau = 25 / 6, 25 / 300
    var = (25 / 3) ** 2 + tau**2
    draw_margin = math.sqrt(2.0) * beta * float(ndtri(0.55))
    # the winner's own skill is seen through noise: the other's skill and both performances
    noise_var = var + 2 * beta**2
    winner = interval_update(25.0, var, noise_var, 25.0 + draw_margin, INF)
    loser = interval_update(25.0, var, noise_var, -INF, 25.0 - draw_margin)
    assert (winner[0], math.sqrt(winner[1])) == pytest.approx((29.396, 7.171), abs=5e-4)
    assert (loser[0], math.sqrt(loser[1])) == pytest.approx((20.604, 7.171), abs=5e-4)


def test_interval_update_agrees_with_a_brute_force_sum() -> None:
    """Belief N(1, 4) seen through noise of variance 9 to have fallen between 2 and 6: moments by a fine sum."""
    x = np.linspace(-19.0, 21.0, 40001)
    weight = np.exp(-0.5 * (x - 1.0) ** 2 / 4.0) * between((2.0 - x) / 3.0, (6.0 - x) / 3.0)
    mean = (weight @ x) / weight.sum()
    var = (weight @ (x - mean) ** 2) / weight.sum()
    assert interval_update(1.0, 4.0, 9.0, 2.0, 6.0) == pytest.approx((mean, var), rel=1e-9)


def test_far_tails_keep_their_mass() -> None:
    """Forty SDs out the logarithm of the mass still follows the leading term of Mills' ratio (from memory), either side."""
    leading = -0.5 * 40.0**2 - math.log(40.0 * math.sqrt(2 * math.pi)) + math.log1p(-1 / 40.0**2)
    assert float(log_between(40.0, INF)) == pytest.approx(leading, abs=1e-5)
    assert float(log_between(-INF, -40.0)) == pytest.approx(leading, abs=1e-5)
