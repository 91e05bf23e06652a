"""More balls before anything is said: the running count of a planned block, or of one setting."""

from rangelog.core.results import Hint
from rangelog.core.words import BlockKind
from rangelog.hints import line
from rangelog.hints.facts import MIDDLE_BALLS, Facts
from rangelog.hints.parts import BlockFacts, PlanStep, Tried
from rangelog.hints.words import balls, move, setting

OWN_LINES = frozenset({BlockKind.CONFIRM, BlockKind.FREE, BlockKind.BOW_BRACKET, BlockKind.GRIP_BRACKET})


def not_enough(facts: Facts) -> Hint | None:
    """Never a side from one ball."""
    block = facts.block
    if block is not None and block.kind not in OWN_LINES and not block.done:
        return _planned(facts, block)
    here = facts.here
    if here is None:
        return None
    return _off_centre(facts) or _setting(facts, here)


def _off_centre(facts: Facts) -> Hint | None:
    position = facts.setup.position_balls
    if position == 0:
        return None
    return Hint(
        "not_enough",
        "BALL CENTRE",
        f"Ball {_place(position)}: it enters no bracket. Ball to centre.",
        numbers="ball position is a third lever of the start line",
        why=(f"The next ball lies {abs(position):g} ball widths {_place(position)}; only balls at centre are compared.",),
        change="Ball at centre, or a ladder block.",
    )


def _setting(facts: Facts, here: Tried) -> Hint | None:
    low, high = facts.extremes
    number = facts.on_lever(here.setting)
    known = line.from_before(facts)
    opened = line.bracket(facts, without=here.setting) is not None or known
    extreme = (number <= low or number >= high) and not opened
    first = sum(tried.n >= MIDDLE_BALLS for tried in facts.line if tried.setting != here.setting) == 0 and not opened
    target = facts.extreme_balls if extreme or first else MIDDLE_BALLS
    inside = facts.block is not None and facts.block.lever is not None and extreme
    have = here.in_block if inside else here.n
    if have >= target:
        return None
    missing = min(target - have, facts.balls_left)
    if have:
        words = f"{balls(have)} - hit {missing} more, same setting."
    elif extreme and number in (low, high):
        words = line.opening(facts, number, balls(missing))
    else:
        words = f"{facts.lever.value.capitalize()} {line.value(facts, number)}: hit {balls(missing)}, then judge."
    return Hint(
        "not_enough",
        f"{missing} MORE" if have else f"HIT {missing}",
        words,
        numbers=line.so_far(facts, here),
        why=(f"{balls(here.n)} counted at {setting(here.setting)}: right {here.right}, on line {here.on_line}, left {here.left}.",),
        change=f"{balls(missing)} at this setting.",
    )


def _planned(facts: Facts, block: BlockFacts) -> Hint:
    left = max(0, block.planned - block.count) if block.planned else facts.balls_left
    left = min(left, facts.balls_left)
    step = block.next_step or PlanStep()
    target = facts.legal(step.setting) if step.setting is not None else None
    now = facts.setup.setting
    of = f" of {block.planned}" if block.planned else ""
    words = f"{block.name}: {block.count}{of}. {_ask(step) or block.short}".strip()
    return Hint(
        "not_enough",
        _letters(facts, step) or f"{left} MORE",
        words,
        numbers=block.short if _ask(step) else "",
        why=(f"{block.name}: {block.count} of {block.planned} planned." if block.planned else f"{block.name}: {block.count} balls.",),
        change=f"{balls(left)} more, or another block.",
        setting=target if target is not None and target != now else None,
        holds_face=block.holds_face,
    )


def _place(position: float) -> str:
    return "centre" if position == 0 else "back" if position < 0 else "forward"


def _ask(step: PlanStep) -> str:
    """What the plan asks of the next ball, in words."""
    parts = []
    if step.target:
        parts.append(f"target {step.target}")
    if step.called is not None:
        parts.append(f"call {step.called.value}")
    if step.position_balls is not None:
        parts.append(f"ball {_place(step.position_balls)}")
    if step.stick is not None:
        parts.append(f"stick {'on' if step.stick else 'off'}")
    if step.setting is not None:
        parts.append(setting(step.setting))
    return f"Next: {', '.join(parts)}." if parts else ""


def _letters(facts: Facts, step: PlanStep) -> str:
    if step.called is not None:
        return step.called.value.upper()
    if step.position_balls is not None:
        return _place(step.position_balls).upper()
    if step.stick is not None and step.stick != facts.setup.stick:
        return f"STICK {'ON' if step.stick else 'OFF'}"
    if step.target:
        return step.target.upper()[:12]
    if step.setting is not None and step.setting != facts.setup.setting:
        return move(facts.setup.setting, facts.legal(step.setting))
    return ""
