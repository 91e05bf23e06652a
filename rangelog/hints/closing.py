"""The end of a bracket: a close call, or an answer for the coach."""

import itertools

from rangelog.core.results import Hint, Setting
from rangelog.core.words import BlockKind, Lever, Verdict
from rangelog.hints import line
from rangelog.hints.bracketing import crossing_line
from rangelog.hints.facts import MIDDLE_BALLS, Facts
from rangelog.hints.parts import Tried
from rangelog.hints.words import balls, deg, estimate, listed, move, notch, setting

CLOSE_CALL_BALLS = 5
CONFIRM_BALLS = 20
STAY_NOTCHES = 0.3


def close_call(facts: Facts) -> Hint | None:
    """Two neighbours that cannot be told apart, or the next block by name."""
    now, model = facts.setup.setting, facts.model
    if now is None or model is None or not line.crossing_close(facts):
        return None
    pair = _pair(facts)
    if pair is not None:
        low, high = pair
        n = f"{low.n} balls each" if low.n == high.n else f"{low.n} and {high.n} balls"
        first, second = (line.value(facts, facts.on_lever(tried.setting)) for tried in pair)
        return Hint(
            "close_call",
            f"{first} OR {second}",
            f"{first} and {second} can't be told apart ({n}). Choose by strike and comfort.",
            numbers=crossing_line(facts),
            why=tuple(_line(facts, tried) for tried in pair),
            change="Strike or comfort; direction will not decide it.",
            block=BlockKind.CHOOSE.value if facts.balls_left >= CONFIRM_BALLS else None,
        )
    target = best(facts, now)
    running = facts.block.kind if facts.block is not None else None
    proposed = facts.proposed if facts.proposed is not None and facts.proposed.kind is not running else None
    if proposed is None and facts.enough:
        return _plan_over(facts, target)
    fits = facts.balls_left >= CONFIRM_BALLS
    opening = proposed.opening if proposed is not None else f"Confirm {'next' if fits else 'next time'}: {CONFIRM_BALLS} fresh balls."
    letters = "CONFIRM" if fits else "NEXT TIME"
    block = BlockKind.CONFIRM.value if fits else None
    return Hint(
        "close_call",
        move(now, target) if target != now else (proposed.action if proposed is not None and proposed.action else letters),
        f"{_crosses(facts, target)} {opening}",
        numbers=crossing_line(facts),
        why=tuple(_line(facts, tried) for tried in facts.line if tried.n),
        change="Fresh balls at the chosen setting.",
        setting=target if target != now else None,
        block=proposed.kind.value if proposed is not None else block,
    )


def _plan_over(facts: Facts, target: Setting) -> Hint:
    """Nothing is left to propose today; where the line crosses is still told."""
    return Hint(
        "close_call",
        "DONE TODAY",
        f"{_crosses(facts, target)} {facts.enough}",
        numbers=crossing_line(facts),
        why=tuple(_line(facts, tried) for tried in facts.line if tried.n),
        change="Another day, or another block where you prefer one.",
    )


def _crosses(facts: Facts, target: Setting) -> str:
    if facts.model is not None and facts.lever is Lever.BOW:
        return f"Crosses at {deg(facts.model.crossing.bow)}."
    ends = line.bracket(facts)
    if ends is not None:
        return f"The line lies between grip {line.value(facts, ends[0])} and {line.value(facts, ends[1])}."
    return f"Grip {line.value(facts, target.grip)} starts on line."


def best(facts: Facts, now: Setting) -> Setting:
    """The setting to confirm: the present one where it is centred or beside the crossing, else the one that starts nearest the line."""
    model = facts.model
    if model is None or (model.verdict is Verdict.CENTRED and model.suggestion == now):
        return facts.legal(now)
    if facts.lever is Lever.BOW and line.crossing_close(facts):
        here = facts.here
        beside = here is not None and here.n >= MIDDLE_BALLS and abs(now.bow - model.crossing.bow) <= STAY_NOTCHES
        return facts.legal(now if beside else Setting(line.whole(model.crossing.bow), now.grip))
    known = [
        (abs(t.bias.mean) + t.bias.half_width, t.setting)
        for t in facts.tried
        if t.bias is not None and t.n >= MIDDLE_BALLS and facts.legal(t.setting) == t.setting
    ]
    if known:
        return min(known)[1]
    return facts.legal(Setting(line.whole(model.crossing.bow), now.grip))


def _pair(facts: Facts) -> tuple[Tried, Tried] | None:
    """The two neighbours about the line, both hit often enough, whose starts overlap inside the window."""
    window = facts.prescription.window_deg
    near = [t for t in facts.line if t.n >= CLOSE_CALL_BALLS and t.bias is not None and abs(t.bias.mean) <= window]
    for low, high in itertools.pairwise(near):
        if low.bias is not None and high.bias is not None and low.bias.low <= high.bias.high and high.bias.low <= low.bias.high:
            return low, high
    return None


def _line(facts: Facts, tried: Tried) -> str:
    value = line.value(facts, facts.on_lever(tried.setting))
    start = "" if tried.bias is None else f", start {estimate(tried.bias)}"
    strike = f", solid {tried.solid} of {tried.struck}" if tried.struck else ""
    comfort = "" if tried.comfort is None else f", comfort {notch(round(tried.comfort, 1))} of 5"
    return f"{facts.lever.value.capitalize()} {value}: {balls(tried.n)}{start}{strike}{comfort}."


def not_reachable(facts: Facts) -> Hint | None:
    """Forty counted balls and no crossing: the coach, with what was tried."""
    counted = line.counted(facts)
    if counted < line.GIVE_UP_BALLS or line.bracket(facts) is not None or line.crossing_close(facts):
        return None
    tried = [t for t in facts.tried if t.n]
    pairs = listed(tuple(f"{notch(t.setting.bow)}/{t.setting.grip:g}" for t in tried))
    return Hint(
        "not_reachable",
        "ASK COACH",
        "Take this to your coach.",
        numbers=f"{counted} counted, no crossing; tried bow/grip {pairs}",
        why=tuple(f"{setting(t.setting).capitalize()}: {balls(t.n)}, right {t.right}, on line {t.on_line}, left {t.left}." for t in tried),
        change="A new prescription, or another lever.",
    )
