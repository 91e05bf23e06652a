"""The forms that frame a visit: first start, session, club, block, prescription. Data only; what an answer does is in the desk."""

from collections.abc import Sequence

from rangelog.core import scales
from rangelog.core.player import Club
from rangelog.core.words import BlockKind, Surface, Swing
from rangelog.logbook.view import TeeView
from rangelog.tui.forms import Field, Form
from rangelog.tui.question_parts import BOW, LOFT, half_notch, options
from rangelog.tui.words import clean


def first_start(cautions: Sequence[str]) -> Form:
    """Who plays, with what, and what must be respected."""
    return Form(
        "first_start",
        "A new book",
        (
            Field(
                "code", "A short name for you", default="player", help="It stays in this file. A code is enough, no real name is needed."
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
                "Its loft",
                "number",
                **LOFT,
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
                help="Half the window: 2 deg is 3.5 paces to either side at 100 paces.",
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
                **BOW,
                unit="notches",
                default_word="no limit",
                help="A limit from your physician, coach or comfort; no hint goes above it.",
                check=half_notch,
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
            Field("surface", "The ball lies on", "choice", options(tuple(Surface)), default=setup.surface.value),
            Field(
                "aim_line", "Is an aim line on the ground?", "yes or no", default=True, help="Without one, starts are read against a guess."
            ),
            Field("swing", "Swing length", "choice", options(tuple(Swing)), default=setup.swing.value),
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


def block(proposed: str, reason: str) -> Form:
    kinds = (
        (proposed, *(kind.value for kind in BlockKind if kind.value != proposed)) if proposed else tuple(kind.value for kind in BlockKind)
    )
    return Form(
        "block",
        "Block",
        (
            Field("kind", "Start", "choice", options(kinds), default=kinds[0], help=clean(reason, 200)),
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
                **BOW,
                unit="notches",
                default_word="" if now and now.wrist_limit_bow is not None else "no limit",
                check=half_notch,
            ),
            Field("ball_cap", "Balls a day at most", "number", default=now.ball_cap if now else 60, low=5, high=300, whole=True),
            Field("text", "In the words of who set it", default=now.text if now else ""),
            Field("set_by", "Set by", default=now.set_by if now else "player", help="coach, player, or a code."),
        ),
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
                **LOFT,
                unit="deg",
                default_word="unknown",
                asked_if=new,
            ),
        ),
        done="take it",
    )


def swing(view: TeeView) -> Form:
    return Form("swing", "Swing length", (Field("swing", "Swing", "choice", options(tuple(Swing)), default=view.setup.swing.value),))


def ground(view: TeeView) -> Form:
    return Form(
        "ground",
        "Ground",
        (
            Field("surface", "The ball lies on", "choice", options(tuple(Surface)), default=view.setup.surface.value),
            Field("aim_line", "Is an aim line on the ground?", "yes or no", default=view.setup.aim_line),
        ),
    )


def save_elsewhere() -> Form:
    return Form("save_elsewhere", "Write what is not saved to", (Field("path", "File", required=True, help="Another disk or folder."),))
