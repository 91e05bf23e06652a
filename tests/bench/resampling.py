"""Standard errors of means and of ratios of means over the same players, by resampling players."""

import numpy as np
from numpy.typing import ArrayLike

RESAMPLES = 1000
SEED = 5


def _weights(players: int) -> np.ndarray:
    return np.random.default_rng(SEED).multinomial(players, np.full(players, 1.0 / players), size=RESAMPLES) / players


def mean_and_error(values: ArrayLike) -> tuple[float, float]:
    """Mean and its standard error; the error is NaN for fewer than two values."""
    v = np.asarray(values, dtype=float)
    return float(v.mean()), float(v.std(ddof=1) / np.sqrt(len(v))) if len(v) > 1 else float("nan")


def ratio_and_error(values: ArrayLike, others: ArrayLike) -> tuple[float, float]:
    """Ratio of two means over the same players, and its standard error by a paired bootstrap (Efron & Tibshirani 1993; from memory)."""
    v, o = np.asarray(values, dtype=float), np.asarray(others, dtype=float)
    weights = _weights(len(v))
    bottom = weights @ o
    ratios = (weights @ v)[bottom > 0] / bottom[bottom > 0]
    return float(v.mean() / o.mean()), float(ratios.std(ddof=1))


def share_and_error(hits: int, n: int) -> tuple[float, float]:
    """A share and its binomial standard error; NaN of none."""
    if n == 0:
        return float("nan"), float("nan")
    share = hits / n
    return share, float(np.sqrt(share * (1.0 - share) / n))
