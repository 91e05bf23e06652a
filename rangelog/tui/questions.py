"""The forms about a ball and the setup of the next. Data only; what an answer does is in the desk."""

from rangelog.core import scales
from rangelog.core.words import PainSite, Reason, Side
from rangelog.logbook.view import TeeView
from rangelog.tui.forms import Field, Form
from rangelog.tui.question_parts import BOW, GRIP, POSITION, half_notch, options


def number_form(hint: str) -> Form:
    return Form("number", "Number for the last ball", (Field("text", "Number", required=True, help=hint),))


def number_side() -> Form:
    return Form("number_side", "Which side?", (Field("side", "It started", "choice", (("L", "left"), ("R", "right")), required=True),))


def note() -> Form:
    return Form("note", "Note on the last ball", (Field("text", "Note", required=True),))


def pain() -> Form:
    return Form(
        "pain",
        "Pain",
        (
            Field("site", "Where", "choice", options(tuple(PainSite)), default=PainSite.WRIST.value),
            Field("level", "How much, 0 none to 10 the worst", "number", default=0, low=0, high=10, whole=True),
            Field("sharp", "Sharp?", "yes or no", default=False, asked_if=lambda answers: bool(answers.get("level"))),
        ),
    )


def uncount() -> Form:
    reasons = options(Reason.choices())
    return Form(
        "uncount",
        "Leave the last ball out",
        (Field("reason", "Because", "choice", reasons, required=True, help="Where the ball went is not a reason."),),
        done="leave out",
    )


def felt(view: TeeView) -> Form:
    stated = view.last.setup.bow if view.last else None
    return Form(
        "felt",
        "Felt bow of the last ball",
        (
            Field(
                "value",
                "It felt like bow",
                "number",
                default=stated,
                **BOW,
                unit="notches",
                required=True,
                help="Kept beside the intended bow, which stays.",
                check=half_notch,
            ),
        ),
    )


def comfort() -> Form:
    words = (("1", "hurts to hold"), ("2", "forced"), ("3", "bearable"), ("4", "easy"), ("5", "at home"))
    return Form("comfort", "Comfort of this setting", (Field("value", "How comfortable", "choice", words, default="3"),))


def relabel(view: TeeView) -> Form:
    setup = view.setup
    return Form(
        "relabel",
        "Re-label the last balls",
        (
            Field("last", "How many balls back", "number", default=1, low=1, high=max(view.ball_number, 1), whole=True, unit="balls"),
            Field(
                "bow",
                "Their bow was",
                "number",
                default=setup.bow,
                **BOW,
                unit="notches",
                check=half_notch,
            ),
            Field("grip", "Their grip was", "number", default=setup.grip, **GRIP, unit="deg"),
            Field(
                "reason",
                "Because",
                default="forgot",
                help="Old value, time and reason stay in the file. What it felt like is not a reason: use felt bow.",
            ),
        ),
        done="re-label",
    )


def aim() -> Form:
    return Form(
        "aim",
        "Correct the aim line",
        (
            Field(
                "size",
                "It was off by",
                "number",
                low=0,
                high=45,
                unit="deg",
                required=True,
                help="Lay the line again first. Old rows keep what was read.",
            ),
            Field("side", "It pointed", "choice", (("left", "left of the target"), ("right", "right of the target")), default="left"),
        ),
        done="correct",
    )


def setting(view: TeeView) -> Form:
    setup = view.setup
    return Form(
        "setting",
        "Setup of the next ball",
        (
            Field(
                "bow",
                "Bow",
                "number",
                default=setup.bow,
                **BOW,
                unit="notches",
                required=True,
                help="0 = a ruler lies flat along forearm and back of the hand.",
                check=half_notch,
            ),
            Field(
                "grip",
                "Grip",
                "number",
                default=setup.grip,
                **GRIP,
                unit="deg",
                required=True,
                help="weak 0, neutral 30, strong 60, very strong 90.",
            ),
            Field(
                "position_balls",
                "Ball position",
                "number",
                default=setup.position_balls,
                **POSITION,
                unit="ball widths",
                help="+ toward the target, 0 = the club's stock position.",
                check=scales.position,
            ),
        ),
        done="set",
    )


def find_notes() -> Form:
    return Form("find_notes", "Find in notes", (Field("text", "Words", required=True, help="Any part of a note, small or capital."),))


def jump_to_date() -> Form:
    return Form("jump_to_date", "Jump to", (Field("text", "Date", required=True, help="2026-05-31, or 2026-05, or 2026."),))


def ball_edit() -> Form:
    sides = options(tuple(Side))
    return Form(
        "ball_edit",
        "Correct this ball",
        (
            Field(
                "field",
                "What",
                "choice",
                (
                    ("side", "start side"),
                    ("height", "height"),
                    ("strike", "strike"),
                    ("note", "note"),
                    ("bow", "intended bow"),
                    ("grip", "intended grip"),
                ),
                default="side",
            ),
            Field("side", "It started", "choice", sides, required=True, asked_if=lambda answers: answers.get("field") == "side"),
            Field(
                "height",
                "Height",
                "choice",
                options(("low", "mid", "high")),
                required=True,
                asked_if=lambda answers: answers.get("field") == "height",
            ),
            Field(
                "strike",
                "Strike",
                "choice",
                options(("solid", "thin", "fat", "top", "toe", "heel", "shank")),
                required=True,
                asked_if=lambda answers: answers.get("field") == "strike",
            ),
            Field("note", "Note", required=True, asked_if=lambda answers: answers.get("field") == "note"),
            Field(
                "bow",
                "The bow that was meant",
                "number",
                **BOW,
                unit="notches",
                required=True,
                check=half_notch,
                asked_if=lambda answers: answers.get("field") == "bow",
            ),
            Field(
                "grip",
                "The grip that was meant",
                "number",
                **GRIP,
                unit="deg",
                required=True,
                asked_if=lambda answers: answers.get("field") == "grip",
            ),
            Field("reason", "Because", default="mis-keyed"),
        ),
        done="correct",
    )
