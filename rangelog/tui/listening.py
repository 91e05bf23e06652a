"""Reading keys whatever the terminal sends: what the library cannot make out is dropped, and the next key counts again."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from textual.driver import Driver


def patient(driver: type[Driver]) -> type[Driver]:
    """A driver that goes on where its library stumbles over a report of keys, such as a number that is no character."""
    read_on = getattr(driver, "run_input_thread", None)
    if read_on is None:
        return driver

    def run_input_thread(self: Any) -> None:
        while True:
            try:
                read_on(self)
            except (ValueError, OverflowError, KeyError):
                # what was read is gone from the terminal already, so the next turn begins after it
                continue
            return

    return type(driver.__name__, (driver,), {"run_input_thread": run_input_thread})
