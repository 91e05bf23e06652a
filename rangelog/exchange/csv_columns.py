"""The columns of the CSV: one row a ball, units in the names, and where each column stands in the book."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Column:
    """One column.

    Attributes:
        name: its header.
        kind: the kind of row it belongs to; empty for a number that is worked out and not read back.
        field: the name it has there.
        form: "text", "number", "whole" or "flag".
    """

    name: str
    kind: str
    field: str
    form: str = "text"


def _ball(*names: str, form: str = "text") -> tuple[Column, ...]:
    return tuple(Column(name, "ball", name, form) for name in names)


COLUMNS: tuple[Column, ...] = (
    Column("ball_id", "ball", "id"),
    Column("player_id", "player", "id"),
    Column("player", "player", "code"),
    Column("hand", "player", "hand"),
    Column("lead_hand", "player", "lead_hand"),
    Column("session_id", "session", "id"),
    Column("session_started_at", "session", "started_at"),
    Column("session_ended_at", "session", "ended_at"),
    Column("session_surface", "session", "surface"),
    Column("session_aim_line", "session", "aim_line", "flag"),
    Column("session_date_uncertain", "session", "date_uncertain", "flag"),
    Column("session_note", "session", "note"),
    Column("ball", "ball", "seq", "whole"),
    Column("keyed_as_ball", "ball", "keyed_seq", "whole"),
    Column("at", "ball", "at"),
    Column("block_id", "block", "id"),
    Column("block_number", "block", "seq", "whole"),
    Column("block", "block", "block_kind"),
    Column("block_planned_balls", "block", "planned_balls", "whole"),
    Column("prescription_id", "prescription", "id"),
    Column("prescription_version", "prescription", "version", "whole"),
    Column("window_deg", "prescription", "window_deg", "number"),
    Column("wide_deg", "prescription", "wide_deg", "number"),
    Column("club_id", "club", "id"),
    Column("club", "club", "name"),
    Column("loft_deg", "club", "loft_deg", "number"),
    *_ball("bow_notches", "grip_deg", "position_balls", form="number"),
    *_ball("swing"),
    *_ball("stick", form="flag"),
    *_ball("surface"),
    *_ball("aim_line", form="flag"),
    *_ball("side"),
    *_ball("start_deg", "aim_correction_deg", form="number"),
    Column("corrected_start_deg", "", "", "number"),
    *_ball("height"),
    *_ball("launch_deg", "apex_m", form="number"),
    *_ball("strike", "curve"),
    *_ball("touched", form="flag"),
    *_ball("felt_bow_notches", form="number"),
    *_ball("comfort", form="whole"),
    *_ball("called", "target"),
    *_ball("counted", form="flag"),
    *_ball("reason"),
    *_ball("voided", form="flag"),
    *_ball("note"),
)
"""In the order in which they stand in the file."""

PARENTS = {"player": "", "session": "session_id", "block": "block_id", "prescription": "prescription_id", "club": "club_id"}
"""Kinds a ball row speaks of beside the ball, and the field of the ball that points at them."""

BY_NAME = {column.name: column for column in COLUMNS}
NEEDED = ("ball_id", "session_id", "ball", "at")
"""Columns without which a row is no ball of ours."""
