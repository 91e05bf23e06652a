"""How the reviews say numbers: one format for shares, directions, ranges and chances, whole words, nothing graded."""

import math
from collections.abc import Sequence

from rangelog.core import units
from rangelog.core.results import Estimate, Setting, Share

NOT_KNOWN = "not known"


def balls(n: int) -> str:
    """ "1 ball", "23 balls"."""
    return f"{n} ball" if n == 1 else f"{n} balls"


def percent(share: float) -> str:
    """A share as whole per cent, without the sign."""
    return f"{100 * share:.0f}"


def share(found: Share) -> str:
    """ "3 of 10 (11-60 %)"; "0 of 0" carries no interval."""
    if not found.n:
        return "0 of 0"
    return f"{found.hits} of {found.n} ({percent(found.low)}-{percent(found.high)} %)"


def likely(found: Share) -> str:
    """A share with what it tells when every ball, or none, was a hit: never "100 %"."""
    if found.n and found.hits == found.n:
        return f"all {found.n}: true share likely over {percent(found.low)} %"
    if found.n and not found.hits:
        return f"none of {found.n}: true share likely under {percent(found.high)} %"
    return share(found)


def chance(p: float) -> str:
    """ "p = .43", "p = .014", "p < .001": two digits, three below .1."""
    if math.isnan(p):
        return "p not known"
    if p < 0.001:
        return "p < .001"
    if p >= 0.995:
        return "p = 1"
    return "p = " + f"{p:.{3 if p < 0.0995 else 2}f}".lstrip("0")


def bias(found: Estimate, from_classes: bool = False) -> str:
    """ "+2.4 +-1.7 (from classes)": the mean start, + = right of the line, with half its 90 % interval."""
    if math.isnan(found.mean):
        return NOT_KNOWN
    if not math.isfinite(found.half_width):
        return f"{units.signed(found.mean)}, +- {NOT_KNOWN}"
    return f"{units.signed(found.mean)} +-{found.half_width:.1f}{' (from classes)' if from_classes else ''}"


def bias_range(found: Estimate) -> str:
    """ "+0.3 (-0.8 to +1.4)": the mean with both ends of its 90 % interval."""
    if math.isnan(found.mean):
        return NOT_KNOWN
    if not math.isfinite(found.half_width):
        return f"{units.signed(found.mean)} (no interval)"
    return f"{units.signed(found.mean)} ({units.signed(found.low)} to {units.signed(found.high)})"


def spread(found: Estimate) -> str:
    """ "2.9 (2.2 to 4.2)": a standard deviation with its 95 % interval."""
    if math.isnan(found.mean):
        return NOT_KNOWN
    if not math.isfinite(found.high):
        return f"{found.mean:.1f} (no interval)"
    return f"{found.mean:.1f} ({found.low:.1f} to {found.high:.1f})"


def setting(found: Setting) -> str:
    """ "grip 30, bow 2.5"."""
    return f"grip {found.grip:g}, bow {units.notches(found.bow)}"


def listed(words: Sequence[str]) -> str:
    """ "a", "a and b", "a, b and c"."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""


def on_off(stick: bool) -> str:
    return "stick on" if stick else "stick off"
