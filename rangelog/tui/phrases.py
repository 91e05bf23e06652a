"""What a typed line means: an act by its word, a setup, a ball in words, or keys. Pure."""

from rangelog.core.flight import Flight
from rangelog.core.words import Curve, Height, Side, Strike
from rangelog.tui.actions import ACTIONS, CURVES, FLIGHTS, STRIKES

BY_WORD = {action.label.casefold().replace(",", ""): action.id for action in ACTIONS} | {action.id: action.id for action in ACTIONS}
BY_WORD |= {
    "quit": "log.quit",
    "exit": "log.quit",
    "?": "log.help",
    "space": "setup.take_hint",
    "take hint": "setup.take_hint",
    "enter": "ball.number",
    "backspace": "ball.undo",
    "up": "setup.bow_more",
    "down": "setup.bow_less",
    "do not count": "ball.uncount",
    "dont count": "ball.uncount",
    "count": "ball.uncount",
    "tab": "log.balls",
    "balls": "log.balls",
    "words": "log.glossary",
    "glossary": "log.glossary",
    "hint": "log.why",
    "plan": "range.plan",
    "block": "range.block",
    "kit": "range.kit",
    "body": "range.body",
    "save": "log.save_again",
}
SETUP = {"bow": "bow", "grip": "grip", "position": "position_balls"}


def one_ball(acts: list[str | None]) -> bool:
    """Whether the keys of a word are one act, or one ball told in several keys; a flight key that repeats is a key leaned on."""
    if len(acts) == 1:
        return acts[0] is not None
    amending = acts[1:] if acts[0] in FLIGHTS else acts
    if acts[0] in FLIGHTS and set(amending) == {acts[0]}:
        return True
    strikes = [act for act in amending if act in STRIKES]
    return len(strikes) <= 1 and all(act in STRIKES or act in CURVES or act == "ball.touched" for act in amending)


def stated(folded: str) -> list[tuple[str, str]]:
    """Pairs such as bow 2 grip 30, empty where the line is something else."""
    found = folded.split()
    pairs = list(zip(found[::2], found[1::2], strict=False))
    return pairs if pairs and not len(found) % 2 and all(name in SETUP for name, _ in pairs) else []


def ball(folded: str) -> tuple[Flight | None, Strike | None, Curve | None] | None:
    """A ball said in words, None where the line is something else."""
    text = f" {folded} "
    side = next((word for word in (Side.FAR_LEFT, Side.FAR_RIGHT, Side.ON_LINE) if f" {word} " in text), None)
    curve = next((word for word in Curve if f" {word} " in text), None)
    for phrase in (side, curve):
        text = text.replace(f" {phrase} ", " ") if phrase else text
    height = strike = None
    for word in text.split():
        if word in (Side.LEFT, Side.RIGHT) and side is None:
            side = Side(word)
        elif word in tuple(Height) and height is None:
            height = Height(word)
        elif word in tuple(Strike) and strike is None:
            strike = Strike(word)
        else:
            return None
    if side is None and height is not None:
        return None
    if side is None and strike is None and curve is None:
        return None
    return (Flight(side, height) if side is not None else None), strike, curve
