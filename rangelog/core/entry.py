"""Numbers as a player types them on the tee: "-5", "5L", "L5", "5,5", "launch 14", "apex 9 m", "2 m at 50 m".

A sign is never guessed: an unsigned number stays unsigned, and the caller asks for the side where the class does not tell.
"""

import math
import re
from dataclasses import dataclass
from enum import StrEnum

from rangelog.core import scales
from rangelog.core.errors import OffScale
from rangelog.core.scales import BALL_DIAMETER_MM
from rangelog.core.units import METRES_PER_YARD, MILLIMETRES_PER_INCH

_UNITS_M = {
    "m": 1.0,
    "metre": 1.0,
    "metres": 1.0,
    "yd": METRES_PER_YARD,
    "yard": METRES_PER_YARD,
    "yards": METRES_PER_YARD,
    "ft": METRES_PER_YARD / 3,
}
_NUMBER = r"(?P<sign>[+-]?)(?P<digits>\d+(?:[.,]\d*)?|[.,]\d+)"
_SIDE = r"(?P<side>l|r|left|right)"
_UNIT = r"(?:m|metres?|yd|yards?|ft)"
_START = re.compile(rf"^(?:{_SIDE}\s*)?{_NUMBER}\s*(?:deg|°)?\s*(?P<after>l|r|left|right)?$")
_OFFSET = re.compile(
    rf"^(?:offset\s+)?{_NUMBER}\s*(?P<unit>{_UNIT})?\s*{_SIDE}?\s*(?:at|@|/)\s*(?P<far>[+-]?\d+(?:[.,]\d*)?)\s*(?P<far_unit>{_UNIT})?\s*(?P<after>l|r|left|right)?$"
)
_NAMED = re.compile(rf"^(?P<name>launch|apex)\s+{_NUMBER}\s*(?P<unit>deg|°|{_UNIT})?$")


class EntryKind(StrEnum):
    """Which field of the ball a typed number belongs to."""

    START = "start"
    LAUNCH = "launch"
    APEX = "apex"


@dataclass(frozen=True, slots=True)
class Entry:
    """A typed number, understood.

    Attributes:
        kind: the field.
        value: degrees, or metres for an apex; a start without a side is positive.
        sided: a start whose side was given; always true for the others.
    """

    kind: EntryKind
    value: float
    sided: bool = True

    def toward(self, side: str) -> "Entry":
        """The same start on a stated physical side, "left" or "right"."""
        return Entry(self.kind, abs(self.value) if side == "right" else -abs(self.value))


def decimal(text: str) -> float:
    """A decimal number with a point or a comma."""
    return float(text.replace(",", "."))


def _signed(sign: str, size: float, sides: tuple[str | None, ...]) -> tuple[float, bool]:
    given = [side[0] for side in sides if side]
    if sign and given and (sign == "-") != (given[0] == "l"):
        raise OffScale("start", "Sign and side disagree.", "Type one of them: -5 or 5L.")
    if len(set(given)) > 1:
        raise OffScale("start", "Left or right, not both.", "Type 5L or 5R.")
    if given:
        return (-size if given[0] == "l" else size), True
    return (-size if sign == "-" else size), bool(sign) or size == 0


def parse(text: str) -> Entry:
    """Understand one typed number.

    Raises:
        OffScale: names the field and says what is legal; nothing is changed by it.
    """
    folded = " ".join(text.strip().casefold().split())
    if named := _NAMED.match(folded):
        size = decimal(named["digits"]) * (-1 if named["sign"] == "-" else 1)
        if named["name"] == "launch":
            return Entry(EntryKind.LAUNCH, scales.number("launch", size, *scales.LAUNCH_RANGE, "deg"))
        return Entry(EntryKind.APEX, scales.number("apex", size * _UNITS_M.get(named["unit"] or "m", 1.0), *scales.APEX_RANGE, "m"))
    if offset := _OFFSET.match(folded):
        far = decimal(offset["far"]) * _UNITS_M[offset["far_unit"] or offset["unit"] or "m"]
        if far <= 0:
            raise OffScale("distance", "Distance must be over 0.")
        size = decimal(offset["digits"]) * _UNITS_M[offset["unit"] or offset["far_unit"] or "m"]
        value, sided = _signed(offset["sign"], math.degrees(math.atan2(size, far)), (offset["side"], offset["after"]))
        return Entry(EntryKind.START, scales.start_deg(value), sided)
    if start := _START.match(folded):
        value, sided = _signed(start["sign"], decimal(start["digits"]), (start["side"], start["after"]))
        return Entry(EntryKind.START, scales.start_deg(value), sided)
    raise OffScale("number", "That is not a number this ball can take.", "Try -5, 5L, launch 14, apex 9 m, or 2 m at 50 m.")


def position_balls(text: str) -> float:
    """A ball position: ball widths, or millimetres or inches with their unit (85 mm = 1.99 ball widths, taken to the nearest quarter).

    Raises:
        OffScale: off the scale, or not a number.
    """
    found = re.match(r"^([+-]?\d+(?:[.,]\d*)?)\s*(mm|in|inches)?$", text.strip().casefold())
    if not found:
        raise OffScale("ball position", "Ball position runs -3 to 3 ball widths in quarter steps.")
    size = decimal(found[1])
    if found[2] == "mm":
        size = round(size / BALL_DIAMETER_MM * 4) / 4
    elif found[2]:
        size = round(size * MILLIMETRES_PER_INCH / BALL_DIAMETER_MM * 4) / 4
    return scales.position(size)


def clean_note(text: str, most: int = 400) -> str:
    """Printable text of a note: control codes, and marks that turn the writing direction, are stripped; spaces are folded."""
    turning = {0x200E, 0x200F, 0x061C, *range(0x202A, 0x202F), *range(0x2066, 0x206A)}
    kept = "".join(sign if sign.isprintable() and ord(sign) not in turning else " " for sign in text)
    return " ".join(kept.split())[:most]
