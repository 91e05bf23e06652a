"""A session on the range, its blocks, its forms and its edits."""

from dataclasses import dataclass, field

from rangelog.core.words import BlockKind, PainSite, Surface


@dataclass(frozen=True, slots=True)
class Session:
    """One visit to the range.

    Attributes:
        id: unique across books.
        started_at, ended_at: local time with offset, ISO 8601; ended_at empty while it runs.
        surface: mat or turf.
        date_uncertain: the clock looked wrong (reset, or earlier than the last session).
        aim_line: an aim line was on the ground; without it starts are read against a guess.
        note: free words.
    """

    id: str
    started_at: str
    ended_at: str = ""
    surface: Surface = Surface.MAT
    date_uncertain: bool = False
    aim_line: bool = True
    note: str = ""


@dataclass(frozen=True, slots=True)
class Block:
    """A run of consecutive balls with one purpose.

    Attributes:
        kind: its purpose; what a kind means is data, in journey.
        seq: 1-based within the session.
        planned: planned count of balls, 0 where it is open-ended.
        seed: seed of a drawn order, where there is one.
        plan: JSON text of what was drawn or planned (settings, targets, called heights), empty where there is none.
        ended_at: empty while it runs.
        outcome: "done", "abandoned", or what a confirm found: "centred", "not centred", "not shown"; empty while it runs.
    """

    id: str
    session_id: str
    seq: int
    kind: BlockKind
    planned: int = 0
    started_at: str = ""
    ended_at: str = ""
    seed: int | None = None
    plan: str = ""
    outcome: str = ""


@dataclass(frozen=True, slots=True)
class Form:
    """Answers to one short form: kit, body, pain, comfort, aim correction.

    Attributes:
        name: which form.
        answers: field name to answer, JSON scalars only.
        after_seq: the number of the last ball before it, 0 at the start.
        complete: False while half filled in; it survives a crash and is taken up again.
    """

    id: str
    session_id: str
    name: str
    at: str
    after_seq: int = 0
    answers: dict[str, str | int | float | bool | None] = field(default_factory=dict)
    complete: bool = True


@dataclass(frozen=True, slots=True)
class Pain:
    """A pain answer, 0-10, taken out of a form.

    Attributes:
        bow: the bow of the last ball before it, None where none was stated.
        starting: asked at the start of the session.
    """

    site: PainSite
    level: int
    sharp: bool = False
    after_seq: int = 0
    bow: float | None = None
    starting: bool = False


@dataclass(frozen=True, slots=True)
class Edit:
    """One correction of one field of one ball; the old value, the time and the reason stay for good.

    Attributes:
        group: edits made by one act share it, and are undone together.
        old, new: JSON text of the values.
        undoes: group that this edit takes back, empty for an ordinary correction.
    """

    id: str
    ball_id: str
    field: str
    old: str
    new: str
    at: str
    reason: str = ""
    group: str = ""
    undoes: str = ""
