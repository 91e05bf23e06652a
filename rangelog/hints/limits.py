"""What pain, a wrist limit, a pain history and age leave of the bow scale. Every hint stays inside."""

from collections.abc import Sequence
from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.player import Prescription
from rangelog.core.session import Pain

STOP_LEVEL = 4
"""At this level, or when it is sharp, hints end for the day (0-10; common practice, no source)."""

RISE = 2
"""A rise of this much over the start of the day stops the bow hints."""

NO_EXTREMES_LEVEL = 3
"""At this level at the start of the day no extreme is offered (from memory, no source)."""

CALM_BOW = (0.0, 3.0)
"""Bows for a junior or a wrist with a history: no extreme is asked for."""


@dataclass(frozen=True, slots=True)
class Complaint:
    """A pain answer, and what the same site was at the start of the day (None where it was not asked)."""

    pain: Pain
    was: int | None

    @property
    def said(self) -> str:
        """ "Pain 4 (was 1)", "Sharp pain 2"."""
        word = f"{'Sharp pain' if self.pain.sharp else 'Pain'} {self.pain.level}"
        return word if self.was is None else f"{word} (was {self.was})"


def _was(pains: Sequence[Pain], pain: Pain) -> int | None:
    earlier = [other.level for other in pains if other.starting and other.site == pain.site and other is not pain]
    return earlier[0] if earlier else None


def stopping(pains: Sequence[Pain]) -> Complaint | None:
    """The first answer today that ends the hints: any site at 4 or more, or sharp."""
    for pain in pains:
        if pain.level >= STOP_LEVEL or (pain.sharp and pain.level > 0):
            return Complaint(pain, None if pain.starting else _was(pains, pain))
    return None


def risen(pains: Sequence[Pain]) -> Complaint | None:
    """The latest answer today that rose by two or more over the start (0 where it was not asked), short of a stop."""
    for pain in reversed(pains):
        was = _was(pains, pain)
        if not pain.starting and pain.level - (was or 0) >= RISE:
            return Complaint(pain, was)
    return None


def pain_cap(pains: Sequence[Pain]) -> float | None:
    """One notch below the lowest bow that hurt today; None where nothing rose or no bow was stated."""
    bows = [p.bow for p in pains if not p.starting and p.bow is not None and p.level - (_was(pains, p) or 0) >= RISE]
    return max(scales.BOW_RANGE[0], min(bows) - 1) if bows else None


def extremes_off(prescription: Prescription, pains: Sequence[Pain], junior: bool) -> bool:
    """No extreme may be asked for today."""
    sore_start = any(pain.starting and pain.level >= NO_EXTREMES_LEVEL for pain in pains)
    return junior or prescription.pain_history or sore_start or risen(pains) is not None


def bow_range(prescription: Prescription, pains: Sequence[Pain] = (), junior: bool = False) -> tuple[float, float]:
    """Legal bows for hints today, lowest and highest, always on the scale."""
    low, high = prescription.bow_range(pain_cap(pains))
    if extremes_off(prescription, pains, junior):
        low, high = max(low, CALM_BOW[0]), min(high, CALM_BOW[1])
    high = max(high, scales.BOW_RANGE[0])
    return max(min(low, high), scales.BOW_RANGE[0]), high


def into(value: float, span: tuple[float, float]) -> float:
    """A value brought inside a range."""
    return min(max(value, span[0]), span[1])
