"""The one place where core, bracketing, evidence, hints, journey and store meet. No terminal.

`Logbook` is the door for screens and commands.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rangelog.logbook.logbook import Logbook
    from rangelog.logbook.view import Echo, TeeView

_PLACES = {"Echo": "view", "Logbook": "logbook", "TeeView": "view"}


def __getattr__(name: str) -> Any:
    """A public name, loaded when it is first asked for (PEP 562): a calculator must not pay for the book."""
    if name not in _PLACES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"rangelog.logbook.{_PLACES[name]}"), name)


__all__ = ["Echo", "Logbook", "TeeView"]
