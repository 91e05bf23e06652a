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
    """What is believed when a stretch of balls begins, for every cell.

    Attributes:
        mean: (cells, 5 + own); cov: (cells, 5 + own, 5 + own): the shared unknowns, then the session's own line. That is one number
            where the session begins; later two, at the session's first ball and now.
        log_weight: (cells,) up to a constant.
    """

    mean: Floats
    cov: Floats
    log_weight: Floats


@dataclass(frozen=True, slots=True)
class SessionBelief:
    """Belief at the end of a session over the shared unknowns and this session's own line.

    Attributes:
        mean: (cells, 5 + own); cov: (cells, 5 + own, 5 + own): of the session's own line the first is at its first ball, the last is now.
        log_weight: (cells,).
        sweeps: sweeps until the fit settled.
    """

    mean: Floats
    cov: Floats
    log_weight: Floats
    sweeps: int

    def among(self, kept: np.ndarray) -> "SessionBelief":
        """Some of the cells only."""
        return SessionBelief(self.mean[kept], self.cov[kept], self.log_weight[kept], self.sweeps)


@dataclass(frozen=True, slots=True)
class Stretch:
    """Balls of a session from a moment on.

    Attributes:
        features: (n, 5) shared features; times: (n,) balls since the stretch began, ascending; seen: what they did.
        spread: (cells, n) or (cells, 1), degrees.
    """

    features: Floats
    times: Floats
    seen: Seen
    spread: Floats


def session_start(mean: Floats, cov: Floats, log_weight: Floats, priors: Priors) -> Belief:
    """Belief (cells, 5 + 1) before the first ball of a session, from that of the shared unknowns (cells, 5)."""
    count = len(mean)
    wider = np.zeros((count, SHARED + 1, SHARED + 1))
    wider[:, :SHARED, :SHARED] = cov
    wider[:, SHARED, SHARED] = priors.day_shift_sd**2
    return Belief(np.concatenate((mean, np.zeros((count, 1))), axis=1), wider, log_weight)


def knots(length: float, priors: Priors) -> Floats:
    """Times (k,) from 0 to a length in balls at which the session's own line is an unknown; between them it is straight."""
    if priors.drift_deg_per_ball <= 0 or length <= 0:
        return np.zeros(1)
    return np.linspace(0.0, length, int(np.ceil(length / KNOT_EVERY)) + 1)


def knot_features(times: Floats, knot_times: Floats) -> Floats:
    """Share of each knot in the line at each time, shape (n, k)."""
    made = np.zeros((len(times), len(knot_times)))
    rows = np.arange(len(times))
    if len(knot_times) == 1:
        made[:, 0] = 1.0
        return made
    left = np.clip(np.searchsorted(knot_times, times, side="right") - 1, 0, len(knot_times) - 2)
    share = np.clip((times - knot_times[left]) / (knot_times[left + 1] - knot_times[left]), 0.0, 1.0)
    made[rows, left] = 1.0 - share
    made[rows, left + 1] = share
    return made


def _walked(start: Belief, knot_times: Floats, priors: Priors) -> tuple[Floats, Floats]:
    """Mean and covariance of a start with its line now carried on to every knot, the first of which is the start itself."""
    now = start.mean.shape[1] - 1
    origin = np.concatenate((np.arange(now), np.full(len(knot_times), now)))
    cov = start.cov[:, origin[:, None], origin]
    cov[:, now:, now:] += priors.drift_deg_per_ball**2 * np.minimum(knot_times[:, None], knot_times)
    return start.mean[:, origin], cov


def _design(stretch: Stretch, before: int, knot_times: Floats) -> Floats:
    """Features (n, before + knots) of the balls in all unknowns; the ball of a session's first moment is no unknown they touch."""
    made = np.zeros((len(stretch.times), before + len(knot_times)))
    made[:, :SHARED] = stretch.features
    made[:, before:] = knot_features(stretch.times, knot_times)
    return made


def learn(start: Belief, stretch: Stretch, length: float, priors: Priors) -> SessionBelief:
    """Belief after a stretch of balls; `length` is the time that counts as now."""
    knot_times = knots(length, priors)
    mean, cov = _walked(start, knot_times, priors)
    if not len(stretch.times):
        return SessionBelief(mean, cov, start.log_weight, 0)
    design = _design(stretch, start.mean.shape[1] - 1, knot_times)
    mean, cov, evidence, sweeps = propagate(mean, cov, design, stretch.seen, stretch.spread, start.log_weight)
    return SessionBelief(mean, cov, start.log_weight + evidence, sweeps)


def fold(start: Belief, stretch: Stretch, upto: float, length: float, priors: Priors) -> Belief:
    """Belief at a moment `upto` within a stretch, from the balls before it; the balls after it only help to read those.

    A long session is learned in this way: what its older balls say is settled once and not worked out again with every ball.
    """
    before = start.mean.shape[1] - 1
    knot_times = knots(upto, priors)
    boundary = before + len(knot_times) - 1
    knot_times = np.concatenate((knot_times, upto + knots(length - upto, priors)[1:]))
    mean, cov = _walked(start, knot_times, priors)
    count = int(np.searchsorted(stretch.times, upto))
    weight = start.log_weight
    if len(stretch.times):
        design = _design(stretch, before, knot_times)
        mean, cov, evidence, _ = propagate(mean, cov, design, stretch.seen, stretch.spread, weight, count)
        weight = weight + evidence
    kept = np.concatenate((np.arange(SHARED), np.unique([SHARED, boundary])))
    return Belief(mean[:, kept], cov[:, kept[:, None], kept], weight)


def propagate(
    prior_mean: Floats, prior_cov: Floats, design: Floats, balls: Seen, spread: Floats, log_weight: Floats, first: int | None = None
) -> tuple[Floats, Floats, Floats, int]:
    """Expectation propagation for n balls on d unknowns in every cell.

    Args:
        prior_mean: (cells, d); prior_cov: (cells, d, d); design: (n, d); spread: (cells, n) or (cells, 1).
        log_weight: (cells,), to tell which cells still matter: the others are let go before they have settled.
        first: answer from so many balls at the front only, read as they are by all; all of them where not given.

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
        mean[matter], cov[matter], evidence[matter] = still.evidence(
            part_mean[matter], part_cov[matter], len(balls) if first is None else first
        )
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

    def evidence(self, prior_mean: Floats, prior_cov: Floats, first: int) -> tuple[Floats, Floats, Floats]:
        """Mean, covariance and log evidence of every cell as the sites of the first so many balls now stand."""
        line_mean, line_var, mean, cov = self._marginals()
        cavity_var, cavity_mean = self._cavity(line_mean, line_var)
        z, _, _ = chance(self.balls, cavity_mean, cavity_var + self.spread_var)
        tilt = (cavity_mean / cavity_var + self.shift) ** 2 / (1 / cavity_var + self.precision) - cavity_mean**2 / cavity_var
        each = np.log(z) + 0.5 * np.log1p(cavity_var * self.precision) - 0.5 * tilt
        shift = self.shift[:, :first] @ self.design[:first]
        if first < len(self.balls):
            mean, cov = self._told(self.precision[:, :first] @ self.outer[:first], shift)
        evidence = np.sum(each[:, :first], axis=1)
        full_shift = self.prior_shift + shift
        evidence += 0.5 * (np.linalg.slogdet(cov)[1] - np.linalg.slogdet(prior_cov)[1])
        evidence += 0.5 * (np.sum(mean * full_shift, axis=1) - np.sum(prior_mean * self.prior_shift, axis=1))
        return mean, cov, evidence

    def _marginals(self) -> tuple[Floats, Floats, Floats, Floats]:
        """Mean and variance of the line at every ball, and mean and covariance of the unknowns."""
        mean, cov = self._told(self.precision @ self.outer, self.shift @ self.design)
        return mean @ self.design.T, cov.reshape(len(cov), -1) @ self.outer.T, mean, cov

    def _told(self, precision: Floats, shift: Floats) -> tuple[Floats, Floats]:
        """Mean and covariance of the unknowns, once told a precision (cells, d * d) and a shift (cells, d)."""
        size = self.design.shape[1]
        cov = np.asarray(np.linalg.inv(self.prior_precision + precision.reshape(-1, size, size)))
        return (cov @ (self.prior_shift + shift)[..., None])[..., 0], cov

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
