"""The short forms: their fields, the legal answers, and when each is asked again."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from rangelog.core import scales
from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale
from rangelog.core.session import Form
from rangelog.core.words import CheckAnswer, Lever, PainSite, Swing

FieldKind = Literal["choice", "number", "text", "yes or no"]
Answer = str | int | float | bool | None

BODY_EVERY = 25
PAIN_EVERY = 20
PAUSE_S = 300.0


@dataclass(frozen=True, slots=True)
class FormField:
    """One question.

    Attributes:
        name: name in the file.
        label: the question, in a few words.
        kind: "choice", "number", "text" or "yes or no".
        choices: legal words of a choice, in order.
        low, high: range of a number.
        unit: its unit.
        default: what Enter takes; None where nothing is assumed.
        optional: may stay unanswered.
        help: one line more.
    """

    name: str
    label: str
    kind: FieldKind = "choice"
    choices: tuple[str, ...] = ()
    low: float = 0.0
    high: float = 0.0
    unit: str = ""
    default: Answer = None
    optional: bool = False
    help: str = ""

    def accepts(self, answer: Answer) -> Answer:
        """The answer as stored. Raises OffScale naming the field and what is legal."""
        if answer is None or answer == "":
            if self.optional:
                return None
            raise OffScale(self.name, f"{self.label}: an answer is needed.")
        if self.kind == "choice":
            if answer not in self.choices:
                raise OffScale(self.name, f"{self.label}: one of {', '.join(self.choices)}.")
            return answer
        if self.kind == "number":
            return scales.number(self.label, answer, self.low, self.high, self.unit)
        if self.kind == "yes or no":
            if not isinstance(answer, bool):
                raise OffScale(self.name, f"{self.label}: yes or no.")
            return answer
        return "".join(letter for letter in str(answer) if letter.isprintable())


@dataclass(frozen=True, slots=True)
class FormKind:
    """One form: its name in the file, its title, and its fields in the order they are asked."""

    name: str
    title: str
    fields: tuple[FormField, ...]

    def field(self, name: str) -> FormField:
        """The field of a name. Raises OffScale for a name that is not in the form."""
        for entry in self.fields:
            if entry.name == name:
                return entry
        raise OffScale(name, f"The form {self.name} has no field {name}.")

    def check(self, answers: Mapping[str, Answer], *, complete: bool) -> dict[str, Answer]:
        """Answers as stored. A half-filled form checks only what is there. Raises OffScale."""
        checked = {name: self.field(name).accepts(answer) for name, answer in answers.items()}
        if complete:
            checked |= {entry.name: entry.accepts(entry.default) for entry in self.fields if entry.name not in checked}
        return checked

    def missing(self, answers: Mapping[str, Answer]) -> tuple[FormField, ...]:
        """Fields that are still to be answered."""
        return tuple(entry for entry in self.fields if entry.name not in answers and not entry.optional)


CHECKS = tuple(CheckAnswer)
_NOT_APPLICABLE = CheckAnswer.NOT_APPLICABLE.value


def _check(name: str, label: str, help_: str = "", default: str | None = None) -> FormField:
    return FormField(name, label, "choice", tuple(answer.value for answer in CHECKS), default=default, help=help_)


KIT = FormKind(
    "kit",
    "Kit check",
    (
        _check("aim_line", "Aim line on the ground", "A stick. Without it starts are read against a guessed line."),
        _check("ball_mark", "Ball position marked", "One ball is 43 mm; unmarked placement wanders by half of that (from memory)."),
        _check("grip_marks", "Grip marked on the handle", "Mark the handle: 3 mm = 1 step of 15 deg."),
        _check("stick", "Grip stick fixed and capped", "It must run past the lead side and cannot come loose."),
        _check("mark_ahead", "Gate or far mark to read starts", "Read against a mark on the line; a standing eye is off it."),
        FormField("bucket", "Balls in the bucket", "number", low=1, high=300, unit="balls", optional=True),
    ),
)

BODY = FormKind(
    "body",
    "Body check",
    (
        _check("pelvis", "Pelvis centre a little target-side of mid-stance", "Mid-stance is between the feet, not at the ball."),
        _check("nose", "Nose behind midline at impact", "Not by hanging the pelvis back. Seated: not applicable."),
        _check("side_tilt", "Side tilt grows in the downswing"),
        _check("hands", "Hands rising through impact"),
        FormField(
            "nose_mm", "Nose behind midline", "number", low=-300, high=400, unit="mm", optional=True, help="+ = behind; from a phone frame."
        ),
        FormField("nose_at", "Measured at", "choice", ("address", "impact"), default="impact", optional=True),
    ),
)

BODY_REMEDIES: Mapping[str, str] = MappingProxyType(
    {
        "pelvis": "pelvis a little target-side of mid-stance",
        "nose": "nose behind midline",
        "side_tilt": "side tilt growing in the downswing",
        "hands": "hands rising through impact",
    }
)
"""What a failed body check asks for, in the words of the hint."""

PAIN = FormKind(
    "pain",
    "Pain",
    (
        *(FormField(site.value, site.value.capitalize(), "number", low=0, high=10, default=0, help="0 none .. 10") for site in PainSite),
        FormField(
            "sharp", "Sharp?", "yes or no", default=False, help="Sharp, lasting or night pain, tingling, swelling: stop, get it seen."
        ),
    ),
)

COMFORT = FormKind(
    "comfort",
    "Comfort of this setting",
    (FormField("comfort", "Comfort", "number", low=1, high=5, help="1 forced .. 5 easy"),),
)

PRESCRIPTION = FormKind(
    "prescription",
    "Prescription",
    (
        FormField("set_by", "Set by", "text", default="player"),
        FormField("text", "In words", "text", optional=True),
        FormField("club_id", "Club", "text", optional=True),
        FormField("swing", "Swing length", "choice", tuple(swing.value for swing in Swing), default=Swing.HALF.value),
        FormField("first_lever", "First lever", "choice", tuple(lever.value for lever in Lever), default=Lever.BOW.value),
        FormField("window_deg", "Counts as on line within", "number", low=0.5, high=10, unit="deg", default=scales.DEFAULT_WINDOW_DEG),
        FormField("wide_deg", "Far beyond", "number", low=1, high=30, unit="deg", default=scales.DEFAULT_WIDE_DEG),
        FormField("wrist_limit_bow", "Wrist limit", "number", low=-2, high=5, unit="notches", optional=True, help="No hint goes above it."),
        FormField("pain_history", "Wrist pain or surgery before", "yes or no", default=False),
        FormField("ball_cap", "Balls a day at most", "number", low=10, high=150, unit="balls", default=60),
        FormField("solid_limit", "Strike limit", "number", low=0, high=1, optional=True, help="Solid share below which face hints pause."),
        FormField("stop_rules", "Stop when", "text", optional=True),
    ),
)

FORMS: Mapping[str, FormKind] = MappingProxyType({form.name: form for form in (PRESCRIPTION, KIT, PAIN, BODY, COMFORT)})
"""Every form by its name, in the order of the journey."""


def due(forms: Sequence[Form], balls: Sequence[Ball], *, extreme_done: bool = False, gap_s: float = 0.0) -> str | None:
    """The form that is due now, None where none is.

    Args:
        forms: forms of this session, in order.
        balls: balls of this session, in order, voided ones left out.
        extreme_done: the planned balls at an extreme have just been hit.
        gap_s: seconds since the last ball.

    Returns:
        "kit" once a session; "pain" at the start, after each extreme and every 20 balls; "body" at the start and every 25 balls;
        "kit" again after a pause of more than 5 minutes, since the mat or the grip may have moved. A half-filled form comes first.
    """
    half = next((form.name for form in reversed(forms) if not form.complete), None)
    if half is not None:
        return half
    hit = balls[-1].seq if balls else 0
    latest = {form.name: form.after_seq for form in forms}
    if "kit" not in latest or (gap_s > PAUSE_S and hit and latest["kit"] < hit):
        return "kit"
    if "pain" not in latest or hit - latest["pain"] >= PAIN_EVERY or (extreme_done and latest["pain"] < hit):
        return "pain"
    if "body" not in latest or hit - latest["body"] >= BODY_EVERY:
        return "body"
    return None
