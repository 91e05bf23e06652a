"""The cut normal law, by identities; published values stand in the outside checks."""

import math

import numpy as np
import pytest

from rangelog.bracketing.normal import between, interval_update, log_between, truncated_distribution, truncated_moments


def test_moments_match_a_fine_sum() -> None:
    """Mean and variance between two ends equal the sums over a fine grid."""
    x = (np.arange(200_000) + 0.5) / 40_000 - 1
    p = np.exp(-0.5 * ((x - 1) / 2) ** 2)
    p /= p.sum()
    mean, var = truncated_moments(1.0, 2.0, -1.0, 4.0)
    assert mean == pytest.approx(float(p @ x), abs=1e-6)
    assert var == pytest.approx(float(p @ x**2 - (p @ x) ** 2), abs=1e-5)


def test_half_normal() -> None:
    """The positive half of a standard normal has mean sqrt(2/pi) and variance 1 - 2/pi."""
    mean, var = truncated_moments(0.0, 1.0, 0.0)
    assert mean == pytest.approx(math.sqrt(2 / math.pi))
    assert var == pytest.approx(1 - 2 / math.pi)


@pytest.mark.parametrize("shift", [10.0, 30.0])
def test_both_tails_are_exact(shift: float) -> None:
    """The mass between two ends far out is the same in either tail and never zero in logarithm."""
    assert float(between(shift, shift + 1)) == float(between(-shift - 1, -shift))
    assert float(log_between(shift, shift + 1)) == pytest.approx(-0.5 * shift**2 - math.log(shift * math.sqrt(2 * math.pi)), rel=0.02)


def test_an_interval_that_says_nothing_leaves_belief_alone() -> None:
    """Seeing only that something happened between minus and plus infinity changes neither mean nor variance."""
    assert interval_update(1.5, 4.0, 9.0, -math.inf, math.inf) == pytest.approx((1.5, 4.0))


def test_the_middle_of_a_symmetric_cut() -> None:
    """Half of the mass of a symmetric cut lies below its centre."""
    assert truncated_distribution(3.0, 3.0, 2.0, 1.0, 5.0) == pytest.approx(0.5)
