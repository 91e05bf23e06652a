"""The setup comes before the ball: both levers stated, an aim line down, no stick in a full swing."""

from rangelog.core.results import Hint
from rangelog.core.words import Reason, Swing
from rangelog.hints.facts import Facts
from rangelog.hints.words import balls


def setup(facts: Facts) -> Hint | None:
    """Asks for what is missing from the setup of the next ball."""
    if not facts.setup.stated:
        unknown = sum(ball.reason is Reason.SETUP_UNKNOWN for ball in facts.balls)
        return Hint(
            "setup",
            "SET UP",
            "Set bow and grip before hitting.",
            numbers=f"{balls(unknown)} kept, not counted: setup unknown" if unknown else "up / down bow, left / right grip",
            why=("A bow named after the flight fits any flight; it is fixed before the ball.",),
            change="Both levers stated.",
            holds_face=True,
        )
    if facts.setup.stick and facts.setup.swing is Swing.FULL:
        return Hint(
            "setup",
            "STICK OFF",
            "Stick off for full swings.",
            numbers="a stick on the grip is for short, slow swings",
            why=("Swing is full and the grip stick is on; it can strike ribs, arm or face.",),
            change="Stick off, or a shorter swing.",
            holds_face=True,
        )
    last = facts.balls[-1] if facts.balls else None
    if not facts.setup.aim_line and (last is None or last.setup.aim_line):
        return Hint(
            "setup",
            "AIM LINE",
            "No aim line. Lay a stick on the ground first.",
            numbers="without it starts are read against a guessed line",
            why=("An aim error and a start bias look the same without a line on the ground.",),
            change="An aim line, or one ball hit without it.",
            holds_face=True,
        )
    return None
