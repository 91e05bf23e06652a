"""A ball as a row and back. Written out by hand, since a review reads a hundred thousand of them."""

from datetime import datetime
from functools import lru_cache
from typing import Any

from rangelog.core import scales
from rangelog.core.ball import Ball
from rangelog.core.setup import Setup
from rangelog.core.words import Curve, Height, Reason, Side, Strike, Surface, Swing
from rangelog.store import cells

COLUMNS = (
    "id",
    "session_id",
    "seq",
    "at",
    "block_id",
    "prescription_id",
    "club_id",
    "bow_notches",
    "grip_deg",
    "position_balls",
    "swing",
    "stick",
    "surface",
    "aim_line",
    "side",
    "start_deg",
    "height",
    "launch_deg",
    "apex_m",
    "strike",
    "curve",
    "touched",
    "felt_bow_notches",
    "comfort",
    "called",
    "target",
    "counted",
    "reason",
    "voided",
    "aim_correction_deg",
    "note",
)
"""Columns of a ball that make the record, in the order of row() and ball()."""

FIELD_COLUMNS = {
    "block_id": "block_id",
    "prescription_id": "prescription_id",
    "club_id": "club_id",
    "bow": "bow_notches",
    "grip": "grip_deg",
    "felt_bow": "felt_bow_notches",
    **{name: name for name in COLUMNS if name not in {"id", "session_id", "seq", "at", "bow_notches", "grip_deg", "felt_bow_notches"}},
}
"""Fields of a ball that an edit may change, by the name they have on the record (those of its setup by their own name)."""

SETUP_FIELDS = frozenset({"bow", "grip", "position_balls", "club_id", "swing", "stick", "surface", "aim_line"})

_SIDES: dict[str | None, Side | None] = {None: None} | {word.value: word for word in Side}
_HEIGHTS: dict[str | None, Height | None] = {None: None} | {word.value: word for word in Height}
_STRIKES: dict[str | None, Strike | None] = {None: None} | {word.value: word for word in Strike}
_CURVES: dict[str | None, Curve | None] = {None: None} | {word.value: word for word in Curve}
_REASONS: dict[str | None, Reason | None] = {None: None} | {word.value: word for word in Reason}
_FLAGS = {0: False, 1: True}
_SWINGS = {word.value: word for word in Swing}
_SURFACES = {word.value: word for word in Surface}


def row(ball: Ball) -> tuple[Any, ...]:
    """The cells of a ball, in the order of COLUMNS. Raises OffScale where a number is not finite."""
    setup = ball.setup
    datetime.fromisoformat(ball.at)
    return (
        ball.id,
        ball.session_id,
        ball.seq,
        ball.at,
        cells.blank(ball.block_id),
        cells.blank(ball.prescription_id),
        cells.blank(setup.club_id),
        cells.finite("bow", setup.bow),
        cells.finite("grip", setup.grip),
        cells.finite("ball position", setup.position_balls),
        str(setup.swing),
        int(setup.stick),
        str(setup.surface),
        int(setup.aim_line),
        ball.side,
        cells.finite("start", ball.start_deg),
        ball.height,
        cells.finite("launch", ball.launch_deg),
        cells.finite("apex", ball.apex_m),
        ball.strike,
        ball.curve,
        int(ball.touched),
        cells.finite("felt bow", ball.felt_bow),
        ball.comfort,
        ball.called,
        cells.clean(ball.target),
        int(ball.counted),
        ball.reason,
        int(ball.voided),
        cells.finite("aim correction", ball.aim_correction_deg),
        cells.clean(ball.note),
    )


def ball(values: tuple[Any, ...]) -> Ball:
    """The ball of a row in the order of COLUMNS, every cell checked. Raises ValueError naming the cell that does not fit."""
    (
        ball_id, session_id, seq, at, block_id, prescription_id, club_id, bow, grip, position, swing, stick, surface, aim_line, side, start,
        height, launch, apex, strike, curve, touched, felt_bow, comfort, called, target, counted, reason, voided, correction, note,
    ) = values  # fmt: skip
    if seq.__class__ is not int or seq < 1:
        raise ValueError(f"seq: {seq!r} is not a whole number from 1")
    for column, text in (("id", ball_id), ("session_id", session_id), ("at", at), ("target", target), ("note", note)):
        if text.__class__ is not str:
            raise ValueError(f"{column}: text expected")
        cells.encodable(column, text)
    datetime.fromisoformat(at)
    _check_numbers(start, launch, apex, correction)
    if comfort is not None:
        cells.whole("comfort", comfort, *scales.COMFORT_RANGE)
    if felt_bow is not None:
        felt_bow = scales.bow(felt_bow)
    try:
        return Ball(
            ball_id,
            session_id,
            seq,
            at,
            _setup(bow, grip, position, club_id, swing, stick, surface, aim_line),
            block_id or "",
            prescription_id or "",
            _SIDES[side],
            start,
            _HEIGHTS[height],
            launch,
            apex,
            _STRIKES[strike],
            _CURVES[curve],
            _FLAGS[touched],
            felt_bow,
            comfort,
            _HEIGHTS[called],
            target,
            _FLAGS[counted],
            _REASONS[reason],
            _FLAGS[voided],
            correction,
            note,
        )
    except (KeyError, TypeError) as error:
        raise ValueError(f"{error} is no word of the log") from None


@lru_cache(maxsize=4096)
def _setup(bow: Any, grip: Any, position: Any, club_id: Any, swing: Any, stick: Any, surface: Any, aim_line: Any) -> Setup:
    """Setups repeat from ball to ball, so each is checked once. Raises ValueError, KeyError, TypeError."""
    numbers = (cells.optional_number("bow_notches", bow), cells.optional_number("grip_deg", grip), cells.number("position_balls", position))
    return Setup(*numbers, club_id or "", _SWINGS[swing], _FLAGS[stick], _SURFACES[surface], _FLAGS[aim_line])


def _check_numbers(start: object, launch: object, apex: object, correction: object) -> None:
    if start is not None:
        cells.number("start_deg", start, *scales.START_RANGE)
    if launch is not None:
        cells.number("launch_deg", launch, *scales.LAUNCH_RANGE)
    if apex is not None:
        cells.number("apex_m", apex, *scales.APEX_RANGE)
    cells.number("aim_correction_deg", correction)
