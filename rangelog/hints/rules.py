"""The one ordered list of rules: the first that applies speaks, the next that would is kept for "why"."""

from dataclasses import replace

from rangelog.core.results import Hint
from rangelog.hints.aim import aim, curving
from rangelog.hints.block import block_done
from rangelog.hints.body import body_gate
from rangelog.hints.bracketing import bracketed, not_bracketed
from rangelog.hints.closing import close_call, not_reachable
from rangelog.hints.confirm import confirm_end, confirm_running
from rangelog.hints.facts import Facts
from rangelog.hints.not_enough import not_enough
from rangelog.hints.one_thing import missing_pairs, one_thing
from rangelog.hints.pain import pain
from rangelog.hints.rule import Rule
from rangelog.hints.setup import setup
from rangelog.hints.strike import strike_gate
from rangelog.hints.tired import tired
from rangelog.hints.warnings import drift, wrong_sign

RULES: tuple[Rule, ...] = (
    Rule("pain", "pain", pain),
    Rule("setup", "setup not stated, or no aim line", setup),
    Rule("one_thing", "one thing at a time", one_thing),
    Rule("tired", "tired, or at the cap", tired),
    Rule("strike_gate", "strike first", strike_gate),
    Rule("body_gate", "body first", body_gate),
    Rule("block_done", "block completed", block_done),
    Rule("confirm_running", "confirm running", confirm_running),
    Rule("confirm_end", "confirm ends", confirm_end),
    Rule("not_enough", "not enough balls", not_enough),
    Rule("wrong_sign", "wrong sign", wrong_sign),
    Rule("drift", "drift", drift),
    Rule("aim", "aim or path", aim),
    Rule("not_bracketed", "not bracketed", not_bracketed),
    Rule("bracketed", "bracketed", bracketed),
    Rule("close_call", "close call", close_call),
    Rule("not_reachable", "not reachable", not_reachable),
)

ON_LEVERS = frozenset({"not_enough", "not_bracketed", "bracketed", "close_call"})
"""Rules whose hint is about where bow and grip go next."""


def choose(facts: Facts) -> Hint:
    """The first rule that applies, with the runner-up's sentence. There is always a hint; a stop for pain has no runner-up."""
    spoken: Hint | None = None
    for rule in RULES:
        hint = rule.applies(facts)
        if hint is None:
            continue
        if spoken is None:
            spoken = hint
            if hint.action == "STOP" and hint.rule == "pain":
                return hint
            continue
        spoken = replace(spoken, runner_up=f"{rule.name}: {hint.words}")
        break
    return _with_pairs(facts, _with_path(facts, spoken)) if spoken is not None else _hit_on(facts)


def _with_pairs(facts: Facts, hint: Hint) -> Hint:
    """Pairs of bow and grip that a player's own design has left out stand beside the hints on levers."""
    missing = missing_pairs(facts) if hint.rule in ON_LEVERS else ""
    if not missing:
        return hint
    return replace(
        hint, numbers=hint.numbers or f"not tried: {missing}", why=(*hint.why, f"Both levers moved: not tried yet are {missing}.")
    )


def _with_path(facts: Facts, hint: Hint) -> Hint:
    """Curve stands beside the bracketing hints as a line of "why"."""
    bent = curving(facts)
    if bent is None or hint.rule in ("aim", "pain") or hint.holds_face:
        return hint
    word, n, of = bent
    return replace(hint, why=(*hint.why, f"Starts on line, curves {word} {n} of {of}: that is path, ask coach."))


def _hit_on(facts: Facts) -> Hint:
    here = facts.here
    counted = 0 if here is None else here.n
    return Hint(
        "hit_on",
        "SAME AGAIN",
        "Same setting, hit on.",
        numbers=f"{counted} counted here",
        why=("No rule has anything against this setting.",),
        change="More balls.",
    )
