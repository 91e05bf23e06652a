"""From the book to the columns of a review. Words and small numbers of a ball come packed into one whole number, made by SQLite itself:

a hundred thousand balls are then seven cells each, where twenty would take the better part of a second to become Python's own.
"""

# ruff: noqa: S608 - only our own names and numbers are put into SQL; values are always parameters

from collections.abc import Callable, Iterator
from enum import StrEnum
from typing import Any

import numpy as np
import numpy.typing as npt

from rangelog.core import scales
from rangelog.core.words import BlockKind
from rangelog.logbook.review_table import FLAGS, NONE, WORDS, BallTable, Codes, Floats

RUN = 10_000
"""Rows of the balls' table in one fetch."""

SESSIONS = 200
"""Sessions in one fetch, where only late ones are read."""

Fetch = Callable[..., list[tuple[Any, ...]]]
"""Rows of one short reading of the book: an SQL text, and its values."""


def _place(column: str, kind: type[StrEnum]) -> str:
    """SQL for the place of a word, from 1; 0 where there is none."""
    return f"CASE {column} {' '.join(f'WHEN {word.value!r} THEN {place}' for place, word in enumerate(kind, start=1))} ELSE 0 END"


def _steps(column: str, range_: tuple[float, float], steps: int) -> str:
    """SQL for a number on a scale of so many steps a unit, from 1; 0 where there is none."""
    return f"ifnull(CAST(({column} - {range_[0]}) * {steps} AS INTEGER) + 1, 0)"


_SCALES = {"bow_notches": (scales.BOW_RANGE, 2), "felt_bow_notches": (scales.BOW_RANGE, 2), "position_balls": (scales.POSITION_RANGE, 4)}
_PARTS: dict[str, str] = {
    **{column: _place(column, kind) for column, kind in WORDS.items()},
    **{column: column for column in FLAGS},
    "drawn": "target <> ''",
    **{column: _steps(column, *scale) for column, scale in _SCALES.items()},
}
_LAST = "position_balls"
_BITS = 4
"""Room of each part, for values up to 15. Ball position has more, and stands last, with all the room that is left."""

_PACKED = " + ".join(f"(({sql}) << {_BITS * place})" for place, sql in enumerate(_PARTS.values()))
_SELECT = (
    f"SELECT {_PACKED}, club_id, session_id, block_id, grip_deg, launch_deg, start_deg - aim_correction_deg FROM balls WHERE voided = 0"
)


def read_table(fetch: Fetch, since: str = "") -> BallTable:
    """All balls that stand, or those of sessions from a date on; read in runs so that no read stays open for long."""
    dates = {session: str(start)[:10] for session, start in fetch("SELECT id, started_at FROM sessions")}
    kinds = {block: list(BlockKind).index(BlockKind(kind)) for block, kind in fetch("SELECT id, block_kind FROM blocks")}
    clubs: dict[str, int] = {}
    sessions: dict[str, int] = {}
    late = [session for session, date in dates.items() if date >= since]
    runs = [_columns(rows, clubs, sessions, kinds) for rows in (_of_sessions(fetch, late) if since else _all(fetch))]
    runs = runs or [_columns([], clubs, sessions, kinds)]
    codes = {name: np.concatenate([run[0].pop(name) for run in runs]) for name in list(runs[0][0])}
    numbers = {name: np.concatenate([run[1].pop(name) for run in runs]) for name in list(runs[0][1])}
    ids = {"club_id": list(clubs), "session_id": list(sessions)}
    return BallTable(codes, numbers, ids, [dates.get(session, "") for session in sessions])


_Rows = list[tuple[Any, ...]]


def _all(fetch: Fetch) -> Iterator[_Rows]:
    last = int(fetch("SELECT ifnull(max(rowid), 0) FROM balls")[0][0])
    for first in range(1, last + 1, RUN):
        yield fetch(f"{_SELECT} AND rowid BETWEEN ? AND ?", (first, first + RUN - 1))


def _of_sessions(fetch: Fetch, sessions: list[str]) -> Iterator[_Rows]:
    for first in range(0, len(sessions), SESSIONS):
        some = sessions[first : first + SESSIONS]
        yield fetch(f"{_SELECT} AND session_id IN ({', '.join('?' * len(some))})", some)


def _columns(
    rows: _Rows, clubs: dict[str, int], sessions: dict[str, int], kinds: dict[str, int]
) -> tuple[dict[str, Codes], dict[str, Floats]]:
    """One run of balls as columns; new ids are given the next place."""
    packed, club_ids, session_ids, block_ids, grips, launches, starts = zip(*rows, strict=True) if rows else ((),) * 7
    parts = _unpacked(np.array(packed, dtype=np.int64))
    codes: dict[str, Codes] = {column: parts[column] - 1 for column in WORDS}
    codes |= {column: parts[column] for column in (*FLAGS, "drawn")}
    codes["club_id"] = np.array([NONE if each is None else clubs.setdefault(each, len(clubs)) for each in club_ids], dtype=np.int32)
    codes["session_id"] = np.array([sessions.setdefault(each, len(sessions)) for each in session_ids], dtype=np.int32)
    codes["block"] = np.array([kinds.get(each, NONE) for each in block_ids], dtype=np.int8)
    numbers = {column: np.array(cells, dtype=np.float32) for column, cells in (("grip_deg", grips), ("launch_deg", launches))}
    numbers["start_deg"] = np.array(starts, dtype=np.float32)
    for column, ((low, _), steps) in _SCALES.items():
        numbers[column] = np.where(parts[column] == 0, np.nan, low + (parts[column].astype(np.float32) - 1) / steps).astype(np.float32)
    return codes, numbers


def _unpacked(packed: npt.NDArray[np.int64]) -> dict[str, npt.NDArray[np.int8]]:
    parts = {}
    for column in _PARTS:
        packed, part = (packed >> _BITS, packed & 2**_BITS - 1) if column != _LAST else (packed, packed)
        parts[column] = part.astype(np.int8)
    return parts
