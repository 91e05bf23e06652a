"""The part of the tee that must survive a killed process: stated setup, acts that can be taken back, the hint on show.

It is committed in the same transaction as the ball that changed it.
"""

import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from typing import Any

from rangelog.core.hint import Hint
from rangelog.core.setting import Setting
from rangelog.core.setup import Setup
from rangelog.core.words import Surface, Swing

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
        """The state of `as_rows`; anything missing takes its default."""
        setup, acts, hint, proposal, offer, told = (rows.get(key) for key in STATE_KEYS)
        return cls(
            setup=setup_from(setup) if setup else Setup(),
            done=tuple(Act(*act) for act in acts["done"]) if acts else (),
            undone=tuple(Act(*act) for act in acts["undone"]) if acts else (),
            hint=_hint_from(hint) if hint else None,
            proposal=Setting(**proposal) if proposal else None,
            offer=Setting(**offer) if offer else None,
            told=dict(told or {}),
        )


def setup_from(fields: Mapping[str, Any]) -> Setup:
    """A setup of its stored fields."""
    return Setup(**{**fields, "swing": Swing(fields["swing"]), "surface": Surface(fields["surface"])})


def _hint_from(fields: Mapping[str, Any]) -> Hint:
    setting = fields.get("setting")
    return Hint(**{**fields, "why": tuple(fields.get("why", ())), "setting": Setting(**setting) if setting else None})


def value_text(value: object) -> str:
    """A field's value as it stands in an edit row."""
    return json.dumps(value, ensure_ascii=False)
