"""What one club may learn from the others: the effect of the levers as a prior, never the intercept."""

from collections.abc import Sequence

import numpy as np

from rangelog.bracketing.chain import Carried, Chain
from rangelog.bracketing.memory import Memory, recalled
from rangelog.bracketing.normal import Floats
from rangelog.bracketing.priors import BOW, GRIP, Priors

_LEAST_PRECISION = 1e-3


def lent(start: Carried, others: Sequence[tuple[Chain, Carried]], memory: Memory | None, club: str, priors: Priors) -> Carried:
    """The start of a club after hearing what other clubs' balls taught of the levers.

    A club whose bow (or grip) was never moved within a session lends nothing, so that a new club with one setting leaves
    every other fit unchanged to the last digit.
    """
    told = start
    for chain, taught in others:
        first = chain.start.overall()
        last = taught.overall()
        for place, lever, sd in ((BOW, "bow", priors.club_bow_sd), (GRIP, "grip", priors.club_grip_sd)):
            if moved(chain, lever):
                told = _hear(told, place, first, last, sd)
    if memory is not None:
        known = {kept_club.club for kept_club in memory.clubs} - {club}
        for name in sorted(known):
            kept = recalled(memory, name)
            if kept is not None:
                prior = (priors.mean(), _diagonal(priors))
                for place, sd in ((BOW, priors.club_bow_sd), (GRIP, priors.club_grip_sd)):
                    told = _hear(told, place, prior, kept[0].overall(), sd)
    return told


def moved(chain: Chain, lever: str) -> bool:
    """Whether a lever was moved within a session among the balls that take part."""
    return any(len({getattr(ball, lever) for ball in balls if ball.enters}) > 1 for balls in chain.sessions.values())


def _diagonal(priors: Priors) -> Floats:
    return np.asarray(np.diag(priors.sd() ** 2))


def _hear(told: Carried, place: int, first: tuple[Floats, Floats], last: tuple[Floats, Floats], sd: float) -> Carried:
    """Update one unknown by what the balls alone said of it: the belief after them taken apart from the belief before."""
    before, after = 1 / first[1][place, place], 1 / last[1][place, place]
    precision = after - before
    if precision < _LEAST_PRECISION:
        return told
    value = (after * last[0][place] - before * first[0][place]) / precision
    noise = 1 / precision + sd * sd
    gain = told.cov[:, :, place] / (told.cov[:, place, place] + noise)[:, None]
    mean = told.mean + gain * (value - told.mean[:, place])[:, None]
    cov = told.cov - gain[:, :, None] * told.cov[:, None, place, :]
    return Carried(mean, cov, told.spread)
