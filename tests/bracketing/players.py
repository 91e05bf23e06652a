"""Invented players for the tests: a line, a spread and a seed."""

import random

from rangelog.bracketing import Bracket

WORDS = ("far left", "left", "on line", "right", "far right")
MIRRORED = dict(zip(WORDS, reversed(WORDS), strict=True))


def word(start_deg: float) -> str:
    """Class of a start direction with edges at 2 and 6 deg."""
    return WORDS[sum(start_deg > edge for edge in (-6, -2, 2, 6))]


def story_extremes(bracket: Bracket, sign: int = 1) -> None:
    """Four balls at each extreme: means +5.5 and -4.5, so least squares crosses at 2.2 with slope -2.5 (common practice, no source)."""
    for bow, starts in ((0, (6.0, 4.5, 7.5, 4.0)), (4, (-3.0, -6.5, -4.0, -4.5))):
        for start in starts:
            bracket.add(bow=bow, grip=30, start=sign * start, session="tue")


def hit(
    bracket: Bracket, bows: list[float], seed: int, level: float = 5.2, slope: float = -2.6, spread: float = 2.8, session: str = "mon"
) -> None:
    """One classed ball at each bow from a player with bias level + slope * bow."""
    draw = random.Random(seed)
    for bow in bows:
        start = level + slope * bow + spread * draw.gauss(0, 1)
        bracket.add(bow=bow, grip=30, start=word(start), session=session)
