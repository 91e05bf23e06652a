"""Choosing among combinations that are all on line: strike, spread, comfort, distance from the ends, closeness to habit."""

from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.results import Setting
from rangelog.hints.parts import Candidate, ChoiceFacts
from rangelog.hints.words import listed, p_value, setting

ORDER = ("strike", "spread", "comfort", "direction", "distance from the ends", "habit")
"""Reasons in the order in which they decide."""

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
    """Holds every two candidates against each other; a raw share at different n never decides.

    Reason by reason, in their order, whoever is beaten by another that is still left drops out. With three candidates there are three
    comparisons, so each must be as much clearer (Bonferroni).

    Raises ValueError with fewer than two candidates.
    """
    if len(facts.candidates) < 2:
        raise ValueError("a choice needs two candidates")
    candidates = facts.candidates
    shown = SHOWN / len(facts.pairs)
    ahead: dict[str, set[tuple[int, int]]] = {reason: set() for reason in ORDER}
    for pair in facts.pairs:
        a, b = candidates[pair.first], candidates[pair.second]
        votes = {
            "strike": _strike(a, b) if pair.strike_p < shown else 0,
            "spread": _spread(a, b),
            "comfort": _comfort(a, b),
            "direction": _direction(a, b) if pair.direction_p < shown else 0,
            "distance from the ends": _ends(a, b),
            "habit": _habit(a, b, facts.habit),
        }
        for reason, vote in votes.items():
            if vote:
                ahead[reason].add((pair.second, pair.first) if vote > 0 else (pair.first, pair.second))
    left = list(range(len(candidates)))
    for reason in ORDER:
        unbeaten = [place for place in left if not any((other, place) in ahead[reason] for other in left)]
        left = unbeaten or left
    best = left[0]
    agreeing = [
        reason
        for reason in ORDER
        if any(winner == best for winner, _ in ahead[reason]) and not any(loser == best for _, loser in ahead[reason])
    ]
    reasons = tuple(r for r in agreeing if r not in ("distance from the ends", "habit")) or tuple(agreeing[:1])
    direction = _line(facts, ahead["direction"], "direction")
    strike = _line(facts, ahead["strike"], "strike")
    said = f" ({', '.join(reasons)})" if reasons else " (cannot be told apart)"
    chosen = candidates[best]
    return Choice(
        chosen.setting,
        chosen.name,
        reasons,
        f"{chosen.name}: {setting(chosen.setting)}{said}.",
        f"direction {direction}; strike {strike}",
        (
            f"Direction: {direction}.",
            f"Strike: {strike}.",
            *_comfort_line(candidates),
            f"{sum(each.n for each in candidates)} balls stay flagged as used to choose.",
        ),
    )


def _direction(a: Candidate, b: Candidate) -> int:
    return 0 if not a.n or not b.n else 1 if b.hits / b.n > a.hits / a.n else -1


def _strike(a: Candidate, b: Candidate) -> int:
    return 0 if not a.struck or not b.struck else 1 if b.solid / b.struck > a.solid / a.struck else -1


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


def _line(facts: ChoiceFacts, ahead: set[tuple[int, int]], what: str) -> str:
    """What is shown of all candidates by their counts, or that no difference is."""
    counts = {place: (c.hits, c.n) if what == "direction" else (c.solid, c.struck) for place, c in enumerate(facts.candidates)}
    if not ahead:
        return f"no difference shown ({' v '.join(f'{hits}/{n}' for hits, n in counts.values())})"
    said = []
    for pair in facts.pairs:
        for more, less in ((pair.first, pair.second), (pair.second, pair.first)):
            if (more, less) in ahead:
                p = _p(pair.direction_p if what == "direction" else pair.strike_p)
                who = f"{facts.candidates[more].name} better"
                if len(facts.candidates) > 2:
                    who += f" than {facts.candidates[less].name}"
                said.append(_better(who, counts[more], counts[less], p, what))
    return ", ".join(said)


def _better(who: str, more: tuple[int, int], less: tuple[int, int], p: str, what: str) -> str:
    if what == "strike" and more[1] == less[1]:
        return f"{who}: {more[0]} v {less[0]} of {more[1]} ({p})"
    return f"{who}: {more[0]}/{more[1]} v {less[0]}/{less[1]} ({p})"


def _comfort_line(candidates: tuple[Candidate, ...]) -> tuple[str, ...]:
    given = tuple(f"{c.name} {c.comfort:g} of 5" for c in candidates if c.comfort is not None)
    return (f"Comfort: {listed(given)}.",) if given else ()
