"""The footer: only the keys that apply now, whole words only, and every one of them may be clicked."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from textual import events
from textual.message import Message
from textual.reactive import reactive

from rangelog.logbook.view import TeeView
from rangelog.tui import keymap, words
from rangelog.tui.actions import BY_ID, applies
from rangelog.tui.draw import pieces
from rangelog.tui.keymap import KeyMap
from rangelog.tui.plan import MARGIN
from rangelog.tui.widgets.panel import Lines, Panel

if TYPE_CHECKING:
    from rangelog.logbook.showing import Showing

ORDER = (
    "setup.take_hint", "ball.undo", "ball.uncount", "ball.number", "log.why", "range.pain", "ball.note", "log.menu",
)  # fmt: skip
"""Acts of the tee's footer, the most wanted first."""


@dataclass(frozen=True, slots=True, eq=False)
class Item:
    """One entry: what is pressed, what it is called, and what a click does: an act, or the key itself."""

    key: str
    label: str
    action_id: str = ""
    pressed: str = ""

    @property
    def text(self) -> str:
        return f"{self.key} {self.label}"


ANSWERS = {"again": (("space", "another ball"), ("escape", "one ball")), "leave": (("enter", "leave"), ("escape", "stay"))}
"""What answers an open question: the key, and what it says."""


def entries(view: TeeView, keys: KeyMap, columns: int, question: str = "", showing: "Showing | None" = None) -> list[Item]:
    """What applies now and fits; help is always there, unless a question is open: then only its answers are."""
    if question in ANSWERS:
        return [Item(keymap.shown(key), label, pressed=key) for key, label in ANSWERS[question]]
    last = Item(keys.shown("log.help"), "help", "log.help")
    room = columns - len(last.text)
    chosen: list[Item] = []
    if not view.stated:
        arrows = " ".join(keys.shown(act) for act in ("setup.bow_more", "setup.bow_less"))
        grips = " ".join(keys.shown(act) for act in ("setup.grip_weaker", "setup.grip_stronger"))
        chosen += [Item(arrows, "bow", "setup.bow_more"), Item(grips, "grip", "setup.grip_stronger")]
    elif view.last is not None and view.last.strike is None:
        chosen.append(Item(keys.shown("strike.solid"), "solid", "strike.solid"))
    for action_id in ORDER:
        action = BY_ID[action_id]
        if keys.shown(action_id) and applies(action, view):
            label = said(action_id, view)
            chosen.append(Item(keys.shown(action_id), label if showing is None else showing.said(label), action_id))
    kept: list[Item] = []
    for item in chosen:
        if len(item.text) + 3 <= room:
            kept.append(item)
            room -= len(item.text) + 3
    return [*kept, last]


def said(action_id: str, view: TeeView) -> str:
    """The label of an act as the present state has it."""
    if action_id == "ball.uncount" and view.last is not None and not view.last.counted:
        return "count it"
    if action_id == "setup.take_hint" and not view.stated and (view.hint is None or view.hint.setting is None):
        return words.setting(view.setup.at(view.offered)).replace("  ", ", ") if view.offered is not None else "first setup"
    return BY_ID[action_id].label


class FooterLine(Panel):
    """The line itself."""

    keys: reactive[KeyMap] = reactive(keymap.ready())
    question: reactive[str] = reactive("")

    @dataclass
    class Chosen(Message):
        """An entry was clicked."""

        action_id: str
        pressed: str

    def lines(self) -> Lines:
        parts: list[pieces.Piece] = [(" " * MARGIN, "ink")]
        for item in entries(self.view, self.keys, self.size.width - 2 * MARGIN, self.question, self.showing):
            parts += [(item.key, "ink bold"), (f" {item.label}   ", "quiet")]
        return [parts]

    def on_click(self, event: events.Click) -> None:
        at = MARGIN
        for item in entries(self.view, self.keys, self.size.width - 2 * MARGIN, self.question, self.showing):
            if at <= event.x < at + len(item.text):
                self.post_message(self.Chosen(item.action_id, item.pressed))
                return
            at += len(item.text) + 3
