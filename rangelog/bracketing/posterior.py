"""Belief about the line given balls: a Gaussian for every cell of the spread, by expectation propagation.

Every ball's likelihood is replaced by a Gaussian of the same mass, mean and variance against the belief from all other
balls, again and again until nothing moves (Minka 2001). Started afresh from the balls alone, so the same balls give the
same answers, and in any order where the line does not drift.
"""

from dataclasses import dataclass

import numpy as np

from rangelog.bracketing.likelihood import FAR_DEG, Seen, chance
from rangelog.bracketing.normal import Floats
from rangelog.bracketing.priors import SHARED, Priors

KNOT_EVERY = 15.0
"""Balls between two knots of the drift."""

SETTLED = 1e-4
"""Sweeps end when no ball moves the line by more than this share of its own uncertainty."""

UNDAMPED, DAMPED_PACE = 15, 0.6
"""Full steps settle in about ten sweeps; the few fits that still swing are then slowed down."""

LET_GO = ((4, 12.0), (60, 8.0))
"""Sweeps at a time, and how far under the best the log weight of a cell may then lie before the cell is let go."""

DOUBTFUL_DEG = 15.0
"""A number further out than this is taken for wild until the other balls say otherwise."""


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

    def among(self, kept: np.ndarray) -> "SessionBelief":
        """Some of the cells only."""
        return SessionBelief(self.mean[kept], self.cov[kept], self.log_weight[kept], self.knot_times, self.sweeps)


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
    return np.asarray(np.maximum(0.0, 1.0 - np.abs(place[:, None] - np.arange(count))))


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
    mean, cov, evidence, sweeps = propagate(prior_mean, prior_cov, design, balls, spread, start.log_weight)
    return SessionBelief(mean, cov, start.log_weight + evidence, knot_times, sweeps)


def propagate(
    prior_mean: Floats, prior_cov: Floats, design: Floats, balls: Seen, spread: Floats, log_weight: Floats
) -> tuple[Floats, Floats, Floats, int]:
    """Expectation propagation for n balls on d unknowns in every cell.

    Args:
        prior_mean: (cells, d); prior_cov: (cells, d, d); design: (n, d); spread: (cells, n) or (cells, 1).
        log_weight: (cells,), to tell which cells still matter: the others are let go before they have settled.

    Returns:
        mean (cells, d), covariance (cells, d, d), log evidence (cells,) and the number of sweeps.
    """
    spread_var = np.broadcast_to(spread * spread, (len(prior_mean), len(balls)))
    # only unknowns that some ball speaks of need sweeping; the others follow by their prior covariance with these
    told = np.flatnonzero(np.any(design != 0.0, axis=0))
    part_mean, part_cov = prior_mean[:, told], prior_cov[:, told[:, None], told]
    prior_precision = np.asarray(np.linalg.inv(part_cov))
    prior_shift = (prior_precision @ part_mean[..., None])[..., 0]
    part = design[:, told]
    outer = (part[:, :, None] * part[:, None, :]).reshape(len(part), -1)
    run = _Run(prior_precision, prior_shift, part, outer, balls, spread_var, *_first_guess(balls, spread_var))
    count = len(prior_mean)
    mean, cov, evidence = part_mean.copy(), part_cov.copy(), np.full(count, -np.inf)
    matter, sweeps = np.flatnonzero(log_weight > log_weight.max() - LET_GO[0][1]), 0
    for most, let_go in LET_GO:
        still = run.among(matter)
        done = still.sweep(most, sweeps)
        sweeps += done
        mean[matter], cov[matter], evidence[matter] = still.evidence(part_mean[matter], part_cov[matter])
        if done < most:
            break
        run.precision[matter], run.shift[matter] = still.precision, still.shift
        standing = log_weight + evidence
        matter = np.flatnonzero(standing > standing.max() - let_go)
    if len(told) < design.shape[1]:
        reach = prior_cov[:, :, told] @ prior_precision
        mean = prior_mean + (reach @ (mean - part_mean)[..., None])[..., 0]
        cov = prior_cov + reach @ (cov - part_cov) @ reach.transpose(0, 2, 1)
    return mean, cov, evidence, sweeps


@dataclass(slots=True)
class _Run:
    """The sites of every ball in every cell, and the sweeps that settle them.

    Attributes:
        design: (n, d); outer: (n, d * d), each ball's features times one another, so that sums over balls are one product.
        precision, shift: (cells, n) of the sites.
    """

    prior_precision: Floats
    prior_shift: Floats
    design: Floats
    outer: Floats
    balls: Seen
    spread_var: Floats
    precision: Floats
    shift: Floats

    def among(self, cells: np.ndarray) -> "_Run":
        """The same for some cells only."""
        return _Run(
            self.prior_precision[cells],
            self.prior_shift[cells],
            self.design,
            self.outer,
            self.balls,
            self.spread_var[cells],
            self.precision[cells],
            self.shift[cells],
        )

    def sweep(self, most: int, before: int) -> int:
        """Renew all sites at once until they settle, at most so many times after those before; the number of times."""
        for count in range(1, most + 1):
            line_mean, line_var, _, _ = self._marginals()
            cavity_var, cavity_mean = self._cavity(line_mean, line_var)
            start_var = cavity_var + self.spread_var
            _, first, second = chance(self.balls, cavity_mean, start_var)
            # a ball never says more than its exact number would: the bound is exact, rounding is not
            second = np.clip(second, -1.0 / start_var, 0.0)
            precision = -second / (1.0 + cavity_var * second)
            shift = precision * cavity_mean + first * (1.0 + cavity_var * precision)
            moved = float(np.max(np.abs(shift - self.shift) * np.sqrt(line_var)))
            pace = 1.0 if before + count < UNDAMPED else DAMPED_PACE
            self.precision = self.precision + pace * (precision - self.precision)
            self.shift = self.shift + pace * (shift - self.shift)
            if moved < SETTLED:
                return count
        return most

    def evidence(self, prior_mean: Floats, prior_cov: Floats) -> tuple[Floats, Floats, Floats]:
        """Mean, covariance and log evidence of every cell as the sites now stand."""
        line_mean, line_var, mean, cov = self._marginals()
        cavity_var, cavity_mean = self._cavity(line_mean, line_var)
        z, _, _ = chance(self.balls, cavity_mean, cavity_var + self.spread_var)
        tilt = (cavity_mean / cavity_var + self.shift) ** 2 / (1 / cavity_var + self.precision) - cavity_mean**2 / cavity_var
        evidence = np.sum(np.log(z) + 0.5 * np.log1p(cavity_var * self.precision) - 0.5 * tilt, axis=1)
        full_shift = self.prior_shift + self.shift @ self.design
        evidence += 0.5 * (np.linalg.slogdet(cov)[1] - np.linalg.slogdet(prior_cov)[1])
        evidence += 0.5 * (np.sum(mean * full_shift, axis=1) - np.sum(prior_mean * self.prior_shift, axis=1))
        return mean, cov, evidence

    def _marginals(self) -> tuple[Floats, Floats, Floats, Floats]:
        """Mean and variance of the line at every ball, and mean and covariance of the unknowns."""
        size = self.design.shape[1]
        told = (self.precision @ self.outer).reshape(-1, size, size)
        cov = np.asarray(np.linalg.inv(self.prior_precision + told))
        mean = (cov @ (self.prior_shift + self.shift @ self.design)[..., None])[..., 0]
        return mean @ self.design.T, cov.reshape(len(cov), -1) @ self.outer.T, mean, cov

    def _cavity(self, line_mean: Floats, line_var: Floats) -> tuple[Floats, Floats]:
        """Variance and mean of the line at every ball, as all other balls have it."""
        var = line_var / (1.0 - line_var * self.precision)
        return var, var * (line_mean / line_var - self.shift)


def _first_guess(balls: Seen, spread_var: Floats) -> tuple[Floats, Floats]:
    """Sites to start from: the number, the middle of the class, or a little beyond the wide edge; nothing from a number far out."""
    middle = (balls.low + balls.high) / 2
    middle = np.where(balls.high >= FAR_DEG, balls.low + 2.0, middle)
    middle = np.where(balls.low <= -FAR_DEG, balls.high - 2.0, middle)
    precision = 0.7 / spread_var * (np.abs(middle) < DOUBTFUL_DEG)
    return precision, precision * middle
