"""Pain first: it ends the hints, or the bow hints. Nothing is diagnosed."""

from rangelog.core.results import Hint
from rangelog.hints import limits
from rangelog.hints.facts import Facts
from rangelog.hints.words import move, notch

WHO = "Who to see: a physician or physiotherapist. The log gives no diagnosis."


def pain(facts: Facts) -> Hint | None:
    """Stop at 4 or sharp; at a rise of two, the bow comes down and bow hints end."""
    stop = limits.stopping(facts.pains)
    if stop is not None:
        return Hint(
            "pain",
            "STOP",
            f"Stop for today. {stop.said}.",
            numbers=f"{stop.pain.site}; no more hints today",
            why=(f"{stop.said} at the {stop.pain.site}, after ball {stop.pain.after_seq}.", WHO),
            change="Nothing today. Sharp, lasting or night pain, tingling or swelling: get it seen.",
            holds_face=True,
        )
    risen = limits.risen(facts.pains)
    if risen is None:
        return None
    cap = limits.pain_cap(facts.pains)
    now = facts.setup.setting
    above = cap is not None and now is not None and now.bow > facts.bow_range[1]
    unheard = not any(ball.seq > risen.pain.after_seq for ball in facts.balls)
    if not above and not unheard:
        return None
    ceiling = "" if cap is None else f" Nothing above bow {notch(facts.bow_range[1])}."
    target = facts.legal(now) if now is not None and above else None
    hurt = "" if risen.pain.bow is None else f" at bow {notch(risen.pain.bow)}"
    return Hint(
        "pain",
        move(now, target) if target is not None else "BOW STOPS",
        f"Bow hints stop.{ceiling}",
        numbers=f"{risen.said}{hurt}; the grip lever stays",
        why=(f"{risen.said} at the {risen.pain.site}{hurt}: risen by two or more.", "No extreme is asked for today.", WHO),
        change="Lower pain next time; today the cap stays. At 4, or sharp, stop.",
        setting=target,
        holds_face=True,
    )
