"""Balls from JSON Lines for a hint without a book: few fields, any order, bad lines set aside by number.

{"bow": 0, "grip": 30, "start": 4.5}
{"bow": 4, "grip": 30, "side": "left", "strike": "solid", "session": "tue"}
"""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from rangelog.core import scales
from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale
from rangelog.core.setup import Setup
from rangelog.core.words import Hand, Reason, Side, Strike, Surface, Swing
from rangelog.exchange import fields as check
from rangelog.exchange.outcome import BadLine

_OTHER_NAMES = {
    "bow_notches": "bow",
    "grip_deg": "grip",
    "start_deg": "start",
    "position_balls": "position",
    "club_id": "club",
    "session_id": "session",
}
_KNOWN = frozenset(
    {"bow", "grip", "start", "side", "hand", "strike", "session", "club", "stick", "counted", "position", "swing", "surface", "touched"}
)


@dataclass(frozen=True, slots=True)
class HintLines:
    """What was read.

    Attributes:
        balls: the good ones, in the order of the file, numbered within their session.
        hand: the hand that was stated, None where no line states one.
        bad: lines that were set aside.
    """

    balls: tuple[Ball, ...]
    hand: Hand | None
    bad: tuple[BadLine, ...]


def read(lines: Iterable[str]) -> HintLines:
    """Read balls, one JSON object a line.

    `start` is degrees (+ = right of the line) or a class; `side` is a class. Rows of an export are taken too: rows of another
    kind and voided balls are passed over. The first stated hand stands; a line with the other hand is set aside.
    """
    balls: list[Ball] = []
    bad: list[BadLine] = []
    hand: Hand | None = None
    counts: dict[str, int] = {}
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        try:
            row = _object(line)
            if row.get("kind", "ball") != "ball":
                hand = _hand_of(row, hand) if row["kind"] == "player" else hand
                continue
            if row.get("voided"):
                continue
            hand = _hand_of(row, hand)
            ball = _ball(row, number, counts)
        except OffScale as error:
            bad.append(BadLine(number, str(error)))
            continue
        balls.append(ball)
    return HintLines(tuple(balls), hand, tuple(bad))


def _object(line: str) -> dict[str, Any]:
    try:
        row = json.loads(line)
    except (ValueError, RecursionError):
        raise OffScale("line", "Not a JSON object.") from None
    if not isinstance(row, dict):
        raise OffScale("line", "Not a JSON object.")
    return row


def _hand_of(row: Mapping[str, Any], known: Hand | None) -> Hand | None:
    if row.get("hand") is None:
        return known
    stated = scales.word("hand", row["hand"], Hand)
    if known is not None and stated is not known:
        raise OffScale("hand", f"This line is {stated}-handed, the lines before are {known}-handed.")
    return stated


def _ball(row: Mapping[str, Any], line: int, counts: dict[str, int]) -> Ball:
    from_export = "bow_notches" in row
    values = {_OTHER_NAMES.get(key, key): value for key, value in row.items()}
    if not from_export and (unknown := sorted(values.keys() - _KNOWN - {"kind"})):
        raise OffScale(unknown[0], f"{unknown[0]!r} is not a field of a ball here.", f"Fields are: {', '.join(sorted(_KNOWN))}.")
    session = check.text("session", values.get("session") or "today")
    counts[session] = counts.get(session, 0) + 1
    side, start = _start(values.get("start"), values.get("side"))
    bow, grip, strike = values.get("bow"), values.get("grip"), values.get("strike")
    stated = bow is not None and grip is not None
    seen = side is not None or start is not None
    counted = bool(check.flag("counted", values.get("counted", True)))
    return Ball(
        id=check.text("id", values.get("id") or f"line {line}"),
        session_id=session,
        seq=counts[session],
        at=check.text("at", values.get("at") or ""),
        setup=Setup(
            bow=None if bow is None else scales.bow(bow),
            grip=None if grip is None else scales.grip(grip),
            position_balls=scales.position(values.get("position") or 0),
            club_id=check.text("club", values.get("club") or ""),
            swing=scales.word("swing", values.get("swing") or Swing.HALF, Swing),
            stick=bool(check.flag("stick", values.get("stick", True))),
            surface=scales.word("surface", values.get("surface") or Surface.MAT, Surface),
        ),
        side=side,
        start_deg=start,
        strike=None if strike is None else scales.word("strike", strike, Strike),
        touched=bool(check.flag("touched", values.get("touched", False))),
        counted=counted and stated and seen,
        reason=_reason(counted, stated, seen),
        aim_correction_deg=scales.start_deg(row.get("aim_correction_deg") or 0.0) if from_export else 0.0,
    )


def _start(start: Any, side: Any) -> tuple[Side | None, float | None]:
    """Class and degrees of a line; a class given as `start` is a side."""
    if isinstance(start, str):
        start, side = None, start if side is None else side
    known = None if side is None else scales.word("side", side, Side)
    return known, None if start is None else scales.start_deg(start)


def _reason(counted: bool, stated: bool, seen: bool) -> Reason | None:
    if not stated:
        return Reason.SETUP_UNKNOWN
    if not seen:
        return Reason.NOT_SEEN
    return None if counted else Reason.NOT_A_REAL_TRY
