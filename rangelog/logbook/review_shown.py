"""Answers with their numbers as the player has them: a decimal point or a comma. What a player wrote is left as it is."""

import re
from collections.abc import Iterable
from dataclasses import replace
from typing import TypeVar

from rangelog.logbook.review_answer import Answer
from rangelog.logbook.showing import AS_KEPT, Showing

One = TypeVar("One", bound=Answer)


class Shown:
    """Turns sentences of the log into the player's own writing of numbers.

    Attributes:
        showing: units and decimal sign.
    """

    def __init__(self, showing: Showing = AS_KEPT, own: Iterable[str] = ()) -> None:
        """`own` are words of the player's, such as the name of a club, in which no sign is changed."""
        self.showing = showing
        words = sorted({" ".join(word.split()) for word in own if word.strip()}, key=len, reverse=True)
        self._own = re.compile(f"({'|'.join(map(re.escape, words))})") if words else None

    def said(self, text: str) -> str:
        """A sentence, a cell or a note."""
        if self.showing == AS_KEPT:
            return text
        pieces = [text] if self._own is None else self._own.split(text)
        return "".join(piece if place % 2 else self.showing.said(piece) for place, piece in enumerate(pieces))

    def answer(self, found: One) -> One:
        """An answer with its sentence, its numbers and its notes turned; its first line has no number but counts and dates."""
        if self.showing == AS_KEPT:
            return found
        return replace(
            found,
            sentence=self.said(found.sentence),
            rows=tuple(tuple(self.said(cell) for cell in row) for row in found.rows),
            notes=tuple(self.said(note) for note in found.notes),
        )
