"""How the settings tried along one lever lie about the line: shared by the bracketing rules."""

import itertools
import math

from rangelog.core.hand import sign
from rangelog.core.results import Estimate, Setting
from rangelog.core.words import Lever
from rangelog.hints.facts import EXTREME_BALLS, MIDDLE_BALLS, Facts, Tried
from rangelog.hints.words import grip_deg, in_ten, notch

CLAIM = 0.8
CLOSE_NOTCHES = 0.6
FROM_BEFORE_NOTCHES = 1.5
GIVE_UP_BALLS = 40


def probability_right(bias: Estimate) -> float:
    """Chance that a mean start is right of the line."""
    if bias.sd <= 0:
        return 1.0 if bias.mean > 0 else 0.0 if bias.mean < 0 else 0.5
    return 0.5 * math.erfc(-bias.mean / (bias.sd * math.sqrt(2)))


def side(tried: Tried) -> int:
    """+1 right, -1 left, 0 where three balls or the model do not say. Never a side from one ball."""
    if tried.n < MIDDLE_BALLS:
        return 0
    if tried.bias is not None:
        right = probability_right(tried.bias)
        return 1 if right >= CLAIM else -1 if right <= 1 - CLAIM else 0
    if tried.right > tried.left and 2 * tried.right >= tried.n:
        return 1
    return -1 if tried.left > tried.right and 2 * tried.left >= tried.n else 0


def open_side(facts: Facts, tried: Tried) -> int:
    """+1 open, -1 closed, 0 not said."""
    return sign(facts.player.hand) * side(tried)


def so_far(facts: Facts, tried: Tried) -> str:
    """What may be said of a side: nothing under 3 balls, "so far right" at 3-4, with its probability from 5 or 4 of 4 at an extreme."""
    if tried.n < MIDDLE_BALLS or tried.right == tried.left:
        return ""
    word, most = ("right", tried.right) if tried.right > tried.left else ("left", tried.left)
    clear = tried.n == EXTREME_BALLS == most and facts.on_lever(tried.setting) in facts.extremes
    if tried.n < 5 and not clear:
        return f"so far {word}"
    if tried.bias is None:
        return f"{word} {most} of {tried.n}"
    right = probability_right(tried.bias)
    chance = right if word == "right" else 1 - right
    return f"{word}, {in_ten(chance).removeprefix('about ')} sure" if chance < 0.95 else f"{word}, sure"


def bracket(facts: Facts) -> tuple[float, float] | None:
    """The nearest pair of tried values on opposite sides of the line, ascending; None where there is none."""
    sides = [(facts.on_lever(tried.setting), side(tried)) for tried in facts.line]
    claimed = [pair for pair in sides if pair[1]]
    for (low, before), (high, after) in itertools.pairwise(claimed):
        if before != after:
            return low, high
    return None


def counted(facts: Facts) -> int:
    """Counted balls of the present set today."""
    return sum(tried.n for tried in facts.tried)


def crossing_close(facts: Facts) -> bool:
    """The crossing is known to +-0.6 notch, or along the grip the start at the suggestion to the window."""
    model = facts.model
    if model is None:
        return False
    if facts.lever is Lever.BOW:
        return model.crossing.known and model.crossing.half_width <= CLOSE_NOTCHES
    there = model.bias_there
    return there is not None and there.half_width <= facts.prescription.window_deg and bracket(facts) is not None


def from_before(facts: Facts) -> bool:
    """Earlier balls of this player already say where the crossing is, so that extremes would be wasted."""
    model = facts.model
    if model is None or model.diagnosis.prior_carries or facts.lever is not Lever.BOW:
        return False
    return model.crossing.known and model.crossing.half_width <= FROM_BEFORE_NOTCHES


def value(facts: Facts, number: float) -> str:
    """A value of the lever in use as it reads after its name."""
    return notch(number) if facts.lever is Lever.BOW else grip_deg(number)


def suggestion(facts: Facts, ends: tuple[float, float] | None) -> Setting | None:
    """What to hit next: the model's answer inside every limit, or halving by hand while it is not loaded."""
    if facts.model is not None:
        return facts.legal(facts.model.suggestion)
    if ends is None:
        return None
    low, high = ends
    step = 0.5 if facts.lever is Lever.BOW else 7.5
    coarse = 2 * step
    middle = (low + high) / 2
    grid = coarse if high - low > coarse else step
    return facts.with_lever(math.floor(middle / grid) * grid if middle % grid else middle)
