"""How setups, balls and sessions are said: short words, whole words, one number format."""

from typing import TYPE_CHECKING

from rangelog.core.ball import Ball
from rangelog.core.setup import Setup
from rangelog.core.words import Reason, Side
from rangelog.logbook.view import TeeView

if TYPE_CHECKING:
    from rangelog.logbook.showing import Showing

GRIP_WORDS = ((-15.0, "weaker than weak"), (0.0, "weak"), (30.0, "neutral"), (60.0, "strong"), (90.0, "very strong"))
SIGNS = {Side.FAR_LEFT: "<<", Side.LEFT: "<", Side.ON_LINE: "|", Side.RIGHT: ">", Side.FAR_RIGHT: ">>"}


def clean(text: str, limit: int = 2000) -> str:
    """A player's own words with everything that could steer a terminal taken out."""
    return "".join(character for character in text[:limit] if character.isprintable())


def number(value: float) -> str:
    """A setting as it is stated: 2, 2.5, -1; halves and quarters kept."""
    return f"{value:g}"


def degrees(value: float) -> str:
    """A start direction: one decimal and the side."""
    shown = f"{abs(value):.1f}"
    if float(shown) == 0:
        return "0.0 on line"
    return f"{shown} {'right' if value > 0 else 'left'}"


def grip_word(grip: float) -> str:
    """The trade's word for a grip, empty between two of them."""
    return dict(GRIP_WORDS).get(grip, "")


def position(balls: float) -> str:
    """Ball position in words."""
    if balls == 0:
        return "ball at centre"
    return f"ball {abs(balls):g} {'forward' if balls > 0 else 'back'}"


def setting(setup: Setup, showing: "Showing | None" = None) -> str:
    """Bow and grip of a setup; `showing` is the player's units and decimal sign."""
    if setup.bow is None and setup.grip is None:
        return "setup unknown"
    bow = "bow ?" if setup.bow is None else f"bow {number(setup.bow)}"
    grip = "grip ?" if setup.grip is None else f"grip {number(setup.grip)}"
    told = f"{bow}  {grip}"
    return told if showing is None else showing.said(told)


def side_of(ball: Ball, view: TeeView) -> Side | None:
    """The side of a ball as it is shown, from the number where there is one."""
    edges = view.picture
    return ball.shown_side(edges.window_deg, edges.wide_deg)


def flight(ball: Ball, view: TeeView, showing: "Showing | None" = None) -> str:
    """A ball in words: where it started, height, strike, what else is known; `showing` is the player's units and decimal sign."""
    side = side_of(ball, view)
    start = ball.corrected_start_deg()
    known = [
        side.value if side else "not seen",
        "" if start is None else degrees(start) if float(f"{start:.1f}") else "0.0",
        ball.height.value if ball.height else "",
        "" if ball.launch_deg is None else f"launch {ball.launch_deg:g}",
        "" if ball.apex_m is None else f"apex {ball.apex_m:g} m",
        ball.strike.value if ball.strike else "",
        ball.curve.value if ball.curve else "",
        "stick touched" if ball.touched else "",
    ]
    told = ", ".join(word for word in known if word)
    return showing.said(told) if showing is not None else told


def not_counted(ball: Ball) -> str:
    """Why a ball is not counted, empty where it is."""
    if ball.counted:
        return ""
    said = ball.reason is not None and ball.reason is not Reason.NOT_SEEN
    return f"not counted: {ball.reason}" if said else "not counted"


def header(view: TeeView) -> str:
    """What is held: club, swing, stick, surface."""
    setup = view.setup
    words = [
        clean(view.club.label, 40) if view.club else "no club yet",
        f"{setup.swing} swing",
        "stick on" if setup.stick else "stick off",
        setup.surface.value,
        "" if setup.aim_line else "no aim line",
    ]
    return "  ".join(word for word in words if word)


def count(view: TeeView, short: bool = False) -> str:
    """Balls hit, out of how many."""
    cap = view.prescription.ball_cap if view.prescription else 0
    said = f"{view.ball_number} of {cap}" if cap else f"{view.ball_number}"
    return said if short and cap else f"{said} balls"


def block(view: TeeView) -> str:
    """Where in the block, empty outside any."""
    if view.block is None or view.block.ended_at:
        return ""
    said = f"{view.block.kind}  {view.block_hit}"
    return f"{said} of {view.block.planned}" if view.block.planned else said


def spoken(view: TeeView, showing: "Showing | None" = None) -> str:
    """The three things in one line of plain words."""
    last = f"Last: {flight(view.last, view, showing)}." if view.last else "No ball yet."
    hint = f"Hint: {view.hint.action.lower()}." if view.hint else ""
    told = f"Next: {setting(view.setup).replace('  ', ', ')}. {last} {hint}".strip()
    return told if showing is None else showing.said(told)


def standing(unsaved: int, notice: str, retry: str) -> str:
    """The standing line: unsaved balls before everything else."""
    if unsaved:
        balls = "1 ball" if unsaved == 1 else f"{unsaved} balls"
        how = f" {retry} Enter saves again." if retry else ""
        return f"NOT SAVED: {balls} in memory only.{how}"
    return notice
