"""Units and decimal sign of the settings. Loaded only where they differ from those of the file."""

from rangelog.core.units import Units
from rangelog.logbook.showing import Showing
from rangelog.settings import Settings


def showing(settings: Settings) -> Showing:
    """How lengths and decimals are shown."""
    return Showing(Units(settings.units), settings.decimal == "comma")
