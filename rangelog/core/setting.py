"""A setting of the two levers."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Setting:
    """One combination of the two levers.

    Attributes:
        bow: felt bow in notches.
        grip: lead-hand grip in degrees.
    """

    bow: float
    grip: float
