"""Do you feel what happens? Agreement of two readings of the same balls beyond chance."""

import math
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import special

from rangelog.core.errors import OffScale
from rangelog.core.results import Estimate, Share
from rangelog.evidence.intervals import wilson

ENOUGH = 20
"""Fewer pairs than this say nothing about agreement beyond chance."""


@dataclass(frozen=True, slots=True)
class Agreement:
    """Agreement of two readings.

    Attributes:
        same: pairs that agree, of all, with the Wilson interval.
        by_chance: share that would agree if the readings knew nothing of one another.
        kappa: Cohen's kappa with its 90 % interval; None below 20 pairs, or where one reading never changes.
    """

    same: Share
    by_chance: float
    kappa: Estimate | None

    @property
    def enough(self) -> bool:
        """At least 20 pairs."""
        return self.same.n >= ENOUGH

    @property
    def beyond_chance(self) -> bool:
        """The whole interval of kappa lies above 0."""
        return self.kappa is not None and self.kappa.low > 0


def agreement(pairs: Iterable[tuple[Hashable, Hashable]], order: Sequence[Hashable] | None = None, level: float = 0.90) -> Agreement:
    """Cohen's kappa of pairs such as (felt side, seen side) or (called height, seen height).

    Args:
        pairs: the two readings of each ball.
        order: the ordered classes; with them disagreements weigh by the squared distance, without them all alike.
        level: of the interval, by the large-sample error of Fleiss, Cohen and Everitt (1969).

    Raises:
        OffScale: a reading that is not among `order`, or a level outside 0..1.
    """
    if not 0.0 < level < 1.0:
        raise OffScale("level", "A level lies between 0 and 1.")
    seen = list(pairs)
    kinds = list(order) if order is not None else sorted({kind for pair in seen for kind in pair}, key=str)
    place = {kind: index for index, kind in enumerate(kinds)}
    if any(kind not in place for pair in seen for kind in pair):
        raise OffScale("class", f"A class is one of: {', '.join(str(kind) for kind in kinds)}.")
    same = wilson(sum(first == second for first, second in seen), len(seen))
    if not seen:
        return Agreement(same, math.nan, None)
    table = np.zeros((len(kinds), len(kinds)))
    for first, second in seen:
        table[place[first], place[second]] += 1
    table /= len(seen)
    rows, columns = table.sum(axis=1), table.sum(axis=0)
    by_chance = float(rows @ columns)
    steps = np.arange(len(kinds))
    gap = np.abs(steps[:, None] - steps[None, :]).astype(float)
    weight = 1 - (gap / max(1, len(kinds) - 1)) ** 2 if order is not None else (gap == 0).astype(float)
    agree, chance = float((weight * table).sum()), float((weight * np.outer(rows, columns)).sum())
    if len(seen) < ENOUGH or (rows > 0).sum() < 2 or (columns > 0).sum() < 2:
        return Agreement(same, by_chance, None)
    kappa = (agree - chance) / (1 - chance)
    mean_weight = (weight @ columns)[:, None] + (rows @ weight)[None, :]
    moment = float((table * (weight - mean_weight * (1 - kappa)) ** 2).sum())
    error = math.sqrt(max(0.0, moment - (kappa - chance * (1 - kappa)) ** 2) / len(seen)) / (1 - chance)
    # every pair alike gives no error at all; one disagreeing ball is the least that could have been there
    error = max(error, math.sqrt((1 / len(seen)) * (1 - 1 / len(seen)) / len(seen)) / (1 - chance)) if agree > 1 - 1e-12 else error
    half = float(special.ndtri(0.5 + level / 2)) * error
    return Agreement(same, by_chance, Estimate(kappa, error, max(-1.0, kappa - half), min(1.0, kappa + half)))
