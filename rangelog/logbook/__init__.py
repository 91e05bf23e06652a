"""The one place where core, bracketing, evidence, hints, journey and store meet. No terminal.

`Logbook` is the door for screens and commands.
"""

from rangelog.logbook.logbook import Logbook
from rangelog.logbook.view import Echo, TeeView

__all__ = ["Echo", "Logbook", "TeeView"]
