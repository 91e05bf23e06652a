"""What is worked out of each ball, kept while the balls only grow: so a ball costs the same late in a session as early."""

from __future__ import annotations

from collections.abc import Callable
from typing import Generic, TypeVar

from rangelog.core.ball import Ball

Made = TypeVar("Made")


class Growing(Generic[Made]):
    """Keeps what was made of each ball, and makes only what is new.

    A ball that was corrected is another ball; from the first such one on all is made anew.
    """

    def __init__(self) -> None:
        self._balls: list[Ball] = []
        self._made: list[Made] = []
        self._asked: object = None

    def of(self, balls: list[Ball], asked: object, make: Callable[[Ball], Made]) -> list[Made]:
        """What `make` gives for each ball, in order; `asked` is everything else that `make` looks at. Not to be changed by the caller."""
        known = len(self._balls)
        # the usual ways on: one ball more, or the last one corrected; lists of the very same balls are compared quickly
        for kept in (known, known - 1, 0):
            if kept >= 0 and asked == self._asked and kept <= len(balls) and self._balls[:kept] == balls[:kept]:
                break
        else:
            kept = 0
        self._made[kept:] = [make(ball) for ball in balls[kept:]]
        self._balls = list(balls)
        self._asked = asked
        return self._made
