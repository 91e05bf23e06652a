"""Drawn orders: seeded, balanced, without silent repeats; and the plan of a block as text for the book."""

import json
import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from rangelog.core import scales
from rangelog.core.setting import Setting
from rangelog.core.words import Height

Item = TypeVar("Item")


@dataclass(frozen=True, slots=True)
class Step:
    """What a plan asks of one ball; None or empty leaves a thing as it is.

    Attributes:
        bow, grip: the setting, both or neither.
        position_balls: ball widths from stock.
        stick: grip stick on or off.
        club_id: which club.
        called: height to call before the ball.
        target: target to aim at.
    """

    bow: float | None = None
    grip: float | None = None
    position_balls: float | None = None
    stick: bool | None = None
    club_id: str = ""
    called: Height | None = None
    target: str = ""

    @property
    def setting(self) -> Setting | None:
        """The setting it asks for, where it asks for one."""
        return None if self.bow is None or self.grip is None else Setting(self.bow, self.grip)


def drawn(items: Sequence[Item], count: int, seed: int) -> tuple[Item, ...]:
    """A balanced random order: every item about equally often, none twice in a row where there is a choice.

    The same seed draws the same order. Raises ValueError for no items or a negative count.
    """
    if not items or count < 0:
        raise ValueError("an order needs items and a count of 0 or more")
    rng = random.Random(seed)
    order: list[Item] = []
    while len(order) < count:
        cycle = list(items)
        rng.shuffle(cycle)
        if order and len(cycle) > 1 and cycle[0] == order[-1]:
            swap = rng.randrange(1, len(cycle))
            cycle[0], cycle[swap] = cycle[swap], cycle[0]
        order.extend(cycle)
    return tuple(order[:count])


def in_turn(settings: Sequence[Setting], each: int) -> tuple[Step, ...]:
    """Settings in turn, A-B-C-A-B-C, each so many balls."""
    return tuple(Step(bow=s.bow, grip=s.grip) for _ in range(each) for s in settings)


def ladder(each: int, seed: int, positions: Sequence[float] = (-1.0, 0.0, 1.0)) -> tuple[Step, ...]:
    """Ball positions in mixed order, each so many balls."""
    return tuple(Step(position_balls=position) for position in drawn(positions, each * len(positions), seed))


def trajectory(each: int, seed: int) -> tuple[Step, ...]:
    """Called heights in mixed order, each so many balls."""
    return tuple(Step(called=height) for height in drawn(tuple(Height), each * len(Height), seed))


def targets(names: Sequence[str], count: int, seed: int, *, stick: bool | None = None) -> tuple[Step, ...]:
    """Targets, a new one each ball. A single name is asked again each time, since there is no other."""
    return tuple(Step(target=name, stick=stick) for name in drawn(tuple(names), count, seed))


def clubs(ids: Sequence[str], count: int, seed: int) -> tuple[Step, ...]:
    """Clubs, a new one each ball."""
    return tuple(Step(club_id=club) for club in drawn(tuple(ids), count, seed))


def stick_blocks(count: int, run: int = 5) -> tuple[Step, ...]:
    """Grip stick on and off in alternating runs, on first."""
    return tuple(Step(stick=(index // run) % 2 == 0) for index in range(count))


def to_text(steps: Sequence[Step]) -> str:
    """The plan as JSON text; only what a step asks for is written. Empty for no steps."""
    rows = [{name: value for name, value in _fields(step) if value not in (None, "")} for step in steps]
    return json.dumps({"steps": rows}, separators=(",", ":")) if rows else ""


def from_text(text: str) -> tuple[Step, ...]:
    """The steps of a stored plan; none for an empty text.

    Raises:
        ValueError: a text that is no plan, or asks for what no ball can be hit with; a hand may have been at it.
    """
    if not text:
        return ()
    try:
        rows = json.loads(text)["steps"]
        if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
            raise TypeError("a list of steps expected")
        return tuple(_read(row) for row in rows)
    except (KeyError, TypeError, ValueError, RecursionError) as error:
        raise ValueError("the plan of the block cannot be read") from error


def readable(text: str) -> tuple[Step, ...]:
    """The steps of a stored plan; none also for one that cannot be read."""
    try:
        return from_text(text)
    except ValueError:
        return ()


def _read(row: Mapping[str, object]) -> Step:
    """One step of its stored fields. Raises TypeError or ValueError."""
    if not row.keys() <= _CHECKS.keys():
        raise ValueError("a field that no step has")
    # what is not asked for is not written, so null stands for nothing a plan would hold
    return Step(**{name: _CHECKS[name](value) for name, value in row.items()})


def _flag(value: object) -> bool:
    if not isinstance(value, bool):
        raise TypeError("true or false expected")
    return value


def _words(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError("a text expected")
    value.encode()
    return "".join(sign for sign in value if sign.isprintable())


_CHECKS: dict[str, Callable[[object], Any]] = {
    "bow": scales.bow,
    "grip": scales.grip,
    "position_balls": scales.position,
    "stick": _flag,
    "club_id": _words,
    "called": lambda value: scales.word("height", value, Height),
    "target": _words,
}
"""How each field of a step is read back."""


def _fields(step: Step) -> tuple[tuple[str, object], ...]:
    names = ("bow", "grip", "position_balls", "stick", "club_id", "called", "target")
    return tuple((name, getattr(step, name)) for name in names)


def next_step(steps: Sequence[Step], hit: int) -> Step | None:
    """What the plan asks of the ball after so many; None past its end."""
    return steps[hit] if 0 <= hit < len(steps) else None
