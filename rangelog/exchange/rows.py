"""Rows of the book as rows of a file, and back: the one definition of what the JSON Lines export holds.

Every row has a `kind`; the other names are the column names of the book. A block's own kind is written as `purpose`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rangelog.core import scales
from rangelog.core.errors import OffScale
from rangelog.core.words import BlockKind, Curve, Hand, Height, Lever, Reason, Side, Strike, Surface, Swing
from rangelog.exchange import fields as check
from rangelog.exchange.fields import Reader

Row = dict[str, Any]
_MOST = 10_000_000
_TEXT = check.text
_MAYBE_TEXT = check.optional(check.text)
_MAYBE_TIME = check.optional(check.moment)
_BOW = check.number(*scales.BOW_RANGE, step=0.5)


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of row.

    Attributes:
        table: where the book keeps it.
        readers: column name to the check of its value, in the order in which they are written.
        defaults: values of columns that a row may leave out; the others must be there.
    """

    table: str
    readers: Mapping[str, Reader]
    defaults: Mapping[str, Any]

    @property
    def flags(self) -> frozenset[str]:
        """Columns stored as 1 or 0 and written as true or false."""
        return frozenset(column for column, reader in self.readers.items() if reader is check.flag)


_SAVED = {"saved_utc": _MAYBE_TEXT}
KINDS: dict[str, Kind] = {
    "player": Kind(
        "players",
        {
            "id": check.name,
            "code": _TEXT,
            "hand": check.word(Hand),
            "lead_hand": check.word(Hand),
            "junior": check.flag,
            "hub_height_mm": check.number(300, 3000, "mm"),
            **_SAVED,
        },
        {"code": "player", "junior": 0, "hub_height_mm": 1350.0, "saved_utc": None},
    ),
    "club": Kind(
        "clubs",
        {"id": check.name, "name": _TEXT, "loft_deg": check.optional(check.number(*scales.LOFT_RANGE, "deg"))},
        {"loft_deg": None},
    ),
    "prescription": Kind(
        "prescriptions",
        {
            "id": check.name,
            "version": check.whole(1, _MOST),
            "made_at": _MAYBE_TIME,
            "set_by": _TEXT,
            "text": _TEXT,
            "club_id": _MAYBE_TEXT,
            "swing": check.word(Swing),
            "first_lever": check.word(Lever),
            "window_deg": check.number(0.01, 45, "deg"),
            "wide_deg": check.number(0.01, 45, "deg"),
            "wrist_limit_notches": check.optional(_BOW),
            "pain_history": check.flag,
            "ball_cap": check.whole(0, _MOST),
            "solid_limit": check.optional(check.number(0, 1)),
            "stop_rules": _TEXT,
        },
        {
            "version": 1,
            "made_at": None,
            "set_by": "player",
            "text": "",
            "club_id": None,
            "swing": "half",
            "first_lever": "bow",
            "window_deg": scales.DEFAULT_WINDOW_DEG,
            "wide_deg": scales.DEFAULT_WIDE_DEG,
            "wrist_limit_notches": None,
            "pain_history": 0,
            "ball_cap": 60,
            "solid_limit": None,
            "stop_rules": "",
        },
    ),
    "session": Kind(
        "sessions",
        {
            "id": check.name,
            "started_at": check.moment,
            "ended_at": _MAYBE_TIME,
            "surface": check.word(Surface),
            "date_uncertain": check.flag,
            "aim_line": check.flag,
            "note": _TEXT,
            "order_utc": _MAYBE_TEXT,
            **_SAVED,
        },
        {"ended_at": None, "surface": "mat", "date_uncertain": 0, "aim_line": 1, "note": "", "order_utc": None, "saved_utc": None},
    ),
    "block": Kind(
        "blocks",
        {
            "id": check.name,
            "session_id": check.name,
            "seq": check.whole(1, _MOST),
            "kind": check.word(BlockKind),
            "planned_balls": check.whole(0, _MOST),
            "started_at": _MAYBE_TIME,
            "ended_at": _MAYBE_TIME,
            "seed": check.optional(check.whole(-(2**63), 2**63 - 1)),
            "plan_json": check.optional(check.json_text),
            "outcome": check.optional(_TEXT),
            **_SAVED,
        },
        {
            "planned_balls": 0,
            "started_at": None,
            "ended_at": None,
            "seed": None,
            "plan_json": None,
            "outcome": None,
            "saved_utc": None,
        },
    ),
    "form": Kind(
        "forms",
        {
            "id": check.name,
            "session_id": check.name,
            "name": check.name,
            "at": check.moment,
            "after_seq": check.whole(0, _MOST),
            "answers_json": check.json_text,
            "complete": check.flag,
            **_SAVED,
        },
        {"after_seq": 0, "complete": 1, "saved_utc": None},
    ),
    "ball": Kind(
        "balls",
        {
            "id": check.name,
            "session_id": check.name,
            "seq": check.whole(1, _MOST),
            "at": check.moment,
            "block_id": _MAYBE_TEXT,
            "prescription_id": _MAYBE_TEXT,
            "club_id": _MAYBE_TEXT,
            "bow_notches": check.optional(_BOW),
            "grip_deg": check.optional(check.number(*scales.GRIP_RANGE, "deg")),
            "position_balls": check.number(*scales.POSITION_RANGE, "ball widths", step=scales.POSITION_STEP),
            "swing": check.word(Swing),
            "stick": check.flag,
            "surface": check.word(Surface),
            "aim_line": check.flag,
            "side": check.optional(check.word(Side)),
            "start_deg": check.optional(check.number(*scales.START_RANGE, "deg")),
            "height": check.optional(check.word(Height)),
            "launch_deg": check.optional(check.number(*scales.LAUNCH_RANGE, "deg")),
            "apex_m": check.optional(check.number(*scales.APEX_RANGE, "m")),
            "strike": check.optional(check.word(Strike)),
            "curve": check.optional(check.word(Curve)),
            "touched": check.flag,
            "felt_bow_notches": check.optional(_BOW),
            "comfort": check.optional(check.whole(*scales.COMFORT_RANGE)),
            "called": check.optional(check.word(Height)),
            "target": _TEXT,
            "counted": check.flag,
            "reason": check.optional(check.word(Reason)),
            "voided": check.flag,
            "aim_correction_deg": check.number(-90, 90, "deg"),
            "note": _TEXT,
            "keyed_seq": check.optional(check.whole(1, _MOST)),
        },
        {
            "block_id": None,
            "prescription_id": None,
            "club_id": None,
            "bow_notches": None,
            "grip_deg": None,
            "position_balls": 0.0,
            "swing": "half",
            "stick": 1,
            "surface": "mat",
            "aim_line": 1,
            **dict.fromkeys(
                ("side", "start_deg", "height", "launch_deg", "apex_m", "strike", "curve", "felt_bow_notches", "comfort", "called")
            ),
            "touched": 0,
            "target": "",
            "counted": 1,
            "reason": None,
            "voided": 0,
            "aim_correction_deg": 0.0,
            "note": "",
            "keyed_seq": None,
        },
    ),
    "edit": Kind(
        "edits",
        {
            "id": check.name,
            "ball_id": check.name,
            "field": check.name,
            "old_json": check.json_text,
            "new_json": check.json_text,
            "at": check.moment,
            "reason": _TEXT,
            "group_id": _MAYBE_TEXT,
            "undoes_group_id": _MAYBE_TEXT,
            "order_utc": _MAYBE_TEXT,
        },
        {"reason": "", "group_id": None, "undoes_group_id": None, "order_utc": None},
    ),
    "state": Kind("state", {"key": check.name, "value_json": check.json_text, **_SAVED}, {"saved_utc": None}),
}
"""Every kind of row, parents before children: rows in this order never point at what is not there yet."""

_FLAGS = {kind: each.flags for kind, each in KINDS.items()}
_DEFAULTS = {kind: each.defaults for kind, each in KINDS.items()}


def to_file(kind: str, row: Mapping[str, Any]) -> Row:
    """A row of the book as a row of the file, `kind` first, flags as true and false."""
    flags = _FLAGS[kind]
    if kind == "block":
        row = {("purpose" if column == "kind" else column): value for column, value in row.items()}
    return {"kind": kind, **{column: bool(value) if column in flags else value for column, value in row.items()}}


def from_file(row: Mapping[str, Any]) -> tuple[str, Row]:
    """Kind and checked book row of a row of the file; what it leaves out takes its default, and stored times stay None.

    Raises:
        OffScale: an unknown kind or field, a missing one, or a value off its scale; the field is named.
    """
    kind = row.get("kind")
    if not isinstance(kind, str) or kind not in KINDS:
        raise OffScale("kind", f"Kind is one of: {', '.join(KINDS)}.")
    values = {key: value for key, value in row.items() if key != "kind"}
    if kind == "block" and "purpose" in values:
        values["kind"] = values.pop("purpose")
    known = KINDS[kind].readers
    for key in values:
        if key not in known:
            raise OffScale(key, f"{key!r} is not a field of a {kind} row.")
    defaults = _DEFAULTS[kind]
    checked: Row = {}
    for column, reader in known.items():
        if column in values:
            checked[column] = reader(column, values[column])
        elif column in defaults:
            checked[column] = defaults[column]
        else:
            raise OffScale(column, f"{column} is missing.")
    return kind, checked
