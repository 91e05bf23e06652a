"""The cells of a ball that comes in, checked without making a ball of every one.

What was stated and what was seen repeat from ball to ball, so each of the two is put to the rules of ball_rows once and remembered.
"""

from datetime import datetime
from functools import lru_cache
from typing import Any

from rangelog.core import scales
from rangelog.core.ball import Ball
from rangelog.store import ball_rows, cells

_PATTERN = ball_rows.row(Ball("id", "session", 1, "2000-01-01T00:00:00+00:00"))
_STATED = tuple(
    map(ball_rows.COLUMNS.index, ("club_id", "bow_notches", "grip_deg", "position_balls", "swing", "stick", "surface", "aim_line"))
)
_SEEN = tuple(
    map(
        ball_rows.COLUMNS.index,
        (
            *("side", "height", "strike", "curve", "touched", "felt_bow_notches", "comfort"),
            *("called", "counted", "reason", "voided"),
        ),
    )
)


def checked(values: tuple[Any, ...]) -> tuple[Any, ...]:
    """Cells in the order of ball_rows.COLUMNS as they may be written: what ball_rows.row gives for what ball_rows.ball reads.

    Raises ValueError or TypeError where ball_rows would.
    """
    (
        ball_id, session_id, seq, at, block_id, prescription_id, club_id, bow, grip, position, swing, stick, surface, aim_line, side, start,
        height, launch, apex, strike, curve, touched, felt_bow, comfort, called, target, counted, reason, voided, correction, note,
    ) = values  # fmt: skip
    plain = ball_id.__class__ is session_id.__class__ is at.__class__ is target.__class__ is note.__class__ is str and (
        ball_id.isascii() and session_id.isascii() and at.isascii() and target.isascii() and note.isascii()
    )
    if not plain or seq.__class__ is not int or seq < 1:
        ball_rows.ball(values)  # says which cell it is, if any
    for column, link in (("block_id", block_id), ("prescription_id", prescription_id), ("club_id", club_id)):
        if link.__class__ is not str and link is not None:
            raise ValueError(f"{column}: text expected")
    datetime.fromisoformat(at)
    stated = _stated(club_id, bow, grip, position, swing, stick, surface, aim_line)
    side, height, strike, curve, touched, felt_bow, comfort, called, counted, reason, voided = _seen(
        side, height, strike, curve, touched, felt_bow, comfort, called, counted, reason, voided
    )
    return (
        ball_id,
        session_id,
        seq,
        at,
        cells.blank(block_id or ""),
        cells.blank(prescription_id or ""),
        *stated,
        side,
        None if start is None else cells.number("start_deg", start, *scales.START_RANGE),
        height,
        None if launch is None else cells.number("launch_deg", launch, *scales.LAUNCH_RANGE),
        None if apex is None else cells.number("apex_m", apex, *scales.APEX_RANGE),
        strike,
        curve,
        touched,
        felt_bow,
        comfort,
        called,
        cells.clean(target) if target else "",
        counted,
        reason,
        voided,
        cells.number("aim_correction_deg", correction),
        cells.clean(note) if note else "",
    )


@lru_cache(maxsize=4096, typed=True)
def _stated(*values: Any) -> tuple[Any, ...]:
    return _by_the_rules(_STATED, values)


@lru_cache(maxsize=4096, typed=True)
def _seen(*values: Any) -> tuple[Any, ...]:
    return _by_the_rules(_SEEN, values)


def _by_the_rules(places: tuple[int, ...], values: tuple[Any, ...]) -> tuple[Any, ...]:
    """Some cells of a ball as ball_rows would write them."""
    row = list(_PATTERN)
    for place, value in zip(places, values, strict=True):
        row[place] = value
    made = ball_rows.row(ball_rows.ball(tuple(row)))
    return tuple(made[place] for place in places)
