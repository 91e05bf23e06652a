"""What the model sees behind the start line: the facts for the hints on sign, drift, aim, brackets and reach."""

import numpy as np

from rangelog.bracketing.chain import Now
from rangelog.bracketing.mixture import Mixture
from rangelog.bracketing.placement import Placement
from rangelog.bracketing.priors import BOW, GRIP, SHARED
from rangelog.core.results import Diagnosis, Estimate

DRIFT_DEG = 3.0
"""A drift smaller than this cannot be seen in a day."""

STILL_DEG = 0.25
"""A line that jumps by 4 deg moves the usual drift by more than this within a handful of balls."""

MOVED_PRIOR = 0.1
"""Chance, before any ball, that this is a session in which the line moves fast."""


def diagnosed(place: Placement, freer: Now | None, grip: float, sign: int) -> Diagnosis:
    """The diagnosis at a grip; `freer` is the belief in a faster drift, `sign` turns open-positive into physical."""
    now = place.now
    line = now.line(grip)
    slope = line.slope()
    today = [ball for ball in place.today if ball.enters]
    drift = _drift(now, freer)
    ends = line.closed_at(np.array(place.bow_range))
    falling = slope.below(0.0) >= 0.5
    crossed = ends if falling else 1 - ends
    outside = float(np.clip(crossed[0] + 1 - crossed[1], 0.0, 1.0))
    settings = {(b.bow, b.grip) for b in today}
    bow_moved = _moved({(grip, bow) for bow, grip in settings})
    grip_moved = _moved(settings)
    both = len({bow for bow, _ in settings}) > 1 and len({grip for _, grip in settings}) > 1
    return Diagnosis(
        bow_deg_per_notch=slope.estimate(sign),
        grip_deg_per_ten=_shared(place, GRIP).estimate(sign),
        spread_deg=_spread(place, grip),
        wrong_sign=1 - _shared(place, BOW).below(0.0),
        drift_deg=drift.estimate(sign),
        drift_beyond=min(1.0, max(0.0, drift.below(-DRIFT_DEG) + 1 - drift.below(DRIFT_DEG))),
        levels=tuple(sorted({bow for bow, at in settings if at == grip})),
        bow_moved=bow_moved,
        grip_moved=grip_moved,
        locked=both and not bow_moved and not grip_moved,
        outside=outside,
        counted=len(place.chain.entering()),
        prior_carries=_prior_carries(place, line.bias((place.bow_range[0] + place.bow_range[1]) / 2)),
    )


def still(now: Now) -> bool:
    """The usual drift sees next to no movement: a second fit that looks for a fast one is not worth its time."""
    return abs(_movement(now).moments()[0]) < STILL_DEG


def _moved(pairs: set[tuple[float, float]]) -> bool:
    """Whether the second of each pair took two values while the first was held."""
    held: dict[float, set[float]] = {}
    for first, second in pairs:
        held.setdefault(first, set()).add(second)
    return any(len(values) > 1 for values in held.values())


def _shared(place: Placement, at: int) -> Mixture:
    belief = place.now.belief
    return Mixture(place.now.weight, belief.mean[:, at], np.sqrt(belief.cov[:, at, at]))


def _drift(now: Now, freer: Now | None) -> Mixture:
    """Movement of the line from the session's first ball to now: as usual, or by a session in which something moved."""
    usual = _movement(now)
    if freer is None:
        return usual
    moved = _movement(freer)
    top = max(now.belief.log_weight.max(), freer.belief.log_weight.max())
    odds_usual = (1 - MOVED_PRIOR) * np.exp(now.belief.log_weight - top)
    odds_moved = MOVED_PRIOR * np.exp(freer.belief.log_weight - top)
    weight = np.concatenate((odds_usual, odds_moved))
    return Mixture(weight / weight.sum(), np.concatenate((usual.mean, moved.mean)), np.concatenate((usual.sd, moved.sd)))


def _movement(now: Now) -> Mixture:
    belief = now.belief
    turn = np.zeros(belief.mean.shape[1])
    turn[-1] += 1.0
    turn[SHARED] -= 1.0
    var = np.einsum("i,cij,j->c", turn, belief.cov, turn)
    return Mixture(now.weight, belief.mean @ turn, np.sqrt(np.maximum(var, 1e-12)))


def _spread(place: Placement, grip: float) -> Estimate:
    line = place.now.line(grip)
    values = line.spread
    mean = float(line.weight @ values)
    sd = float(np.sqrt(line.weight @ (values - mean) ** 2))
    logs = Mixture(line.weight, np.log(values), np.full(len(values), 0.08))
    return Estimate(mean, sd, float(np.exp(logs.quantile(0.05))), float(np.exp(logs.quantile(0.95))))


def _prior_carries(place: Placement, bias: Mixture) -> bool:
    """Whether the balls have not yet shrunk both the slope and the line to half of what the prior left open."""
    prior = place.chain.priors
    slope_sd = _shared(place, BOW).moments()[1]
    return slope_sd > 0.5 * prior.bow_sd or bias.moments()[1] > 0.5 * prior.line_sd
