"""Choosing among combinations that are all on line: strike, spread, comfort, distance from the ends, closeness to habit."""

from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.results import Setting
from rangelog.hints.parts import Candidate, ChoiceFacts
from rangelog.hints.words import listed, p_value, setting

SHOWN = 0.05
COMFORT_APART = 0.5
SPREAD_RATIO = 1.5
SPREAD_BALLS = 40


@dataclass(frozen=True, slots=True)
class Choice:
    """The suggestion, its reasons as words, and the lines that say what can and cannot be told apart."""

    setting: Setting
    name: str
    reasons: tuple[str, ...]
    words: str
    numbers: str
    why: tuple[str, ...]


def choose_between(facts: ChoiceFacts) -> Choice:
    """Holds the first two candidates against each other; a raw share at different n never decides.

    Raises ValueError with fewer than two candidates.
    """
    if len(facts.candidates) < 2:
        raise ValueError("a choice needs two candidates")
    a, b = facts.candidates[:2]
    votes = {
        "direction": _direction(a, b, facts.direction_p),
        "strike": _strike(a, b, facts.strike_p),
        "spread": _spread(a, b),
        "comfort": _comfort(a, b),
        "distance from the ends": _ends(a, b),
        "habit": _habit(a, b, facts.habit),
    }
    order = ("strike", "spread", "comfort", "direction", "distance from the ends", "habit")
    first = next((votes[reason] for reason in order if votes[reason]), 0)
    best = b if first > 0 else a
    agreeing = [reason for reason in order if votes[reason] and (votes[reason] > 0) == (first > 0)]
    reasons = tuple(r for r in agreeing if r not in ("distance from the ends", "habit")) or tuple(agreeing[:1])
    direction = _direction_line(a, b, votes["direction"], facts.direction_p)
    strike = _strike_line(a, b, votes["strike"], facts.strike_p)
    said = f" ({', '.join(reasons)})" if reasons else " (cannot be told apart)"
    return Choice(
        best.setting,
        best.name,
        reasons,
        f"{best.name}: {setting(best.setting)}{said}.",
        f"direction {direction}; strike {strike}",
        (f"Direction: {direction}.", f"Strike: {strike}.", *_comfort_line(a, b), f"{a.n + b.n} balls stay flagged as used to choose."),
    )


def _direction(a: Candidate, b: Candidate, p: float) -> int:
    return 0 if p >= SHOWN or not a.n or not b.n else 1 if b.hits / b.n > a.hits / a.n else -1


def _strike(a: Candidate, b: Candidate, p: float) -> int:
    return 0 if p >= SHOWN or not a.struck or not b.struck else 1 if b.solid / b.struck > a.solid / a.struck else -1


def _spread(a: Candidate, b: Candidate) -> int:
    """Spread is nearly untestable: a ratio of 1.5 needs about 40 balls each."""
    if a.spread_deg is None or b.spread_deg is None or min(a.n, b.n) < SPREAD_BALLS:
        return 0
    if a.spread_deg > SPREAD_RATIO * b.spread_deg:
        return 1
    return -1 if b.spread_deg > SPREAD_RATIO * a.spread_deg else 0


def _comfort(a: Candidate, b: Candidate) -> int:
    if a.comfort is None or b.comfort is None or abs(a.comfort - b.comfort) < COMFORT_APART:
        return 0
    return 1 if b.comfort > a.comfort else -1


def _room(value: Setting) -> float:
    """Distance from the nearest end of either scale, in notches and grip steps."""
    bow = min(value.bow - scales.BOW_RANGE[0], scales.BOW_RANGE[1] - value.bow)
    grip = min(value.grip - scales.GRIP_RANGE[0], scales.GRIP_RANGE[1] - value.grip) / scales.GRIP_STEP_DEG
    return min(bow, grip)


def _ends(a: Candidate, b: Candidate) -> int:
    gap = _room(b.setting) - _room(a.setting)
    return 0 if abs(gap) < 1 else 1 if gap > 0 else -1


def _habit(a: Candidate, b: Candidate, habit: Setting | None) -> int:
    if habit is None:
        return 0
    far_a, far_b = (abs(c.setting.bow - habit.bow) + abs(c.setting.grip - habit.grip) / scales.GRIP_STEP_DEG for c in (a, b))
    return 0 if far_a == far_b else 1 if far_b < far_a else -1


def _p(p: float) -> str:
    text = p_value(p)
    return f"p {text}" if text.startswith("<") else f"p = {text}"


def _direction_line(a: Candidate, b: Candidate, vote: int, p: float) -> str:
    pair = f"{a.hits}/{a.n} v {b.hits}/{b.n}"
    if not vote:
        return f"no difference shown ({pair})"
    return f"{(b if vote > 0 else a).name} better ({pair}, {_p(p)})"


def _strike_line(a: Candidate, b: Candidate, vote: int, p: float) -> str:
    if not vote:
        return f"no difference shown ({a.solid}/{a.struck} v {b.solid}/{b.struck})"
    more, less = (b, a) if vote > 0 else (a, b)
    if more.struck == less.struck:
        return f"{more.name} better: {more.solid} v {less.solid} of {more.struck} ({_p(p)})"
    return f"{more.name} better: {more.solid}/{more.struck} v {less.solid}/{less.struck} ({_p(p)})"


def _comfort_line(a: Candidate, b: Candidate) -> tuple[str, ...]:
    given = tuple(f"{c.name} {c.comfort:g} of 5" for c in (a, b) if c.comfort is not None)
    return (f"Comfort: {listed(given)}.",) if given else ()
