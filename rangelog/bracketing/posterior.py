"""Belief about the line given balls: a Gaussian for every cell of the spread, by expectation propagation.

Every ball's likelihood is replaced by a Gaussian of the same mass, mean and variance against the belief from all other
balls, again and again until nothing moves (Minka 2001). Started afresh from the balls alone, so the same balls give the
same answers, and in any order where the line does not drift.
"""

from dataclasses import dataclass

import numpy as np

from rangelog.bracketing.cells import Cells
from rangelog.bracketing.likelihood import Seen, chance
from rangelog.bracketing.normal import Floats
from rangelog.bracketing.priors import LINE, SHARED, Priors

KNOT_EVERY = 10.0
"""Balls between two knots of the drift."""

MAX_SWEEPS = 60
SETTLED = 1e-6


@dataclass(frozen=True, slots=True)
class Belief:
    """What is believed of the shared unknowns, for every cell.

    Attributes:
        mean: (cells, 5); cov: (cells, 5, 5); log_weight: (cells,) up to a constant.
    """

    mean: Floats
    cov: Floats
    log_weight: Floats


@dataclass(frozen=True, slots=True)
class SessionBelief:
    """Belief at the end of a session over the shared unknowns and this session's own line.

    Attributes:
        mean: (cells, 5 + knots); cov: (cells, 5 + knots, 5 + knots); log_weight: (cells,).
        knot_times: balls since the session's first ball, the last knot being now.
        sweeps: sweeps until the fit settled.
    """

    mean: Floats
    cov: Floats
    log_weight: Floats
    knot_times: Floats
    sweeps: int

    def now(self, features: Floats) -> tuple[Floats, Floats]:
        """Mean and covariance (cells, m), (cells, m, m) of the line now at shared features (m, 5)."""
        full = np.zeros((len(features), self.mean.shape[1]))
        full[:, :SHARED] = features
        full[:, -1] = 1.0
        return self.mean @ full.T, full @ self.cov @ full.T

    def handed_on(self, priors: Priors) -> Belief:
        """What the next session starts from: the shared unknowns, the line having walked a little."""
        cov = self.cov[:, :SHARED, :SHARED].copy()
        cov[:, LINE, LINE] += priors.line_walk_sd**2
        return Belief(self.mean[:, :SHARED].copy(), cov, self.log_weight)


def before(cells: Cells, mean: Floats, cov: Floats) -> Belief:
    """The same Gaussian in every cell, weights from the prior of the cells."""
    count = len(cells)
    return Belief(np.tile(mean, (count, 1)), np.tile(cov, (count, 1, 1)), cells.log_prior)


def knots(last_ball: float, priors: Priors) -> tuple[Floats, Floats]:
    """Times of the knots (k,) and the covariance (k, k) of the session's own line there."""
    if priors.drift_deg_per_ball <= 0 or last_ball <= 0:
        times = np.zeros(1)
    else:
        times = np.linspace(0.0, last_ball, int(np.ceil(last_ball / KNOT_EVERY)) + 1)
    cov = priors.day_shift_sd**2 + priors.drift_deg_per_ball**2 * np.minimum(times[:, None], times[None, :])
    return times, cov


def knot_features(times: Floats, knot_times: Floats) -> Floats:
    """Share of each knot in the line at each time: straight between neighbours, shape (n, k)."""
    count = len(knot_times)
    if count == 1:
        return np.ones((len(times), 1))
    place = np.clip(times / (knot_times[1] - knot_times[0]), 0.0, count - 1.0)
    return np.maximum(0.0, 1.0 - np.abs(place[:, None] - np.arange(count)))


def learn(start: Belief, features: Floats, times: Floats, last_ball: float, balls: Seen, spread: Floats, priors: Priors) -> SessionBelief:
    """Belief after one session's balls.

    Args:
        start: belief before the session.
        features: (n, 5) shared features of the balls; times: (n,) balls since the session's first.
        last_ball: time that counts as now.
        spread: (cells, n) or (cells, 1), degrees.
    """
    knot_times, knot_cov = knots(last_ball, priors)
    size = SHARED + len(knot_times)
    count = len(start.mean)
    prior_cov = np.zeros((count, size, size))
    prior_cov[:, :SHARED, :SHARED] = start.cov
    prior_cov[:, SHARED:, SHARED:] = knot_cov
    prior_mean = np.zeros((count, size))
    prior_mean[:, :SHARED] = start.mean
    if not len(balls):
        return SessionBelief(prior_mean, prior_cov, start.log_weight, knot_times, 0)
    design = np.concatenate((features, knot_features(times, knot_times)), axis=1)
    mean, cov, evidence, sweeps = propagate(prior_mean, prior_cov, design, balls, spread)
    return SessionBelief(mean, cov, start.log_weight + evidence, knot_times, sweeps)


def propagate(prior_mean: Floats, prior_cov: Floats, design: Floats, balls: Seen, spread: Floats) -> tuple[Floats, Floats, Floats, int]:
    """Expectation propagation for n balls on d unknowns in every cell.

    Returns:
        mean (cells, d), covariance (cells, d, d), log evidence (cells,) and the number of sweeps.
    """
    spread_var = np.broadcast_to(spread * spread, (len(prior_mean), len(balls)))
    prior_precision = np.linalg.inv(prior_cov)
    prior_shift = np.einsum("cij,cj->ci", prior_precision, prior_mean)
    precision, shift = _first_guess(balls, spread_var)
    site = np.concatenate((precision, shift), axis=1)
    n = len(balls)
    sweeps = 0
    for sweeps in range(1, MAX_SWEEPS + 1):
        precision, shift = site[:, :n], site[:, n:]
        line_mean, line_var, mean, cov = _marginals(prior_precision, prior_shift, design, precision, shift)
        cavity_var = 1.0 / (1.0 / line_var - precision)
        cavity_mean = cavity_var * (line_mean / line_var - shift)
        z, first, second = chance(balls, cavity_mean, cavity_var + spread_var)
        new_precision = np.maximum(-second / np.maximum(1.0 + cavity_var * second, 1e-9), 0.0)
        new_shift = new_precision * cavity_mean + first * (1.0 + cavity_var * new_precision)
        moved = np.max(np.abs(new_shift - shift) * np.sqrt(line_var) + np.abs(new_precision - precision) * line_var)
        pace = 1.0 if sweeps < 6 else 0.6
        site = np.concatenate((precision + pace * (new_precision - precision), shift + pace * (new_shift - shift)), axis=1)
        if moved < SETTLED:
            break
    precision, shift = site[:, :n], site[:, n:]
    line_mean, line_var, mean, cov = _marginals(prior_precision, prior_shift, design, precision, shift)
    cavity_var = 1.0 / (1.0 / line_var - precision)
    cavity_mean = cavity_var * (line_mean / line_var - shift)
    z, _, _ = chance(balls, cavity_mean, cavity_var + spread_var)
    tilt = (cavity_mean / cavity_var + shift) ** 2 / (1 / cavity_var + precision) - cavity_mean**2 / cavity_var
    evidence = np.sum(np.log(z) + 0.5 * np.log1p(cavity_var * precision) - 0.5 * tilt, axis=1)
    full_shift = prior_shift + shift @ design
    evidence += 0.5 * (np.linalg.slogdet(cov)[1] - np.linalg.slogdet(prior_cov)[1])
    evidence += 0.5 * (np.sum(mean * full_shift, axis=1) - np.sum(prior_mean * prior_shift, axis=1))
    return mean, cov, evidence, sweeps


def _first_guess(balls: Seen, spread_var: Floats) -> tuple[Floats, Floats]:
    """Sites to start from: the number, the middle of the class, or a little beyond the wide edge."""
    low = np.where(np.isfinite(balls.low), balls.low, balls.high - 2.5)
    high = np.where(np.isfinite(balls.high), balls.high, balls.low + 2.5)
    precision = 0.7 / spread_var
    return precision, precision * (low + high) / 2


def _marginals(
    prior_precision: Floats, prior_shift: Floats, design: Floats, precision: Floats, shift: Floats
) -> tuple[Floats, Floats, Floats, Floats]:
    """Mean and variance of the line at every ball, and of the unknowns."""
    full = prior_precision + (design.T * precision[:, None, :]) @ design
    cov = np.linalg.inv(full)
    mean = np.einsum("cij,cj->ci", cov, prior_shift + shift @ design)
    spanned = cov @ design.T
    return mean @ design.T, np.sum(spanned * design.T, axis=1), mean, cov
