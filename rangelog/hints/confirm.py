"""Confirm: no verdict before the planned count of fresh balls, then one that is about bias."""

from rangelog.core.results import Estimate, Hint
from rangelog.core.words import BlockKind, Lever
from rangelog.hints import limits
from rangelog.hints.facts import Facts
from rangelog.hints.parts import ConfirmFacts
from rangelog.hints.words import deg, plus_minus, setting, sided, spanned

SECOND_LOOK_BALLS = 20


def _running(facts: Facts) -> ConfirmFacts | None:
    inside = facts.block is not None and facts.block.kind is BlockKind.CONFIRM
    ended = facts.finished is not None and facts.finished.kind is BlockKind.CONFIRM
    return facts.confirm if inside or ended else None


def confirm_running(facts: Facts) -> Hint | None:
    """ "13/20 hit. Keep going, no verdict before 20." """
    confirm = _running(facts)
    if confirm is None or confirm.fresh >= confirm.planned:
        return None
    now = facts.setup.setting
    away = now is not None and now != confirm.setting
    return Hint(
        "confirm_running",
        f"CONFIRM {confirm.fresh}/{confirm.planned}",
        f"{confirm.fresh}/{confirm.planned} hit. Keep going, no verdict before {confirm.planned}.",
        numbers=f"back to {setting(confirm.setting)}" if away else f"{setting(confirm.setting)}, stick {_stick(confirm)}",
        why=("Peeking and stopping at a streak finds three in a row on line by luck alone.", _look(confirm)),
        change=f"{confirm.planned - confirm.fresh} more fresh counted balls.",
        setting=facts.legal(confirm.setting) if away else None,
    )


def confirm_end(facts: Facts) -> Hint | None:
    """The verdict at the planned count: the bias interval against the window, strike, pain; the stick is named."""
    confirm = _running(facts)
    if confirm is None or confirm.fresh < confirm.planned or confirm.bias is None:
        return None
    bias, window = confirm.bias, facts.prescription.window_deg
    base = (
        f"{confirm.fresh} fresh balls at {setting(confirm.setting)}, stick {_stick(confirm)}.",
        f"Start {spanned(bias)} deg.",
        _look(confirm),
    )
    if centred(facts, confirm):
        return _centred(facts, confirm, bias, base)
    if bias.low > window or bias.high < -window:
        return Hint(
            "confirm_end",
            "BRACKET",
            f"Not centred: {sided(bias.mean)} {plus_minus(bias.half_width)}. Back to the bracket.",
            numbers=f"stick {_stick(confirm)}, {confirm.fresh} fresh balls",
            why=base,
            change="Another setting, confirmed with fresh balls.",
            block=_bracket_block(facts),
        )
    off = bias.low > 0 or bias.high < 0
    if off and (confirm.look == 2 or abs(bias.mean) > window):
        return Hint(
            "confirm_end",
            "BRACKET",
            f"Starts {sided(bias.mean)} {plus_minus(bias.half_width)}: not shown. Back to the bracket.",
            numbers=f"window +-{deg(window)}, stick {_stick(confirm)}, {confirm.fresh} fresh balls",
            why=(*base, "A start that is clearly to one side is better moved than hit again."),
            change="Another setting, confirmed with fresh balls.",
            block=_bracket_block(facts),
        )
    if confirm.look < 2:
        fits = facts.balls_left >= SECOND_LOOK_BALLS
        when = f": {SECOND_LOOK_BALLS} more" if fits else " another day"
        return Hint(
            "confirm_end",
            f"{SECOND_LOOK_BALLS} MORE" if fits else "NEXT TIME",
            f"Not shown yet, {plus_minus(bias.half_width)}. Second look{when}.",
            numbers=f"{spanned(bias)}, window +-{deg(window)}, stick {_stick(confirm)}",
            why=(*base, "One second look is part of the plan; its level is adjusted for two looks. Not shown is no failure."),
            change=f"{SECOND_LOOK_BALLS} more fresh balls.",
        )
    return Hint(
        "confirm_end",
        "ASK COACH",
        f"Not shown in two looks, {plus_minus(bias.half_width)}. Ask coach.",
        numbers=f"{spanned(bias)}, window +-{deg(window)}, stick {_stick(confirm)}",
        why=(*base, "A wide spread can hide a centred start; that is an answer too."),
        change="A narrower spread, or a wider window from the coach.",
    )


def _bracket_block(facts: Facts) -> str:
    """The bracket of the lever that hints may move today."""
    return (BlockKind.GRIP_BRACKET if facts.lever is Lever.GRIP else BlockKind.BOW_BRACKET).value


def centred(facts: Facts, confirm: ConfirmFacts) -> bool:
    """The whole bias interval of this look lies inside the window."""
    window = facts.prescription.window_deg
    return confirm.bias is not None and -window < confirm.bias.low and confirm.bias.high < window


def found(facts: Facts) -> str:
    """What the confirm of the facts found at its planned count: "centred", "not centred" or "not shown"; empty before that."""
    confirm, window = facts.confirm, facts.prescription.window_deg
    if confirm is None or confirm.fresh < confirm.planned or confirm.bias is None:
        return ""
    if centred(facts, confirm):
        return "not shown" if not confirm.solid_ok or _sore(facts) else "centred"
    return "not centred" if confirm.bias.low > window or confirm.bias.high < -window else "not shown"


def _sore(facts: Facts) -> bool:
    return limits.risen(facts.pains) is not None or any(pain.level >= limits.NO_EXTREMES_LEVEL for pain in facts.pains)


def _centred(facts: Facts, confirm: ConfirmFacts, bias: Estimate, base: tuple[str, ...]) -> Hint:
    if not confirm.solid_ok or _sore(facts):
        held = "solid fell below your baseline" if not confirm.solid_ok else "it hurts"
        return Hint(
            "confirm_end",
            "NOT YET",
            f"Centred: {spanned(bias)}, but {held}. Not done.",
            numbers=f"stick {_stick(confirm)}, {confirm.fresh} fresh balls",
            why=base,
            change="Strike at the baseline and no pain.",
        )
    left = "" if confirm.spread_deg is None else f" Your spread {deg(confirm.spread_deg)} is what is left."
    proposed = facts.proposed
    then = "" if proposed is None else f". Next: {proposed.opening}"
    return Hint(
        "confirm_end",
        "CENTRED",
        f"Centred: {spanned(bias)}.{left}",
        numbers=f"stick {_stick(confirm)}, {confirm.fresh} fresh balls{then}",
        why=(*base, "Done is about bias; spread goes to the coach."),
        change="Stick off, random order, and another day.",
        block=None if proposed is None else proposed.kind.value,
    )


def _stick(confirm: ConfirmFacts) -> str:
    return "on" if confirm.stick else "off"


def _look(confirm: ConfirmFacts) -> str:
    return f"Look {confirm.look} of at most 2, planned at {confirm.planned} balls."
