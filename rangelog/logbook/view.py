"""What the tee screen is told: one frozen picture of the state after every key."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from rangelog.core.ball import Ball
from rangelog.core.hint import Hint
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.session import Block, Session
from rangelog.core.setting import Setting
from rangelog.core.setup import Setup
from rangelog.core.words import Side

if TYPE_CHECKING:
    from rangelog.core.results import Crossing


@dataclass(frozen=True, slots=True)
class Mark:
    """One ball in the bracket picture.

    Attributes:
        bow: column, in notches.
        side: row, as shown (from the number where there is one).
        start_deg: corrected degrees where a number was given.
        counted: it takes part in fits.
        last: it is the last ball hit.
    """

    bow: float
    side: Side
    start_deg: float | None = None
    counted: bool = True
    last: bool = False


@dataclass(frozen=True, slots=True)
class Picture:
    """The bracket at the present grip, club and stick, this session.

    Attributes:
        marks: balls in the order they were hit.
        crossing: the crossing with its band, None until the model has answered.
        bow_range: legal bows for hints.
        window_deg, wide_deg: edges of the classes.
        grip: the grip the picture is drawn at, None while none is stated.
    """

    marks: tuple[Mark, ...] = ()
    crossing: Crossing | None = None
    bow_range: tuple[float, float] = (-2.0, 5.0)
    window_deg: float = 2.0
    wide_deg: float = 6.0
    grip: float | None = None


@dataclass(frozen=True, slots=True)
class TeeView:
    """Everything the tee screen shows.

    Attributes:
        player, club, prescription: who, with what, under which prescription; None before the first start is done.
        session, block: what runs, None where nothing does.
        setup: the setup the next ball will be stored with.
        stated: both levers are stated.
        offered: what is set up while nothing is stated and the hint proposes nothing: the last setting of the book, or the first one.
        last: the last ball as understood, None before the first.
        hint: the present hint; the stored one until the model has loaded.
        hint_is_stored: the hint comes from the book and the model has not yet answered.
        ball_number: balls hit this session (not seen ones included, voided ones not).
        block_hit: balls hit in the present block.
        picture: the bracket.
        share_at_crossing: chance of an on-line start at the recommended bow, None until the model has answered.
        unsaved: balls that are kept in memory because the book could not take them.
        can_undo, can_redo: whether there is something to take back, or to bring back.
        read_only: the book is open read-only; who holds it is in notice.
        due: name of the form that is due, empty where none is.
        notice: one standing line of warning (read-only, unsaved, network file system), may be empty.
    """

    player: Player | None = None
    club: Club | None = None
    prescription: Prescription | None = None
    session: Session | None = None
    block: Block | None = None
    setup: Setup = field(default_factory=Setup)
    stated: bool = False
    offered: Setting | None = None
    last: Ball | None = None
    hint: Hint | None = None
    hint_is_stored: bool = False
    ball_number: int = 0
    block_hit: int = 0
    picture: Picture = field(default_factory=Picture)
    share_at_crossing: float | None = None
    unsaved: int = 0
    can_undo: bool = False
    can_redo: bool = False
    read_only: bool = False
    notice: str = ""
    due: str = ""


@dataclass(frozen=True, slots=True)
class Echo:
    """The answer to one act.

    Attributes:
        text: one line for the player: what was understood, or why it was refused.
        kind: "saved", "changed", "asked", "refused" or "not saved".
        question: id of the question that is now open, empty where none is.
        doubtful: the act was taken, and something about it should be looked at.
    """

    text: str
    kind: str = "changed"
    question: str = ""
    doubtful: bool = False
