"""Balls and setups in the words of the tee."""

from rangelog.core.ball import Ball
from rangelog.core.setup import Setup
from rangelog.core.units import angle, notches

_POSITIONS = {0.0: "centre"}


def position(balls: float) -> str:
    """ "centre", "1/4 forward", "1 back": ball position in ball widths."""
    if balls == 0:
        return _POSITIONS[0.0]
    quarters = round(abs(balls) * 4)
    whole, rest = divmod(quarters, 4)
    part = {0: "", 1: "1/4", 2: "1/2", 3: "3/4"}[rest]
    size = " ".join(text for text in (str(whole) if whole else "", part) if text)
    return f"{size} {'forward' if balls > 0 else 'back'}"


def setup(stated: Setup) -> str:
    """ "bow 1, grip 30, centre"."""
    bow = "bow ?" if stated.bow is None else f"bow {notches(stated.bow)}"
    grip = "grip ?" if stated.grip is None else f"grip {stated.grip:g}"
    return f"{bow}, {grip}, {position(stated.position_balls)}"


def flight(ball: Ball) -> str:
    """What a ball did: "right, mid, solid", "5.5 left, high", "hit, not seen"."""
    start = ball.corrected_start_deg()
    parts = [angle(start) if start is not None else ball.side, ball.height, ball.strike, ball.curve]
    if ball.touched:
        parts.append("stick touched")
    if ball.launch_deg is not None:
        parts.append(f"launch {ball.launch_deg:g} deg")
    if ball.apex_m is not None:
        parts.append(f"apex {ball.apex_m:g} m")
    said = [str(part) for part in parts if part]
    if not ball.seen:
        said.insert(0, "hit, not seen")
    return ", ".join(said)
