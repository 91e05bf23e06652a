"""How the settings tried along one lever lie about the line: shared by the bracketing rules."""

import itertools
import math

from rangelog.core import scales
from rangelog.core.hand import sign
from rangelog.core.results import Estimate, Setting
from rangelog.core.words import Lever, Verdict
from rangelog.hints import limits
from rangelog.hints.facts import EXTREME_BALLS, MIDDLE_BALLS, MOST_BOW, Facts
from rangelog.hints.parts import Tried
from rangelog.hints.words import grip_deg, in_ten, notch

CLAIM = 0.8
CLOSE_NOTCHES = 0.6
CLOSE_DEG = 1.6
BESIDE_NOTCHES = 0.5
STEP_BALLS = 5
OLDER_BALLS = 8
COMFORTABLE = 4.0
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


def bracket(facts: Facts, without: Setting | None = None) -> tuple[float, float] | None:
    """The nearest pair of tried values on opposite sides of the line, ascending; None where there is none."""
    sides = [(facts.on_lever(tried.setting), side(tried)) for tried in facts.line if tried.setting != without]
    claimed = [pair for pair in sides if pair[1]]
    for (low, before), (high, after) in itertools.pairwise(claimed):
        if before != after:
            return low, high
    return None


def counted(facts: Facts) -> int:
    """Counted balls of the present set today."""
    return sum(tried.n for tried in facts.tried)


def crossing_close(facts: Facts) -> bool:
    """Good enough to move on: the crossing known to +-0.6 notch and hit next to it, or the present setting centred.

    Along the grip: the line closed in to one step, or a tried grip that is known to start inside the window.
    """
    model = facts.model
    if model is None:
        return False
    if model.verdict is Verdict.CENTRED and model.suggestion == facts.setup.setting and len(facts.line) > 1:
        return True
    if facts.lever is Lever.BOW:
        return _known(facts) and any(t.n >= MIDDLE_BALLS and abs(t.setting.bow - model.crossing.bow) <= BESIDE_NOTCHES for t in facts.line)
    ends = bracket(facts)
    if ends is not None and ends[1] - ends[0] <= scales.GRIP_STEP_DEG:
        return all(t.n >= STEP_BALLS for t in facts.line if t.setting.grip in ends)
    there, window = model.bias_there, facts.prescription.window_deg
    tried = any(t.n >= MIDDLE_BALLS and t.setting == model.suggestion for t in facts.line)
    return there is not None and tried and there.half_width <= CLOSE_DEG and abs(there.mean) <= window


def _known(facts: Facts) -> bool:
    model = facts.model
    return model is not None and model.crossing.known and model.crossing.half_width <= CLOSE_NOTCHES


def from_before(facts: Facts) -> bool:
    """Balls of earlier days, or of another grip, already say where the crossing is, so that extremes would be wasted."""
    model = facts.model
    if model is None or facts.lever is not Lever.BOW:
        return False
    older = model.diagnosis.counted - counted(facts) >= OLDER_BALLS
    if older and not model.diagnosis.prior_carries and model.crossing.known and model.crossing.half_width <= FROM_BEFORE_NOTCHES:
        return True
    return slope_tried(facts)


def slope_tried(facts: Facts) -> bool:
    """At another grip two bows were hit often enough, so that the model knows what bow does."""
    now = facts.setup.setting
    if now is None:
        return False
    others: dict[float, int] = {}
    for tried in facts.tried:
        if tried.setting.grip != now.grip and tried.n >= MIDDLE_BALLS:
            others[tried.setting.grip] = others.get(tried.setting.grip, 0) + 1
    return any(levels >= 2 for levels in others.values())


def value(facts: Facts, number: float) -> str:
    """A value of the lever in use as it reads after its name."""
    return notch(number) if facts.lever is Lever.BOW else grip_deg(number)


def suggestion(facts: Facts, ends: tuple[float, float] | None) -> Setting | None:
    """What to hit next: the crossing once it is known, else the model's answer, or halving by hand while it is not loaded."""
    now, model = facts.setup.setting, facts.model
    if model is not None and now is not None:
        if facts.lever is Lever.BOW and _known(facts):
            return facts.legal(Setting(whole(model.crossing.bow), now.grip))
        return facts.legal(_spared(facts, now, _calm(facts, model.suggestion)))
    if ends is None:
        return None
    low, high = ends
    step = 0.5 if facts.lever is Lever.BOW else scales.GRIP_STEP_DEG / 2
    grid = 2 * step if high - low > 2 * step else step
    return facts.with_lever(math.floor((low + high) / 2 / grid) * grid)


def _spared(facts: Facts, now: Setting, target: Setting) -> Setting:
    """Few balls at extremes: once too much bow has had its four, the crossing as far as it is known is tried instead."""
    model, here = facts.model, facts.here
    if model is None or here is None or target != now or facts.lever is not Lever.BOW:
        return target
    enough = now.bow >= MOST_BOW and here.n >= EXTREME_BALLS and bracket(facts) is not None
    return Setting(whole(model.crossing.bow), now.grip) if enough and model.crossing.bow < now.bow - BESIDE_NOTCHES else target


def _calm(facts: Facts, target: Setting) -> Setting:
    """Bow beyond clearly too much is asked for only where the most bow tried so far was declared comfortable."""
    most = max((tried.setting.bow for tried in facts.tried if tried.n), default=MOST_BOW)
    comfort = [t.comfort for t in facts.tried if t.setting.bow == most and t.comfort is not None]
    if target.bow <= max(most, MOST_BOW) or (comfort and max(comfort) >= COMFORTABLE):
        return target
    return Setting(max(most, MOST_BOW), target.grip)


def whole(bow: float) -> float:
    """The whole notch beside a crossing where it is near enough, else the half notch."""
    nearest = round(bow)
    return float(nearest) if abs(bow - nearest) <= 0.3 else math.floor(bow) + 0.5


def leans_open(facts: Facts, tried: Tried) -> bool:
    """More likely on the open side than not."""
    if tried.bias is not None:
        return sign(facts.player.hand) * tried.bias.mean >= 0
    return sign(facts.player.hand) * (tried.right - tried.left) >= 0


def opening(facts: Facts, number: float, n: str) -> str:
    """The sentence that asks for an extreme."""
    low, _ = facts.extremes
    least = number <= low
    if facts.lever is Lever.GRIP:
        return f"Extremes first: weak grip, {n}." if least else f"Now a strong grip: {value(facts, number)}, {n}."
    if limits.extremes_off(facts.prescription, facts.pains, facts.player.junior):
        return f"First bow {notch(number)}, {n}." if least else f"Then bow {notch(number)}, {n}, only if comfortable."
    if least:
        return f"Extremes first: least bow, {n}."
    if number < MOST_BOW:
        return f"Now more: bow {notch(number)}, your limit, {n}."
    return f"Now clearly too much: bow {notch(number)}, {n}."
