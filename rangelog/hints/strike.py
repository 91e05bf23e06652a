"""Clean strike outranks direction."""

from rangelog.core.results import Alarm, Hint
from rangelog.core.words import BlockKind, Strike
from rangelog.hints.facts import Facts
from rangelog.hints.words import side_of_ball

WIDE_LIMIT = 0.3
LOOK_BACK = 10
BACK_WITHIN = 0.1


def strike_gate(facts: Facts) -> Hint | None:
    """Solid share below the player's own baseline, or before there is one below a wide absolute limit."""
    if facts.block is not None and facts.block.kind in (BlockKind.WARM_UP, BlockKind.BASELINE) and not facts.block.done:
        return None
    keyed = [ball for ball in facts.balls if ball.strike is not None and not ball.voided]
    recent = keyed[-LOOK_BACK:]
    solid = sum(ball.strike is Strike.SOLID for ball in recent)
    limit = facts.prescription.solid_limit
    if limit is not None and recent and solid >= limit * len(recent):
        return None
    alarm, baseline = facts.strike.gate, facts.strike.baseline
    if alarm is not None and alarm.on and still_low(alarm):
        hits, n = alarm.recent_hits, alarm.recent_n
        before = f"Baseline {alarm.before_hits} of {alarm.before_n} solid, now {hits} of {n}"
        why = f"{before}; the chart cries wolf in at most 5 % of sessions." if alarm.before_n else _no_baseline()
    elif alarm is None and baseline is None and len(recent) == LOOK_BACK and solid < WIDE_LIMIT * LOOK_BACK:
        hits, n = solid, LOOK_BACK
        why = _no_baseline()
    else:
        return None
    return Hint(
        "strike_gate",
        "STRIKE FIRST",
        f"Strike first: {hits} of {n} solid. Face hints paused.",
        numbers=_passing_the_arm(facts),
        why=(why, "A fat or thin ball starts where the strike sends it, not where the face does."),
        change="Solid strikes; the coach may lower the limit in the prescription.",
        holds_face=True,
    )


def still_low(alarm: Alarm) -> bool:
    """The stretch that speaks is not yet back within a tenth of what it is held against (drawn in a little toward a half)."""
    if not alarm.before_n or not alarm.recent_n:
        return True
    before = (alarm.before_hits + 1) / (alarm.before_n + 2)
    return alarm.recent_hits / alarm.recent_n < before - BACK_WITHIN


def _no_baseline() -> str:
    return f"No baseline yet; fewer than {WIDE_LIMIT * LOOK_BACK:.0f} of the last {LOOK_BACK} solid."


def _passing_the_arm(facts: Facts) -> str:
    recent = facts.balls[-2 * LOOK_BACK :]
    fat = sum(ball.strike is Strike.FAT for ball in recent)
    thin = sum(ball.strike is Strike.THIN for ball in recent)
    sides = {side_of_ball(b, facts.prescription.window_deg, facts.prescription.wide_deg) for b in recent if b.seen}
    if fat and thin and {1, -1} <= sides:
        return f"fat {fat}, thin {thin}, both sides: looks like the head passing the arm: stick on, short"
    return f"fat {fat}, thin {thin} of the last {len(recent)}"
