"""Ending although the terminal is gone: a window that was closed can hold up the library that writes to it for ever."""

import os
import threading

GRACE_S = 5.0
"""Seconds an orderly end may take once it has been ordered (in-house choice, no source)."""


def end_within(exit_code: int, grace_s: float = GRACE_S) -> threading.Timer:
    """End this process after a while with an exit code, if it still runs. Returns the timer; cancelling it calls the end off.

    Every ball is on the disk before it is echoed, and the lock of the book ends with the process, so nothing is lost by this.
    """
    timer = threading.Timer(grace_s, os._exit, [exit_code])
    timer.daemon = True
    timer.start()
    return timer
