"""Errors a player may meet: each has a title, and a next step where there is one."""


class RangelogError(Exception):
    """Base of every error that is told to the player in one clear line.

    Attributes:
        title: what is wrong, in a few words of the trade.
        next_step: what to do about it; empty where nothing can be done.
    """

    def __init__(self, title: str, next_step: str = "") -> None:
        super().__init__(f"{title} {next_step}".strip())
        self.title = title
        self.next_step = next_step


class OffScale(RangelogError, ValueError):
    """A value off its scale, not finite, or not one of the legal words.

    Attributes:
        field: the name of the field, as the player knows it.
    """

    def __init__(self, field: str, title: str, next_step: str = "") -> None:
        super().__init__(title, next_step)
        self.field = field


class Refused(RangelogError):
    """A legal request that the log declines in the present state, with its reason."""


class NothingToUndo(Refused):
    """Undo or redo was asked for and there is nothing left to take back."""
