"""The forms the log asks, built from the present view. Data only; what an answer does is in the desk."""

from collections.abc import Sequence
from typing import TypedDict

from rangelog.core import scales
from rangelog.core.player import Club
from rangelog.core.words import BlockKind, PainSite, Reason, Side, Surface, Swing
from rangelog.logbook.view import TeeView
from rangelog.tui.forms import Field, Form
from rangelog.tui.words import clean


class _Span(TypedDict):
    """Legal ends of a number."""

    low: float
    high: float


_BOW = _Span(low=scales.BOW_RANGE[0], high=scales.BOW_RANGE[1])
_GRIP = _Span(low=scales.GRIP_RANGE[0], high=scales.GRIP_RANGE[1])
_POSITION = _Span(low=scales.POSITION_RANGE[0], high=scales.POSITION_RANGE[1])
_LOFT = _Span(low=scales.LOFT_RANGE[0], high=scales.LOFT_RANGE[1])


def _words(values: Sequence[str]) -> tuple[tuple[str, str], ...]:
    return tuple((str(value), str(value)) for value in values)


def first_start(cautions: Sequence[str]) -> Form:
    """Who plays, with what, and what must be respected."""
    return Form(
        "first_start",
        "A new book",
        (
            Field(
                "code", "A short name for you (it stays in this file)", default="player", help="A code is enough. No real name is needed."
            ),
            Field("hand", "You swing", "choice", (("right", "right-handed"), ("left", "left-handed")), default="right"),
            Field(
                "lead_hand",
                "Lead hand on the grip",
                "choice",
                (("left", "left hand"), ("right", "right hand")),
                default_from=lambda answers: "left" if answers.get("hand") == "right" else "right",
                help="The hand nearer the target on the handle.",
            ),
            Field("club_name", "Club you start with", default="iron", help="Your own word for it."),
            Field(
                "loft_deg",
                "Its loft in degrees",
                "number",
                **_LOFT,
                unit="deg",
                default_word="unknown",
                help="Static loft, shaft upright. Makers differ: ask, or leave it unknown.",
            ),
            Field(
                "window_deg",
                "A start counts as on line within",
                "number",
                default=scales.DEFAULT_WINDOW_DEG,
                low=0.5,
                high=10,
                unit="deg",
                help="Half the window: 2 deg is 3.5 m to either side at 100 m.",
            ),
            Field(
                "wrist_history",
                "Wrist pain or wrist surgery before?",
                "yes or no",
                default=False,
                help="Yes keeps extremes out of every hint.",
            ),
            Field(
                "wrist_limit_bow",
                "Bow never above",
                "number",
                **_BOW,
                unit="notches",
                default_word="no limit",
                help="A limit from your physician, coach or comfort; no hint goes above it.",
                check=_half_notch,
            ),
            Field("junior", "Is the player a junior?", "yes or no", default=False, help="Fewer balls, no extremes, an adult present."),
            Field(
                "ball_cap",
                "Balls a day at most",
                "number",
                default_from=lambda answers: 40 if answers.get("junior") else 60,
                low=5,
                high=300,
                whole=True,
                unit="balls",
            ),
        ),
        intro=tuple(cautions),
        done="open the tee",
        own=True,
    )


def _half_notch(value: object) -> object:
    return None if value is None else scales.bow(value)


def session_start(view: TeeView, clubs: Sequence[Club]) -> Form:
    """What holds for this visit."""
    setup = view.setup
    known = tuple((club.id, clean(club.label, 40)) for club in clubs)
    ids = [club_id for club_id, _ in known]
    club_fields = (Field("club_id", "Club", "choice", known, default=setup.club_id if setup.club_id in ids else ids[0]),) if known else ()
    return Form(
        "session_start",
        "Today",
        (
            Field("surface", "The ball lies on", "choice", _words(tuple(Surface)), default=setup.surface.value),
            Field(
                "aim_line", "Is an aim line on the ground?", "yes or no", default=True, help="Without one, starts are read against a guess."
            ),
            Field("swing", "Swing length", "choice", _words(tuple(Swing)), default=setup.swing.value),
            Field(
                "stick",
                "Grip stick on?",
                "yes or no",
                default=setup.stick,
                asked_if=lambda answers: answers.get("swing") != Swing.FULL,
                help="Short slow swings only; clear the bay and cap the ends.",
            ),
            *club_fields,
        ),
        done="start",
    )


def number_form(hint: str) -> Form:
    return Form("number", "Number for the last ball", (Field("text", "Number", required=True, help=hint),))


def number_side() -> Form:
    return Form("number_side", "Which side?", (Field("side", "It started", "choice", (("L", "left"), ("R", "right")), required=True),))


def note() -> Form:
    return Form("note", "Note on the last ball", (Field("text", "Note", required=True, help="Enter saves, Esc drops."),))


def pain() -> Form:
    return Form(
        "pain",
        "Pain",
        (
            Field("site", "Where", "choice", _words(tuple(PainSite)), default=PainSite.WRIST.value),
            Field("level", "How much, 0 none to 10 the worst", "number", default=0, low=0, high=10, whole=True),
            Field("sharp", "Sharp?", "yes or no", default=False, asked_if=lambda answers: bool(answers.get("level"))),
        ),
    )


def uncount() -> Form:
    reasons = _words(Reason.choices())
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
                **_BOW,
                unit="notches",
                required=True,
                help="Kept beside the intended bow, which stays.",
                check=_half_notch,
            ),
        ),
    )


def comfort() -> Form:
    words = (("1", "1 hurts to hold"), ("2", "2 forced"), ("3", "3 bearable"), ("4", "4 easy"), ("5", "5 at home"))
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
                **_BOW,
                unit="notches",
                check=_half_notch,
            ),
            Field("grip", "Their grip was", "number", default=setup.grip, **_GRIP, unit="deg"),
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
                **_BOW,
                unit="notches",
                required=True,
                help="0 = a ruler lies flat along forearm and back of the hand.",
                check=_half_notch,
            ),
            Field(
                "grip",
                "Grip",
                "number",
                default=setup.grip,
                **_GRIP,
                unit="deg",
                required=True,
                help="weak 0, neutral 30, strong 60, very strong 90.",
            ),
            Field(
                "position_balls",
                "Ball position",
                "number",
                default=setup.position_balls,
                **_POSITION,
                unit="ball widths",
                help="+ toward the target, 0 = the club's stock position.",
                check=scales.position,
            ),
        ),
        done="set",
    )


def club(clubs: Sequence[Club], current: str) -> Form:
    known = (*((one.id, clean(one.label, 40)) for one in clubs), ("", "another club"))
    new = lambda answers: answers.get("club_id") == ""  # noqa: E731 - one condition for two fields
    return Form(
        "club",
        "Club",
        (
            Field("club_id", "Take", "choice", known, default=current or known[0][0]),
            Field("name", "Its name", required=True, asked_if=new),
            Field(
                "loft_deg",
                "Its loft",
                "number",
                **_LOFT,
                unit="deg",
                default_word="unknown",
                asked_if=new,
            ),
        ),
        done="take it",
    )


def swing(view: TeeView) -> Form:
    return Form("swing", "Swing length", (Field("swing", "Swing", "choice", _words(tuple(Swing)), default=view.setup.swing.value),))


def ground(view: TeeView) -> Form:
    return Form(
        "ground",
        "Ground",
        (
            Field("surface", "The ball lies on", "choice", _words(tuple(Surface)), default=view.setup.surface.value),
            Field("aim_line", "Is an aim line on the ground?", "yes or no", default=view.setup.aim_line),
        ),
    )


def block(proposed: str, reason: str) -> Form:
    kinds = (
        (proposed, *(kind.value for kind in BlockKind if kind.value != proposed)) if proposed else tuple(kind.value for kind in BlockKind)
    )
    return Form(
        "block",
        "Block",
        (
            Field("kind", "Start", "choice", _words(kinds), default=kinds[0], help=clean(reason, 200)),
            Field("planned", "Balls", "number", low=1, high=200, whole=True, default_word="as planned"),
        ),
        done="start",
    )


def prescription(view: TeeView) -> Form:
    now = view.prescription
    return Form(
        "prescription",
        "New version of the prescription",
        (
            Field("window_deg", "On line within", "number", default=now.window_deg if now else 2.0, low=0.5, high=10, unit="deg"),
            Field(
                "wrist_limit_bow",
                "Bow never above",
                "number",
                default=now.wrist_limit_bow if now else None,
                **_BOW,
                unit="notches",
                default_word="" if now and now.wrist_limit_bow is not None else "no limit",
                check=_half_notch,
            ),
            Field("ball_cap", "Balls a day at most", "number", default=now.ball_cap if now else 60, low=5, high=300, whole=True),
            Field("text", "In the words of who set it", default=now.text if now else ""),
            Field("set_by", "Set by", default=now.set_by if now else "player", help="coach, player, or a code."),
        ),
    )


def save_elsewhere() -> Form:
    return Form("save_elsewhere", "Write what is not saved to", (Field("path", "File", required=True, help="Another disk or folder."),))


def ball_edit() -> Form:
    sides = _words(tuple(Side))
    return Form(
        "ball_edit",
        "Correct this ball",
        (
            Field(
                "field",
                "What",
                "choice",
                (("side", "start side"), ("height", "height"), ("strike", "strike"), ("note", "note")),
                default="side",
            ),
            Field("side", "It started", "choice", sides, required=True, asked_if=lambda answers: answers.get("field") == "side"),
            Field(
                "height",
                "Height",
                "choice",
                _words(("low", "mid", "high")),
                required=True,
                asked_if=lambda answers: answers.get("field") == "height",
            ),
            Field(
                "strike",
                "Strike",
                "choice",
                _words(("solid", "thin", "fat", "top", "toe", "heel", "shank")),
                required=True,
                asked_if=lambda answers: answers.get("field") == "strike",
            ),
            Field("note", "Note", required=True, asked_if=lambda answers: answers.get("field") == "note"),
            Field("reason", "Because", default="mis-keyed"),
        ),
        done="correct",
    )
