"""Display units. The file keeps degrees, millimetres and metres; yards, feet and inches are choices of the screen."""

from enum import StrEnum

MILLIMETRES_PER_INCH = 25.4
METRES_PER_YARD = 0.9144


class Units(StrEnum):
    """How lengths are shown."""

    METRIC = "metric"
    IMPERIAL = "imperial"


def length(metres: float, units: Units = Units.METRIC) -> str:
    """A distance in metres or yards, one decimal under 20."""
    value, unit = (metres, "m") if units is Units.METRIC else (metres / METRES_PER_YARD, "yd")
    return f"{value:.1f} {unit}" if abs(value) < 20 else f"{value:.0f} {unit}"


def small_length(millimetres: float, units: Units = Units.METRIC) -> str:
    """A small length in millimetres or inches."""
    return f"{millimetres:.0f} mm" if units is Units.METRIC else f"{millimetres / MILLIMETRES_PER_INCH:.1f} in"


def angle(degrees: float) -> str:
    """A physical direction in the one number format of the log: "5.5 left", "0.0"."""
    rounded = f"{abs(degrees):.1f}"
    if float(rounded) == 0:
        return "0.0"
    return f"{rounded} {'right' if degrees > 0 else 'left'}"


def signed(degrees: float) -> str:
    """A signed number with one decimal, "+2.4"; plain "0.0" when it rounds to nothing."""
    return "0.0" if float(f"{degrees:.1f}") == 0 else f"{degrees:+.1f}"


def notches(bow: float) -> str:
    """A bow without a needless ".0": "2", "2.5", "-1"."""
    return f"{bow:g}"
