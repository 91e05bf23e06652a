"""What may be said of a setting's bias at any moment.

Each claim is a posterior probability: that the bias lies inside the window, or beyond it on one side. A posterior does not
care when it was asked, so the share of false claims at whatever moment a claim is first made stays below one minus the
level, as far as the prior is right.
"""

from rangelog.bracketing.mixture import Mixture
from rangelog.core.hand import closed_word, open_word
from rangelog.core.words import Hand, Verdict

LEVEL = 0.97
"""Probability that a claim needs."""


def spoken(bias: Mixture, window: float, hand: Hand) -> Verdict:
    """The claim that the belief about a bias (open-positive) supports, or "undecided"."""
    beyond_closed = bias.below(-window)
    beyond_open = 1 - bias.below(window)
    if 1 - beyond_closed - beyond_open >= LEVEL:
        return Verdict.CENTRED
    if beyond_open >= LEVEL:
        return Verdict(open_word(hand))
    if beyond_closed >= LEVEL:
        return Verdict(closed_word(hand))
    return Verdict.UNDECIDED
