"""The posterior of one session on one lever, written out plainly: what the fast fit must agree with.

Nothing is approximated here but the integral the caller makes of it, by a grid or by a chain of draws.
"""

import numpy as np

from rangelog.bracketing.likelihood import WILD_SD_DEG, WILD_SHARE
from rangelog.bracketing.normal import LOG_ROOT_TWO_PI, ROOT_TWO_PI, Floats, between
from rangelog.bracketing.priors import BOW_CENTRE, Priors


def log_posterior(level: Floats, slope: Floats, log_spread: Floats, bow: Floats, low: Floats, high: Floats, priors: Priors) -> Floats:
    """Unnormalised log posterior of the line of one session without drift, at one grip, stick on, ball position 0.

    Args:
        level: bias in the middle of the bow scale, open-positive degrees; slope: degrees per notch; log_spread: log of degrees.
            The three broadcast against one another.
        bow, low, high: (n,) balls; low == high for a number.

    Returns:
        an array of the broadcast shape.
    """
    level, slope, log_spread = np.broadcast_arrays(level, slope, log_spread)
    spread = np.exp(log_spread)
    level_sd = np.hypot(priors.line_sd, priors.day_shift_sd)
    total = -0.5 * ((level - priors.line) / level_sd) ** 2 - 0.5 * ((slope - priors.bow) / priors.bow_sd) ** 2
    total = total - 0.5 * ((log_spread - priors.log_spread) / priors.log_spread_sd) ** 2
    for at, first, last in zip(bow, low, high, strict=True):
        mean = level + slope * (at - BOW_CENTRE)
        if first == last:
            z = (first - mean) / spread
            tame = np.exp(-0.5 * z * z - LOG_ROOT_TWO_PI) / spread
            wild = np.exp(-0.5 * (first / WILD_SD_DEG) ** 2) / (ROOT_TWO_PI * WILD_SD_DEG)
        else:
            tame = between((first - mean) / spread, (last - mean) / spread)
            wild = between(np.array(first / WILD_SD_DEG), np.array(last / WILD_SD_DEG))
        total = total + np.log((1 - WILD_SHARE) * tame + WILD_SHARE * wild)
    return np.asarray(total)
