"""Day to day: the same setting in every session, with the session as a random effect; raw pooling is never shown."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rangelog.core.results import Estimate
from rangelog.logbook import review_words as say
from rangelog.logbook.review_answer import Answer
from rangelog.logbook.review_start import NORMAL_90, UNKNOWN, StartLine


@dataclass(frozen=True, slots=True)
class Day:
    """One session at the setting that is followed: its date and where the balls started."""

    date: str
    start: StartLine


@dataclass(frozen=True, slots=True)
class DayToDay(Answer):
    """Session means with error bars.

    Attributes:
        days: sessions in order; one with no finite interval is listed and left out of the pooled numbers.
        overall: mean of the session means with its 90 % interval, the session as a random effect.
        between_sd: standard deviation between sessions, over what single balls explain; NaN with fewer than two sessions.
    """

    days: tuple[Day, ...] = ()
    overall: Estimate = UNKNOWN
    between_sd: float = math.nan


def day_to_day(days: Sequence[Day], setting_words: str, chosen: str) -> DayToDay:
    """Session means at one setting, and how far they move from day to day beyond chance."""
    known = [day for day in days if day.start.known and day.start.bias.sd > 0]
    overall, between_sd = random_effect([day.start.bias.mean for day in known], [day.start.bias.sd for day in known])
    return DayToDay(
        "What changes from day to day?",
        sum(day.start.n for day in days),
        f"{chosen}, {setting_words}" if setting_words else chosen,
        _sentence(known, overall, between_sd),
        ("date", "balls", "mean start", "90 % interval"),
        tuple(
            (day.date, str(day.start.n), say.bias(day.start.bias, day.start.from_classes), say.bias_range(day.start.bias)) for day in days
        ),
        (f"{_sessions(len(days) - len(known))} had too few balls to enter the mean.",) if len(known) < len(days) else (),
        days=tuple(days),
        overall=overall,
        between_sd=between_sd,
    )


def _sessions(n: int) -> str:
    return "1 session" if n == 1 else f"{n} sessions"


def _sentence(known: list[Day], overall: Estimate, between_sd: float) -> str:
    if not known:
        return "No session has enough balls at one setting."
    if len(known) == 1:
        return f"One session only: {say.bias(known[0].start.bias, known[0].start.from_classes)} deg; nothing is known of other days."
    moved = f"days move it by {between_sd:.1f} deg beyond chance" if between_sd > 0 else "no movement between days shown"
    return f"Over {len(known)} sessions the mean start is {say.bias(overall)} deg; {moved}."


def random_effect(means: Sequence[float], errors: Sequence[float]) -> tuple[Estimate, float]:
    """Mean of session means with a 90 % normal interval, and the SD between sessions (moment estimate of DerSimonian and Laird 1986).

    Args:
        means: session means.
        errors: their standard errors, each above 0.
    """
    n = len(means)
    if n < 2:
        return UNKNOWN, math.nan
    weights = [1 / error**2 for error in errors]
    total = sum(weights)
    fixed = sum(w * m for w, m in zip(weights, means, strict=True)) / total
    q = sum(w * (m - fixed) ** 2 for w, m in zip(weights, means, strict=True))
    room = total - sum(w * w for w in weights) / total
    variance = max(0.0, (q - (n - 1)) / room)
    spread = [1 / (error**2 + variance) for error in errors]
    middle = sum(w * m for w, m in zip(spread, means, strict=True)) / sum(spread)
    error = math.sqrt(1 / sum(spread))
    return Estimate(middle, error, middle - NORMAL_90 * error, middle + NORMAL_90 * error), math.sqrt(variance)
