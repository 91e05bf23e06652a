"""The part of the tee that must survive a killed process: stated setup, acts that can be taken back, the hint on show.

It is committed in the same transaction as the ball that changed it.
"""

import json
from collections.abc import Callable, Container, Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from rangelog.core import scales
from rangelog.core.hint import Hint
from rangelog.core.setting import Setting
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Surface, Swing

ACTS_KEPT = 200
STATE_KEYS = ("setup", "acts", "hint", "proposal", "offer", "told")


@dataclass(frozen=True, slots=True)
class Act:
    """One act that undo can take back.

    Attributes:
        kind: "hit" for a ball, "edit" for a group of edits.
        ref: ball id, or group of the edits.
        text: what it was, in the player's words.
    """

    kind: str
    ref: str
    text: str


@dataclass(frozen=True, slots=True)
class TeeState:
    """What the tee knows beside the balls themselves.

    Attributes:
        setup: the setup the next ball will be stored with.
        done, undone: acts that can be taken back, and brought back, newest last.
        hint: the hint on show.
        proposal: setting that was proposed before the next ball, None where nothing was.
        offer: setting offered while none is stated: the last one that was.
        told: number of balls hit when a rule first spoke today, by rule id.
    """

    setup: Setup = field(default_factory=Setup)
    done: tuple[Act, ...] = ()
    undone: tuple[Act, ...] = ()
    hint: Hint | None = None
    proposal: Setting | None = None
    offer: Setting | None = None
    told: Mapping[str, int] = field(default_factory=dict)

    def acted(self, act: Act) -> "TeeState":
        """After an act: it can be taken back, and what was undone before can no longer be brought back."""
        return replace(self, done=(*self.done, act)[-ACTS_KEPT:], undone=())

    def taken_back(self) -> "TeeState":
        """The newest act moved to the undone ones."""
        return replace(self, done=self.done[:-1], undone=(*self.undone, self.done[-1]))

    def brought_back(self) -> "TeeState":
        """The newest undone act moved back to the done ones."""
        return replace(self, done=(*self.done, self.undone[-1]), undone=self.undone[:-1])

    def fresh(self, setup: Setup) -> "TeeState":
        """For a new session: a setup, the last setting as an offer, and nothing to take back."""
        return TeeState(setup=setup, offer=self.setup.setting or self.offer)

    def at_rest(self) -> "TeeState":
        """Where no session was taken up: the balls of the last one are not at hand, so none of its acts can be taken back."""
        return replace(self, done=(), undone=())

    def stating(self, setup: Setup) -> "TeeState":
        """With another setup for the next ball."""
        return replace(self, setup=setup)

    def as_rows(self) -> dict[str, Any]:
        """JSON-ready values by state key."""
        return {
            "setup": asdict(self.setup),
            "acts": {
                name: [(act.kind, act.ref, act.text) for act in acts] for name, acts in (("done", self.done), ("undone", self.undone))
            },
            "hint": None if self.hint is None else asdict(self.hint),
            "proposal": None if self.proposal is None else asdict(self.proposal),
            "offer": None if self.offer is None else asdict(self.offer),
            "told": dict(self.told),
        }

    @classmethod
    def from_rows(cls, rows: Mapping[str, Any]) -> "TeeState":
        """The state of `as_rows`; what is missing, or cannot be read, takes its default."""
        return cls.read(rows)[0]

    @classmethod
    def read(cls, rows: Mapping[str, Any]) -> "tuple[TeeState, tuple[str, ...]]":
        """The state of `as_rows`, and the keys that could not be read and took their default: a hand may have been at them."""
        parts: dict[str, Any] = {}
        damaged = []
        for key, read in _READERS.items():
            value = rows.get(key)
            if value is None:
                continue
            try:
                parts |= read(value)
            except (KeyError, TypeError, ValueError, OverflowError):
                damaged.append(key)
        return cls(**parts), tuple(damaged)

    def known_only(self, refs: Container[str], club_ids: Container[str], club_id: str) -> "TeeState":
        """Without acts on balls and edits that are not there, and with a club of the bag in place of one that is not in it."""
        keep = [tuple(act for act in acts if act.ref in refs) for acts in (self.done, self.undone)]
        setup = self.setup if not self.setup.club_id or self.setup.club_id in club_ids else replace(self.setup, club_id=club_id)
        return replace(self, done=keep[0], undone=keep[1], setup=setup)


def setup_from(fields: Mapping[str, Any]) -> Setup:
    """A setup of its stored fields. Raises KeyError, TypeError or ValueError for what is none."""
    setup = Setup(**{**fields, "swing": Swing(fields["swing"]), "surface": Surface(fields["surface"])})
    _text(setup.club_id)
    for flag in (setup.stick, setup.aim_line):
        _kind(flag, bool)
    return setup


def _kind(value: Any, kind: type) -> Any:
    if not isinstance(value, kind):
        raise TypeError(f"{kind.__name__} expected")
    return value


def _text(value: Any) -> str:
    text: str = _kind(value, str)
    text.encode()
    return text


def _act(fields: Any) -> Act:
    kind, ref, text = _kind(fields, list)
    if kind not in ("hit", "edit"):
        raise ValueError("no such act")
    return Act(kind, _text(ref), _text(text))


def _acts(value: Any) -> dict[str, Any]:
    return {name: tuple(_act(fields) for fields in _kind(value[name], list)) for name in ("done", "undone")}


def _setting(fields: Any) -> Setting:
    setting = Setting(**fields)
    return Setting(scales.number("bow", setting.bow, *scales.BOW_RANGE), scales.number("grip", setting.grip, *scales.GRIP_RANGE))


def _hint(fields: Any) -> Hint:
    setting, block = fields.get("setting"), fields.get("block")
    why = tuple(_text(line) for line in _kind(fields.get("why", []), list))
    hint = Hint(**{**fields, "why": why, "setting": _setting(setting) if setting else None})
    for text in (hint.rule, hint.action, hint.words, hint.numbers, hint.change, hint.runner_up):
        _text(text)
    _kind(hint.holds_face, bool)
    return hint if block is None else replace(hint, block=str(BlockKind(block)))


_READERS: Mapping[str, Callable[[Any], dict[str, Any]]] = {
    "setup": lambda value: {"setup": setup_from(_kind(value, dict))},
    "acts": lambda value: _acts(_kind(value, dict)),
    "hint": lambda value: {"hint": _hint(_kind(value, dict))},
    "proposal": lambda value: {"proposal": _setting(_kind(value, dict))},
    "offer": lambda value: {"offer": _setting(_kind(value, dict))},
    "told": lambda value: {"told": {_text(rule): _kind(at, int) for rule, at in _kind(value, dict).items()}},
}
"""How each key of the state is read back; every one of STATE_KEYS has its own."""


def value_text(value: object) -> str:
    """A field's value as it stands in an edit row."""
    return json.dumps(value, ensure_ascii=False)
