"""How lengths and decimals are shown: metres or yards, millimetres or inches, point or comma. The file keeps metres and points."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rangelog.core.units import METRES_PER_YARD, MILLIMETRES_PER_INCH, Units

_DECIMAL = re.compile(r"(?<![\w/])(?<!\d\.)(\d*)\.(\d+)(?![\w/]|\.\d)")
_LENGTH = re.compile(r"(?<![\w.,])(\d+(?:\.\d+)?) (mm|m)(?![\w/])")


@dataclass(frozen=True, slots=True)
class Showing:
    """A player's choice of units and of the decimal sign.

    Attributes:
        units: metric or imperial.
        comma: 5,5 in place of 5.5.
    """

    units: Units = Units.METRIC
    comma: bool = False

    @property
    def metric(self) -> bool:
        """Metres and millimetres."""
        return self.units is Units.METRIC

    def far(self, metres: float) -> str:
        """A distance on the range: "3 m", "3.3 yd"."""
        return f"{metres:.4g} m" if self.metric else f"{metres / METRES_PER_YARD:.1f} yd"

    def across(self, metres: float) -> str:
        """A width on the ground: "0.25 m", "9.8 in"."""
        return f"{metres:.2f} m" if self.metric else f"{1000 * metres / MILLIMETRES_PER_INCH:.1f} in"

    def small(self, millimetres: float) -> str:
        """A small length: "43 mm", "1.7 in"."""
        return f"{millimetres:.0f} mm" if self.metric else f"{millimetres / MILLIMETRES_PER_INCH:.1f} in"

    def said(self, text: str) -> str:
        """A sentence of the log with its lengths in the player's units and its decimals with the player's sign.

        Paths, dates and versions are left as they are. Not for the player's own words.
        """
        if not self.metric:
            text = _LENGTH.sub(self._length, text)
        return _DECIMAL.sub(lambda found: f"{found[1] or '0'},{found[2]}", text) if self.comma else text

    def _length(self, found: re.Match[str]) -> str:
        value = float(found[1])
        if found[2] == "mm":
            return self.small(value)
        return self.across(value) if value < 1 else self.far(value)


AS_KEPT = Showing()
"""Metres, millimetres and points, as in the file."""
