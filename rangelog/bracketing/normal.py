"""The normal law cut into intervals: probabilities, moments and one-sided updates.

The moments of the truncated normal are the textbook ones (al, be the standardised ends, Z the mass between):
mean = mu + sd (phi(al) - phi(be)) / Z, var = sd^2 [1 + (al phi(al) - be phi(be)) / Z - ((phi(al) - phi(be)) / Z)^2].
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.special import log_ndtr, ndtr

Floats = NDArray[np.float64]

ROOT_TWO_PI = math.sqrt(2 * math.pi)
LOG_ROOT_TWO_PI = math.log(ROOT_TWO_PI)


def density(z: ArrayLike) -> Floats:
    """Standard normal density, 0 at the infinite ends."""
    z = np.asarray(z, dtype=float)
    return np.asarray(np.exp(-0.5 * z * z) / ROOT_TWO_PI)


def distribution(z: ArrayLike) -> Floats:
    """Standard normal distribution function."""
    return np.asarray(ndtr(np.asarray(z, dtype=float)))


def between(low: ArrayLike, high: ArrayLike) -> Floats:
    """Standard normal mass between two standardised ends, kept exact in the upper tail by mirroring."""
    low = np.asarray(low, dtype=float)
    high = np.asarray(high, dtype=float)
    mirror = low > 0
    return np.asarray(ndtr(np.where(mirror, -low, high)) - ndtr(np.where(mirror, -high, low)))


def log_between(low: ArrayLike, high: ArrayLike) -> Floats:
    """Logarithm of `between`, exact far out in either tail."""
    low = np.asarray(low, dtype=float)
    high = np.asarray(high, dtype=float)
    mirror = low > 0
    near = np.where(mirror, -low, high)
    far = np.where(mirror, -high, low)
    log_near = log_ndtr(near)
    gap = log_ndtr(far) - log_near
    return np.asarray(log_near + np.log1p(-np.exp(np.minimum(gap, -1e-300))))


def truncated_moments(mean: float, sd: float, low: float = -math.inf, high: float = math.inf) -> tuple[float, float]:
    """Mean and variance of a normal kept between two ends (either may be infinite)."""
    al, be = (low - mean) / sd, (high - mean) / sd
    log_mass = float(log_between(al, be))
    at_low = math.exp(-0.5 * al * al - LOG_ROOT_TWO_PI - log_mass) if math.isfinite(al) else 0.0
    at_high = math.exp(-0.5 * be * be - LOG_ROOT_TWO_PI - log_mass) if math.isfinite(be) else 0.0
    shift = at_low - at_high
    pull = (al * at_low if at_low else 0.0) - (be * at_high if at_high else 0.0)
    return mean + sd * shift, sd * sd * (1 + pull - shift * shift)


def truncated_density(x: float, mean: float, sd: float, low: float = -math.inf, high: float = math.inf) -> float:
    """Density at x of a normal kept between two ends, 0 outside them."""
    if not low <= x <= high:
        return 0.0
    z = (x - mean) / sd
    return math.exp(-0.5 * z * z - LOG_ROOT_TWO_PI - float(log_between((low - mean) / sd, (high - mean) / sd))) / sd


def truncated_distribution(x: float, mean: float, sd: float, low: float = -math.inf, high: float = math.inf) -> float:
    """Distribution function at x of a normal kept between two ends."""
    inside = min(max(x, low), high)
    al, be = (low - mean) / sd, (high - mean) / sd
    return float(between(al, (inside - mean) / sd) / between(al, be))


def interval_update(mean: float, var: float, noise_var: float, low: float, high: float) -> tuple[float, float]:
    """Mean and variance of a Gaussian belief after seeing only that belief + noise fell between two ends.

    Exact moments. With one end infinite this is the one-sided update of rating systems (Herbrich, Minka & Graepel 2006).
    """
    total = var + noise_var
    seen_mean, seen_var = truncated_moments(mean, math.sqrt(total), low, high)
    gain = var / total
    return mean + gain * (seen_mean - mean), var - gain * gain * (total - seen_var)
