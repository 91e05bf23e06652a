"""Every act a player can do, in one list. Keys, footer, help, menu, plain mode and the README's table are read from it."""

from dataclasses import dataclass

from rangelog.core.flight import Flight
from rangelog.core.words import Curve, Height, Side, Strike
from rangelog.logbook.view import TeeView

TEE = "tee"
EVERYWHERE = "everywhere"


@dataclass(frozen=True, slots=True, eq=False)
class Action:
    """One act.

    Attributes:
        id: how settings, tests and code name it.
        label: two or three words for the footer and the menu.
        help: one sentence.
        keys: places of the main block (by their QWERTY letter) or names of other keys; empty where it lives in the menu.
        group: heading it stands under.
        scope: the screen it belongs to.
        needs: facts of the view that must hold for it to apply; see `facts`.
        guarded: a bounce of its key must not do it twice.
    """

    id: str
    label: str
    help: str
    keys: tuple[str, ...] = ()
    group: str = "log"
    scope: str = TEE
    needs: frozenset[str] = frozenset()
    guarded: bool = False

    @property
    def rare(self) -> bool:
        """It has no key of its own and lives in the menu."""
        return not self.keys


GROUPS = {
    "flight": "The ball: where it started and how high",
    "strike": "How it was struck, what it did then",
    "setup": "The setup of the next ball",
    "ball": "The last ball",
    "range": "The session",
    "calculator": "Calculators",
    "log": "The log",
}

SIDES = tuple(Side)
FLIGHT_PLACES: tuple[tuple[Height | None, str], ...] = (
    (None, "12345"),
    (Height.HIGH, "qwert"),
    (Height.MID, "asdfg"),
    (Height.LOW, "zxcvb"),
)
STRIKE_PLACES = {
    Strike.SOLID: "j", Strike.THIN: "u", Strike.FAT: "m", Strike.TOP: "i", Strike.HEEL: "h", Strike.TOE: "k", Strike.SHANK: "l",
}  # fmt: skip
CURVE_PLACES = {Curve.LEFT: "6", Curve.STRAIGHT: "7", Curve.RIGHT: "8"}


def _slug(*words: str) -> str:
    return ".".join(word.replace(" ", "_") for word in words)


FLIGHTS: dict[str, Flight] = {"flight.not_seen": Flight()}
STRIKES: dict[str, Strike] = {_slug("strike", strike): strike for strike in STRIKE_PLACES}
CURVES: dict[str, Curve] = {_slug("curve", curve.split()[-1]): curve for curve in CURVE_PLACES}


def _flight_actions() -> list[Action]:
    made = []
    for height, places in FLIGHT_PLACES:
        for side, place in zip(SIDES, places, strict=True):
            action_id = _slug("flight", side, *([height] if height else []))
            FLIGHTS[action_id] = Flight(side, height)
            label = f"{side}, {height}" if height else side.value
            seen = height or "height not seen"
            made.append(Action(action_id, label, f"Store a ball that started {side}, {seen}.", (place,), "flight", guarded=True))
    made.append(Action("flight.not_seen", "hit, not seen", "Store a ball of which nothing was seen.", ("0",), "flight", guarded=True))
    return made


_LAST = frozenset({"last", "writable"})
_WRITE = frozenset({"writable"})

ACTIONS: tuple[Action, ...] = (
    *_flight_actions(),
    *(
        Action(_slug("strike", strike), strike.value, f"The last ball was struck {strike}.", (place,), "strike", needs=_LAST)
        for strike, place in STRIKE_PLACES.items()
    ),
    *(
        Action(_slug("curve", curve.split()[-1]), curve.value, f"After its start the ball {curve}.", (place,), "strike", needs=_LAST)
        for curve, place in CURVE_PLACES.items()
    ),
    Action("ball.touched", "stick touched", "The grip stick touched arm or body; again takes it back.", ("9",), "strike", needs=_LAST),
    Action("setup.bow_more", "more bow", "One notch more bow for the next ball.", ("up",), "setup", needs=_WRITE),
    Action("setup.bow_less", "less bow", "One notch less bow for the next ball.", ("down",), "setup", needs=_WRITE),
    Action("setup.grip_weaker", "weaker grip", "Grip one step weaker for the next ball.", ("left",), "setup", needs=_WRITE),
    Action("setup.grip_stronger", "stronger grip", "Grip one step stronger for the next ball.", ("right",), "setup", needs=_WRITE),
    Action("setup.position_back", "ball back", "Ball a quarter of its width back.", (",",), "setup", needs=_WRITE),
    Action("setup.position_forward", "ball forward", "Ball a quarter of its width forward.", (".",), "setup", needs=_WRITE),
    Action(
        "setup.take_hint", "take the hint", "Set up what the hint proposes.", ("space",), "setup", needs=frozenset({"proposal", "writable"})
    ),
    Action("setup.half_more", "half a notch more bow", "Half a notch more bow for the next ball.", (), "setup", needs=_WRITE),
    Action("setup.half_less", "half a notch less bow", "Half a notch less bow for the next ball.", (), "setup", needs=_WRITE),
    Action("setup.type", "type bow and grip", "Type bow and grip as numbers.", (), "setup", needs=_WRITE),
    Action("setup.club", "change club", "Take another club of the bag, or add one.", (), "setup", needs=_WRITE),
    Action("setup.swing", "swing length", "Short, half or full swing.", (), "setup", needs=_WRITE),
    Action("setup.stick", "grip stick on or off", "Put the grip stick on, or take it off.", (), "setup", needs=_WRITE),
    Action("setup.ground", "surface and aim line", "Mat or turf, aim line or none.", (), "setup", needs=_WRITE),
    Action(
        "ball.number",
        "number",
        "Degrees, launch, apex, or an offset at a distance.",
        ("enter",),
        "ball",
        needs=_LAST,
    ),
    Action(
        "ball.undo",
        "undo",
        "Take back one act after another.",
        ("backspace",),
        "ball",
        needs=frozenset({"undo"}),
        guarded=True,
    ),
    Action("ball.redo", "redo", "Bring back what undo took.", (), "ball", needs=frozenset({"redo"})),
    Action("ball.uncount", "don't count", "Leave it out of the fits, or count it.", ("o",), "ball", needs=_LAST),
    Action("ball.note", "note", "A line of your own about the last ball.", ("n",), "ball", needs=_LAST),
    Action("ball.felt", "felt bow", "What it felt like; what was meant stays.", (), "ball", needs=_LAST),
    Action("ball.comfort", "comfort", "How comfortable this setting is, 1 to 5.", (), "ball", needs=_LAST),
    Action("ball.relabel", "re-label last balls", "A change was keyed late: put it right.", (), "ball", needs=_LAST),
    Action("range.pain", "pain", "Where and how much it hurts, 0 to 10.", ("p",), "range", needs=_WRITE),
    Action("range.block", "choose a block", "Start the proposed block, or another.", (), "range", needs=_WRITE),
    Action(
        "range.block_end", "end the block", "End the running block before its count.", (), "range", needs=frozenset({"block", "writable"})
    ),
    Action("range.pause", "pause", "Keys rest until Enter goes on.", (), "range"),
    Action("range.plan", "today's plan", "The blocks that lie ahead today.", (), "range"),
    Action("range.due", "what is due", "Answer the check that is due now.", (), "range", needs=frozenset({"due", "writable"})),
    Action("range.kit", "kit check", "Aim line, marks, stick: once a session.", (), "range", needs=_WRITE),
    Action("range.body", "body check", "Pelvis, nose, tilt and hands.", (), "range", needs=_WRITE),
    Action("range.aim", "correct the aim line", "It pointed elsewhere: correct starts.", (), "range", needs=_LAST),
    Action("range.prescription", "new prescription", "Window, wrist limit, cap: a new version.", (), "range", needs=_WRITE),
    Action("range.new_session", "new session", "End this session and start another.", (), "range", needs=_WRITE),
    Action("calculator.gate", "gate and offset", "Gate and degrees; offset at a flag.", (), "calculator", EVERYWHERE),
    Action("calculator.wrist", "wrist angles", "Grip and shaft to bow and sideways angle.", (), "calculator", EVERYWHERE),
    Action("calculator.loft", "loft and lean", "Loft that lean takes, face it opens.", (), "calculator", EVERYWHERE),
    Action("calculator.ball_position", "ball position effects", "What moving the ball does by itself.", (), "calculator", EVERYWHERE),
    Action("log.why", "why", "The counts behind it, and what is next.", ("y",), "log"),
    Action("log.next_screen", "other screens", "Tee, balls, reviews, and back.", ("tab",), "log", EVERYWHERE),
    Action("log.menu", "menu", "Every act by name: type a few letters.", (";", "/"), "log", EVERYWHERE),
    Action("log.help", "help", "The keyboard, drawn.", ("question_mark", "f1"), "log", EVERYWHERE),
    Action("log.back", "back", "Close what is open; on the tee, leave.", ("escape",), "log", EVERYWHERE),
    Action("log.balls", "balls", "Every ball: find, open, correct.", (), "log", EVERYWHERE),
    Action("log.review", "reviews", "One question at a time, with a picture.", (), "log", EVERYWHERE),
    Action("log.glossary", "what the words mean", "Every word, with small drawings.", (), "log", EVERYWHERE),
    Action("log.cautions", "cautions", "The usual cautions.", (), "log", EVERYWHERE),
    Action("log.look", "light or dark look", "Light, dark, high contrast: next one.", (), "log", EVERYWHERE),
    Action("log.units", "units", "Metres or yards, until you leave.", (), "log"),
    Action("log.large", "large letters", "Larger letters, or the picture again.", (), "log"),
    Action("log.key_hints", "key hints", "Show or hide the two key blocks.", (), "log"),
    Action("log.save_again", "save again", "Try to write once more.", (), "log", EVERYWHERE, frozenset({"unsaved"})),
    Action(
        "log.save_elsewhere",
        "save elsewhere",
        "Go on in a copy at another place.",
        (),
        "log",
        EVERYWHERE,
        frozenset({"unsaved"}),
    ),
    Action("log.quit", "leave", "Every ball is in the book.", ("ctrl+q", "ctrl+c"), "log", EVERYWHERE),
)

BY_ID: dict[str, Action] = {action.id: action for action in ACTIONS}


def facts(view: TeeView) -> frozenset[str]:
    """The facts of a view that acts may need."""
    held = {
        "last": view.last is not None,
        "undo": view.can_undo,
        "redo": view.can_redo,
        "proposal": not view.stated or (view.hint is not None and (view.hint.setting is not None or view.hint.block is not None)),
        "due": bool(view.due),
        "block": view.block is not None and not view.block.ended_at,
        "unsaved": view.unsaved > 0,
        "writable": not view.read_only,
    }
    return frozenset(name for name, holds in held.items() if holds)


def applies(action: Action, view: TeeView) -> bool:
    """Whether an act makes sense now."""
    return action.needs <= facts(view)
