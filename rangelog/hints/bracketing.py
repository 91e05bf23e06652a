"""Two extremes, then back and forth: not bracketed, and bracketed."""

from rangelog.core import scales
from rangelog.core.hand import sign
from rangelog.core.results import Hint, Setting
from rangelog.core.words import BlockKind, Lever
from rangelog.hints import limits, line
from rangelog.hints.facts import EXTREME_BALLS, HABIT_BALLS, MIDDLE_BALLS, Facts
from rangelog.hints.parts import Tried
from rangelog.hints.tally import tally_line, tally_lines
from rangelog.hints.words import balls, deg, in_ten, listed, move, notch

NEVER_MOVED_BALLS = 10
ANCHOR_EVERY = 15
ANCHOR_BALLS = 2


def not_bracketed(facts: Facts) -> Hint | None:
    """Extremes first; where both start to one side, the other lever by one step."""
    now = facts.setup.setting
    if now is None or line.bracket(facts) is not None or line.crossing_close(facts) or line.from_before(facts):
        return None
    enough = [tried for tried in facts.line if tried.n >= facts.extreme_balls or line.side(tried)]
    low, high = facts.extremes
    least = next((t for t in enough if facts.on_lever(t.setting) <= low), None)
    most = next((t for t in reversed(enough) if facts.on_lever(t.setting) >= high), None)
    if least is None:
        return _extreme(facts, low)
    if _only_habit(facts, least):
        return _extreme(facts, low, HABIT_BALLS + facts.extreme_balls - least.n)
    if facts.lever is Lever.BOW and not line.leans_open(facts, least):
        less = _less(facts, least)
        if less is not None or line.side(least):
            return less or _same_side(facts, now, least, enough[-1])
    if most is None:
        return _extreme(facts, high)
    if line.side(least) and line.side(least) == line.side(most):
        return _same_side(facts, now, least, most)
    return None


def _only_habit(facts: Facts, least: Tried) -> bool:
    """Balls without a block that were all hit as ever are a baseline; the least bow comes after it, on purpose."""
    free = facts.block is None or facts.block.kind is BlockKind.FREE
    alone = sum(tried.n for tried in facts.tried) == least.n
    return free and alone and HABIT_BALLS <= least.n < HABIT_BALLS + facts.extreme_balls


def _extreme(facts: Facts, number: float, wanted: int = 0) -> Hint:
    target = facts.with_lever(number)
    there = target == facts.setup.setting
    count = min(wanted or facts.extreme_balls, max(1, facts.balls_left))
    n = balls(count)
    return Hint(
        "not_bracketed",
        f"HIT {count}" if there or target is None else move(facts.setup.setting, target),
        line.opening(facts, number, n),
        numbers=_sides(facts) if facts.habit is None else tally_line(facts.habit),
        why=(
            *(_counts(facts) if facts.habit is None else tally_lines(facts.habit)),
            *_never_moved(facts),
            "Two settings on opposite sides close the question in; few balls at extremes.",
        ),
        change="Balls on both sides of the line.",
        setting=None if there else target,
    )


def _never_moved(facts: Facts) -> tuple[str, ...]:
    values = {facts.on_lever(tried.setting) for tried in facts.tried if tried.n}
    n = line.counted(facts)
    if len(values) != 1 or n < NEVER_MOVED_BALLS:
        return ()
    return (f"{facts.lever.value.capitalize()} was {line.value(facts, values.pop())} for all {n} balls: no effect can be known.",)


def _less(facts: Facts, least: Tried) -> Hint | None:
    floor = facts.bow_range[0]
    if limits.extremes_off(facts.prescription, facts.pains, facts.player.junior) or least.setting.bow <= floor:
        return None
    target = facts.with_lever(floor)
    side = "right" if line.side(least) > 0 else "left"
    return Hint(
        "not_bracketed",
        f"BOW {notch(floor)}",
        f"Bow {notch(least.setting.bow)} starts {side} already. Less: bow {notch(floor)}.",
        numbers=_sides(facts),
        why=_counts(facts),
        change="Balls on both sides of the line.",
        setting=target,
    )


def _same_side(facts: Facts, now: Setting, least: Tried, most: Tried) -> Hint | None:
    if line.counted(facts) >= line.GIVE_UP_BALLS:
        return None
    open_ = sign(facts.player.hand) * line.side(least) > 0
    side = "right" if line.side(least) > 0 else "left"
    ends = (line.value(facts, facts.on_lever(least.setting)), line.value(facts, facts.on_lever(most.setting)))
    name = "grip " if facts.lever is Lever.GRIP else ""
    both = (
        f"Both {name}{ends[0]} and {ends[1]} start {side}"
        if ends[0] != ends[1]
        else f"{(name or 'bow ').capitalize()}{ends[0]} starts {side}"
    )
    target, step = _other_lever(facts, now, open_)
    if target is None:
        return Hint(
            "not_bracketed",
            "ASK COACH",
            f"{both}. Take this to your coach.",
            numbers=_sides(facts),
            why=_counts(facts),
            change="A new prescription.",
        )
    return Hint(
        "not_bracketed",
        move(now, target),
        f"{both}: {step}.",
        numbers=_sides(facts),
        why=(*_counts(facts), "More of the same lever is left for the player's own limit."),
        change="Balls on both sides of the line at the new setting.",
        setting=target,
    )


def _other_lever(facts: Facts, now: Setting, open_: bool) -> tuple[Setting | None, str]:
    """One step of the other lever toward the line, or the same lever further where that is all there is."""
    step = scales.GRIP_STEP_DEG if open_ else -scales.GRIP_STEP_DEG
    grip = Setting(now.bow, limits.into(now.grip + step, scales.GRIP_RANGE))
    word = "stronger" if open_ else "weaker"
    if facts.lever is Lever.BOW:
        if grip.grip != now.grip:
            return facts.legal(grip), f"one grip step {word}"
        comfort = facts.here.comfort if facts.here is not None else None
        bow = facts.legal(Setting(now.bow + 1, now.grip))
        if open_ and bow.bow > now.bow and comfort is not None and comfort >= line.COMFORTABLE:
            return bow, "one notch more bow, if comfortable"
        return None, ""
    if not facts.bow_stopped:
        bow = facts.legal(Setting(now.bow + (1 if open_ else -1), now.grip))
        if bow.bow != now.bow:
            return bow, f"one notch {'more' if open_ else 'less'} bow"
    if grip.grip != now.grip:
        return facts.legal(grip), f"one grip step {word}"
    return None, ""


def _anchor(facts: Facts) -> Hint | None:
    """The first setting of today again, two balls in fifteen, so that a drift of the feel can be seen."""
    now = facts.setup.setting
    along = {tried.setting for tried in facts.line}
    hit = [ball.setup.setting for ball in facts.balls if ball.enters_fits and ball.setup.setting in along]
    if now is None or len(hit) < ANCHOR_EVERY:
        return None
    anchor = hit[0]
    if anchor is None or facts.legal(anchor) != anchor or hit[:MIDDLE_BALLS].count(anchor) < MIDDLE_BALLS:
        return None
    run = next((k for k, setting in enumerate(reversed(hit)) if setting != anchor), len(hit))
    away = next((k for k, setting in enumerate(reversed(hit[: len(hit) - run])) if setting == anchor), 0)
    if away < ANCHOR_EVERY or run >= ANCHOR_BALLS:
        return None
    number, missing = line.value(facts, facts.on_lever(anchor)), ANCHOR_BALLS - run
    return Hint(
        "bracketed",
        f"{missing} MORE" if now == anchor else move(now, anchor),
        f"Anchor: {balls(missing)} at {facts.lever.value} {number}, to see drift.",
        numbers=crossing_line(facts),
        why=(f"{facts.lever.value.capitalize()} {number} was last hit {away} balls ago.", *_counts(facts)),
        change=f"{balls(missing)} at the setting you began with.",
        setting=None if now == anchor else anchor,
    )


def bracketed(facts: Facts) -> Hint | None:
    """ "Bracketed 0 to 4. Try 2." with the crossing and its +- in the line of numbers."""
    now, ends = facts.setup.setting, line.bracket(facts)
    if now is None or line.crossing_close(facts):
        return None
    target = line.suggestion(facts, ends)
    if target is None or (ends is None and not _leads(facts)):
        return None
    anchor = _anchor(facts) if ends is not None else None
    if anchor is not None:
        return anchor
    number = line.value(facts, facts.on_lever(target))
    lever = "grip " if facts.lever is Lever.GRIP else ""
    ask = "Stay at" if target == now else "Try"
    if ends is not None:
        low, high = (line.value(facts, end) for end in ends)
        start = f"Bracketed {lever}{low} to {high}."
        outside = not ends[0] <= facts.on_lever(target) <= ends[1]
        ask = "Check" if outside and target != now else ask
    else:
        start = _unbracketed(facts, lever)
    return Hint(
        "bracketed",
        "1 MORE" if target == now else move(now, target),
        f"{start} {ask} {number}.",
        numbers=crossing_line(facts),
        why=(*_counts(facts), *_model_lines(facts)),
        change="The crossing known to +-0.6 notch." if facts.lever is Lever.BOW else "The start known to the window.",
        setting=None if target == now else target,
    )


def _unbracketed(facts: Facts, lever: str) -> str:
    near = next((t for t in facts.line if t.n >= EXTREME_BALLS and not line.side(t)), None)
    if near is not None:
        return f"{(lever or 'bow ').capitalize()}{_named(facts, near)} starts near the line."
    if len(facts.line) < 2 and line.from_before(facts) and facts.model is not None:
        return f"Earlier balls cross near {notch(round(facts.model.crossing.bow * 2) / 2)}."
    return "Not bracketed yet."


def _named(facts: Facts, tried: Tried) -> str:
    return line.value(facts, facts.on_lever(tried.setting))


def _leads(facts: Facts) -> bool:
    """The model may lead without a bracket: it knows from before, or the extremes were tried and one starts near the line."""
    return facts.model is not None and (line.from_before(facts) or line.counted(facts) < line.GIVE_UP_BALLS)


def crossing_line(facts: Facts) -> str:
    """ "crosses at 2.2 +-0.4, straight there about 5 in 10"; empty while the model is not loaded."""
    model = facts.model
    if model is None:
        return ""
    if facts.lever is Lever.GRIP:
        return f"straight there {in_ten(model.on_line_share)}"
    if not model.crossing.known:
        return f"crosses near {deg(model.crossing.bow)}, not known yet"
    return f"crosses at {deg(model.crossing.bow)} +-{deg(model.crossing.half_width)}, straight there {in_ten(model.on_line_share)}"


def _sides(facts: Facts) -> str:
    told = [f"{facts.lever.value} {_named(facts, tried)} {line.so_far(facts, tried)}" for tried in facts.line if line.so_far(facts, tried)]
    return "; ".join(told)


def _counts(facts: Facts) -> tuple[str, ...]:
    lever = facts.lever.value
    return tuple(
        f"{lever.capitalize()} {_named(facts, t)}: {balls(t.n)}, right {t.right}, on line {t.on_line}, left {t.left}."
        for t in facts.line
        if t.n
    )


def _model_lines(facts: Facts) -> tuple[str, ...]:
    model = facts.model
    if model is None:
        return ("Halved by hand while the model loads.",)
    lines = [f"Bow {model.diagnosis.bow_deg_per_notch.mean:+.1f} deg a notch, spread {deg(model.diagnosis.spread_deg.mean)} deg."]
    if model.diagnosis.prior_carries:
        lines.append("What is usual still carries the answer more than your balls.")
    notes = []
    if not facts.setup.aim_line:
        notes.append("a guessed line")
    if model.from_classes:
        notes.append("classes, no degrees")
    if notes:
        lines.append(f"Read from {listed(tuple(notes))}.")
    return tuple(lines)
