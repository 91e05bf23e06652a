"""One press, one ball: a bouncing or held key makes a question, never a ball."""

WAIT_S = 0.7
"""Seconds within which the same key is taken for a bounce (in-house choice, no source)."""


class BounceGuard:
    """Tells a fresh press from a bounce. Time is handed in; nothing here reads a clock.

    Each repeat renews the wait, so a held key stays one press however long it is held.
    """

    def __init__(self, wait_s: float = WAIT_S) -> None:
        self.wait_s = wait_s
        self._key = ""
        self._at = 0.0

    def fresh(self, key: str, at_s: float) -> bool:
        """Whether this press stands for itself; False where it repeats the last guarded key within the wait."""
        repeat = key == self._key and 0 <= at_s - self._at <= self.wait_s
        self._key, self._at = key, at_s
        return not repeat

    def release(self) -> None:
        """Forget the last key: another key was pressed, or a line was ended."""
        self._key = ""
