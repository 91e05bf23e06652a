"""The start-line model: likelihood, posterior, suggestion, verdict, combinations. `Bracket` is its door."""

from rangelog.bracketing.bracket import Bracket
from rangelog.bracketing.memory import ClubMemory, Memory

__all__ = ["Bracket", "ClubMemory", "Memory"]
