"""The pictures' numbers on their way to a plot: bins, axes, and which labels find room."""

import math
import re
from collections import Counter
from collections.abc import Iterable, Sequence

from rangelog.core.picture import BandPoint, Bar, Run, Spot, Strip

__all__ = ["NOTHING", "BandPoint", "Bar", "Run", "Spot", "Strip", "binned", "reach", "thinned", "with_comma"]

NOTHING = "No balls to draw."


def binned(values: Iterable[float], width: float = 1.0) -> tuple[tuple[float, int], ...]:
    """Degrees counted into bins of a width, centred on its multiples: what is drawn never grows with the number of balls."""
    counts = Counter(round(value / width) for value in values)
    return tuple((place * width, counts[place]) for place in sorted(counts))


def reach(values: Iterable[float], least: float) -> float:
    """Half-width of an axis around the line that shows every finite value, at least `least`, in whole degrees."""
    farthest = max((abs(value) for value in values if math.isfinite(value)), default=0.0)
    return float(math.ceil(max(farthest, least)))


def thinned(labels: Sequence[str], most: int) -> list[int]:
    """Which of many places to label: at most `most`, evenly, the last one always among them."""
    n = len(labels)
    if n <= most:
        return list(range(n))
    step = math.ceil(n / most)
    return sorted({*range(0, n - step // 2, step), n - 1})


def with_comma(label: str) -> str:
    """A label of a picture with its decimals written 2,5 in place of 2.5."""
    return re.sub(r"(?<=\d)\.(?=\d)", ",", label)
