"""Ending although the terminal is gone: a window that was closed can hold up the library that writes to it for ever."""

import os
import select
import threading

HUNG_UP = 129
"""Exit code of a program whose terminal was closed: 128 and the number of SIGHUP."""
GRACE_S = 5.0
"""Seconds an orderly end may take once it has been ordered (in-house choice, no source)."""
LOOK_EVERY_S = 2.0
"""Seconds between two looks at whether the terminal is still there."""


def gone(descriptor: int) -> bool:
    """Whether the terminal behind a descriptor was closed. A program that does not own its terminal hears of that in no other way."""
    if not hasattr(select, "poll"):
        return False
    watch = select.poll()
    watch.register(descriptor, 0)
    return any(mask & select.POLLHUP for _, mask in watch.poll(0))


def end_within(exit_code: int, grace_s: float = GRACE_S) -> threading.Timer:
    """End this process after a while with an exit code, if it still runs. Returns the timer; cancelling it calls the end off.

    Every ball is on the disk before it is echoed, and the lock of the book ends with the process, so nothing is lost by this.
    """
    timer = threading.Timer(grace_s, os._exit, [exit_code])
    timer.daemon = True
    timer.start()
    return timer
