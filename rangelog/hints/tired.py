"""Tiredness, pace and the ball cap: never urged past."""

import itertools

from rangelog.core.results import Hint
from rangelog.hints.facts import Facts
from rangelog.hints.strike import still_low

MOST_BALLS = 80
QUICK_S = 12.0
QUICK_GAPS = 5
KEYED_LATER_S = 3.0
"""No ball is hit this soon after another: such balls were keyed in one go, and their times say nothing of pace."""


def tired(facts: Facts) -> Hint | None:
    """The cap, the day's count, the chart of solid strikes, or five quick balls running."""
    hit, cap = len(facts.balls), facts.prescription.ball_cap
    if hit >= cap:
        return Hint(
            "tired",
            "STOP",
            f"Stop here: {hit} of {cap} balls today.",
            why=(f"The prescription caps a day at {cap} balls.",),
            change="Another day, or a revised prescription.",
            holds_face=True,
        )
    alarm = facts.strike.tired
    if alarm is not None and alarm.on and still_low(alarm):
        return Hint(
            "tired",
            "REST",
            f"Rest or stop: {alarm.recent_hits} of {alarm.recent_n} solid, was {alarm.before_hits} of {alarm.before_n}.",
            numbers="strike falls before direction",
            why=(
                f"Solid fell from {alarm.before_hits} of {alarm.before_n} to {alarm.recent_hits} of {alarm.recent_n} by a chart that "
                "cries wolf in at most 5 % of sessions.",
                "The balls are kept, flagged late; the review shows effects with and without them.",
            ),
            change="Solid strikes after a rest.",
            holds_face=True,
        )
    if hit > MOST_BALLS:
        return Hint(
            "tired",
            "REST",
            f"Rest or stop: {hit} balls today.",
            why=(f"More than {MOST_BALLS} balls in a day.",),
            change="Another day.",
            holds_face=True,
        )
    if _quick(facts):
        return Hint(
            "tired",
            "SLOW DOWN",
            f"Slow down: {QUICK_GAPS} balls under {QUICK_S:.0f} s apart.",
            why=(f"The last {QUICK_GAPS} gaps were all under {QUICK_S:.0f} s.",),
            change="One ball after a full routine.",
            holds_face=True,
        )
    return None


def _quick(facts: Facts) -> bool:
    times = facts.at_epoch_s[-(QUICK_GAPS + 1) :]
    if len(times) <= QUICK_GAPS:
        return False
    gaps = [b - a for a, b in itertools.pairwise(times) if a is not None and b is not None]
    return len(gaps) == QUICK_GAPS and all(KEYED_LATER_S <= gap < QUICK_S for gap in gaps)
