"""What the model warns of: more bow that opens the ball, and a feel that has drifted."""

from rangelog.core.hand import open_word
from rangelog.core.results import Hint
from rangelog.core.words import Lever
from rangelog.hints.facts import Facts
from rangelog.hints.rule import fresh_enough
from rangelog.hints.words import about, estimate, p_value

SURE = 0.95


def wrong_sign(facts: Facts) -> Hint | None:
    """A fitted sign opposite to what is expected is told, not hidden."""
    model = facts.model
    if model is None or not model.diagnosis.bow_moved or model.diagnosis.wrong_sign < SURE or not fresh_enough(facts, "wrong_sign"):
        return None
    slope = model.diagnosis.bow_deg_per_notch
    p = p_value(1 - model.diagnosis.wrong_sign)
    return Hint(
        "wrong_sign",
        "ASK COACH",
        f"More bow went {open_word(facts.player.hand)} (p {p}). Is the grip stick clear of the arm? Ask coach.",
        numbers=f"{estimate(slope)} deg a notch",
        why=("More bow is expected to move the start to the other side.", f"{model.diagnosis.counted} counted balls."),
        change="The stick clear of the arm, and balls that say otherwise.",
        holds_face=True,
    )


def drift(facts: Facts) -> Hint | None:
    """The line moved more than 3 deg within the session; a smaller drift cannot be seen in a day."""
    model = facts.model
    if model is None or model.diagnosis.drift_beyond <= SURE or not fresh_enough(facts, "drift", 3):
        return None
    moved = model.diagnosis.drift_deg
    lever = "bow" if facts.lever is Lever.BOW else "grip"
    return Hint(
        "drift",
        "RE-SET",
        f"Feel has drifted: anchor now {about(moved.mean)}. Re-set, then go on.",
        numbers=f"moved {estimate(moved)} deg since the first balls",
        why=(
            f"Moved by more than 3 deg with {100 * model.diagnosis.drift_beyond:.0f} % probability.",
            f"The {lever} of now is not the {lever} of then.",
        ),
        change="2-3 balls at the setting you began with.",
    )
