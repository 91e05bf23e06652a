"""Corrections as edits: pure functions from balls to rows that keep the old value, the time and the reason."""

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields, replace
from typing import Any

from rangelog.core import scales
from rangelog.core.ball import FIELD_WORDS, Ball
from rangelog.core.entry import clean_note
from rangelog.core.errors import OffScale
from rangelog.core.session import Edit
from rangelog.core.setup import Setup
from rangelog.logbook.tee_state import value_text

SETUP_FIELDS = frozenset(field.name for field in fields(Setup))


def value_of(ball: Ball, name: str) -> Any:
    """Present value of a field of a ball or of its setup."""
    return getattr(ball.setup if name in SETUP_FIELDS else ball, name)


def typed(name: str, value: Any) -> Any:
    """A stored value in its own type. Raises OffScale for a word that is not legal."""
    kind = FIELD_WORDS.get(name)
    return value if kind is None or value is None else scales.word(name, value, kind)


def stored(name: str, text: str) -> Any:
    """The value of an edit row's JSON text, in its own type."""
    return typed(name, json.loads(text))


def checked(name: str, value: Any) -> Any:
    """A value a player may give a field. Raises OffScale naming the field and the legal range."""
    if value is None:
        return None
    ranged = {
        "start_deg": scales.START_RANGE,
        "launch_deg": scales.LAUNCH_RANGE,
        "apex_m": scales.APEX_RANGE,
        "aim_correction_deg": scales.START_RANGE,
        "comfort": scales.COMFORT_RANGE,
    }
    if name in {"bow", "felt_bow"}:
        return scales.bow(value)
    if name == "grip":
        return scales.grip(value)
    if name == "position_balls":
        return scales.position(value)
    if name in ranged:
        number = scales.number(name.split("_")[0], value, *ranged[name])
        return int(number) if name == "comfort" else number
    if name in FIELD_WORDS:
        return typed(name, value)
    if name in {"touched", "stick", "aim_line"} and isinstance(value, bool):
        return value
    if name == "note" and isinstance(value, str):
        return clean_note(value)
    if name in {"club_id", "target"} and isinstance(value, str):
        return value
    raise OffScale(name, f"{name} cannot be corrected.")


def apply(ball: Ball, changes: Mapping[str, Any]) -> Ball:
    """The ball with new values, in the setup where the field belongs there."""
    of_setup = {name: value for name, value in changes.items() if name in SETUP_FIELDS}
    of_ball = {name: value for name, value in changes.items() if name not in SETUP_FIELDS}
    return replace(ball, setup=replace(ball.setup, **of_setup) if of_setup else ball.setup, **of_ball)


def edits(
    balls: Iterable[tuple[Ball, Mapping[str, Any]]], *, at: str, new_id: Callable[[], str], reason: str = "", undoes: str = ""
) -> list[Edit]:
    """One edit for every field that really changes, all in one group.

    Args:
        balls: each ball with its new values by field name.
        at: local time with offset.
        new_id: gives a fresh id.
        reason: the player's or the log's reason.
        undoes: the group, or ball, that these edits take back.
    """
    shared = new_id()
    return [
        Edit(new_id(), ball.id, name, value_text(value_of(ball, name)), value_text(value), at, reason, shared, undoes)
        for ball, changes in balls
        for name, value in changes.items()
        if value_of(ball, name) != value
    ]
