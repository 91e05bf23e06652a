"""What a calculator asks: a number with its unit, typed as a player types it, in either system and with either decimal sign."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.errors import OffScale
from rangelog.core.units import METRES_PER_YARD, MILLIMETRES_PER_INCH
from rangelog.logbook.showing import Showing

Typed = Callable[[float], float]


@dataclass(frozen=True, slots=True)
class Measure:
    """A kind of number.

    Attributes:
        units: unit to how many of the kept unit it is; the first is the kept one.
        metric, imperial: the unit a bare number has.
    """

    units: dict[str, float]
    metric: str
    imperial: str

    def unit(self, showing: Showing) -> str:
        """The unit of a bare number."""
        return self.metric if showing.metric else self.imperial


INCH_M = MILLIMETRES_PER_INCH / 1000
_METRES = {"m": 1.0, "cm": 0.01, "mm": 0.001, "yd": METRES_PER_YARD, "ft": METRES_PER_YARD / 3, "in": INCH_M}
DISTANCE = Measure(_METRES, "m", "yd")
WIDTH = Measure(_METRES, "m", "in")
SMALL = Measure({"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": MILLIMETRES_PER_INCH}, "mm", "in")
ANGLE = Measure({"deg": 1.0, "°": 1.0}, "deg", "deg")
BALLS = Measure(
    {"balls": 1.0, "ball": 1.0, "mm": 1 / scales.BALL_DIAMETER_MM, "cm": 10 / scales.BALL_DIAMETER_MM,
     "in": MILLIMETRES_PER_INCH / scales.BALL_DIAMETER_MM}, "balls", "balls"
)  # fmt: skip

_NUMBER = re.compile(r"^(?P<before>[lr]?)\s*(?P<number>[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))\s*(?P<unit>[a-z°]*?)\s*(?P<after>[lr]?)$")


@dataclass(frozen=True, slots=True)
class Ask:
    """One number of a calculator.

    Attributes:
        name: of the argument it becomes.
        label: a few words.
        measure: what kind of number.
        default: what an empty answer means, in the kept unit; None for nothing.
        help: one line.
        required: nothing can be worked out without it.
        signed: L and R stand for a side.
        check: raises OffScale for a number off its scale.
    """

    name: str
    label: str
    measure: Measure
    default: float | None = None
    help: str = ""
    required: bool = False
    signed: bool = False
    check: Typed | None = None

    def read(self, typed: str, showing: Showing) -> float | None:
        """The number in its kept unit; the default where nothing was typed.

        Raises:
            OffScale: no number, a unit that is none, or a number off its scale; `field` is the name of the ask.
        """
        text = typed.strip().casefold()
        if not text:
            if self.required and self.default is None:
                raise OffScale(self.name, f"{self.label}: type a number.")
            return self.default
        found = _NUMBER.match(text)
        units = self.measure.units
        unit = found["unit"] if found else ""
        if found is None or (unit and unit not in units) or ((found["before"] or found["after"]) and not self.signed):
            raise OffScale(self.name, f"{self.label}: a number in {self._legal()}.")
        value = float(found["number"].replace(",", ".")) * units[unit or self.measure.unit(showing)]
        side = found["before"] or found["after"]
        if side:
            value = abs(value) if side == "r" else -abs(value)
        if self.check is not None:
            try:
                self.check(value)
            except OffScale as problem:
                raise OffScale(self.name, problem.title, problem.next_step) from None
        return value

    def _legal(self) -> str:
        return " or ".join(dict.fromkeys(unit for unit in self.measure.units if unit not in ("°", "ball")))

    def shown(self, showing: Showing) -> str:
        """The default as it is shown, empty where there is none."""
        if self.default is None:
            return ""
        unit = self.measure.unit(showing)
        return showing.said(f"{self.default / self.measure.units[unit]:.4g} {unit}")
