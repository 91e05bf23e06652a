"""Did I drift or tire? One session in the order in which it was hit."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from rangelog.core import scales, units
from rangelog.core.ball import Ball
from rangelog.core.results import Estimate, Setting, Share
from rangelog.core.words import Strike
from rangelog.evidence.intervals import fisher_two_sided, wilson
from rangelog.evidence.ranks import kendall
from rangelog.logbook import review_words as say
from rangelog.logbook.review_answer import Answer
from rangelog.logbook.review_start import NO_SHARE, UNKNOWN, start_line
from rangelog.logbook.review_tally import Tally, class_middle

RECENT = 12
"""Balls at the end of a session that are held against all before them."""


@dataclass(frozen=True, slots=True)
class Course(Answer):
    """The course of a session.

    Attributes:
        seq: ball numbers with a residual.
        residuals: start minus the mean of its own setting today, degrees; a class stands for the middle of its interval.
        running: mean of the residuals so far over the last `RECENT` of them.
        solid_seq, solid: ball numbers with a strike, and whether each was solid.
        drift: residual, last third minus first third, degrees, 90 % interval.
        p_drift: two-sided p of a trend of the residuals along the session.
        before, recent: solid shares before and within the last `RECENT`.
        p_tired: two-sided exact p of their difference.
    """

    seq: tuple[int, ...] = ()
    residuals: tuple[float, ...] = ()
    running: tuple[float, ...] = ()
    solid_seq: tuple[int, ...] = ()
    solid: tuple[bool, ...] = ()
    drift: Estimate = UNKNOWN
    p_drift: float = 1.0
    before: Share = NO_SHARE
    recent: Share = NO_SHARE
    p_tired: float = 1.0


def degrees_of(ball: Ball, window_deg: float, wide_deg: float) -> float | None:
    """Degrees to draw a start at: its number, else the middle of its class; None where it was not seen."""
    start = ball.corrected_start_deg()
    return start if start is not None or ball.side is None else class_middle(ball.side, window_deg, wide_deg)


def course(
    balls: Sequence[Ball],
    chosen: str,
    window_deg: float = scales.DEFAULT_WINDOW_DEG,
    wide_deg: float = scales.DEFAULT_WIDE_DEG,
) -> Course:
    """Residuals and solid share along one session, with a trend test and an exact test of its end.

    Args:
        balls: the session's balls in order; voided ones are passed over.
        chosen: words of the filter.
    """
    standing = sorted((ball for ball in balls if not ball.voided), key=lambda ball: ball.seq)
    seq, residuals = _residuals(standing, window_deg, wide_deg)
    struck = [ball for ball in standing if ball.strike is not None]
    solid = tuple(ball.strike is Strike.SOLID for ball in struck)
    early, late = solid[:-RECENT], solid[-RECENT:]
    p_tired = fisher_two_sided(sum(late), len(late), sum(early), len(early)) if early else 1.0
    drift, p_drift = _drift(seq, residuals)
    before, recent = wilson(sum(early), len(early)), wilson(sum(late), len(late))
    return Course(
        "Did I drift or tire?",
        len(standing),
        chosen,
        f"{_drift_words(drift, p_drift, len(residuals))} {_tired_words(before, recent, p_tired)}",
        ("ball", "bow", "grip", "start minus its setting", "strike"),
        _rows(standing, dict(zip(seq, residuals, strict=True))),
        seq=seq,
        residuals=residuals,
        running=tuple(_mean(residuals[max(0, at - RECENT + 1) : at + 1]) for at in range(len(residuals))),
        solid_seq=tuple(ball.seq for ball in struck),
        solid=solid,
        drift=drift,
        p_drift=p_drift,
        before=before,
        recent=recent,
        p_tired=p_tired,
    )


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


def _residuals(balls: Sequence[Ball], window_deg: float, wide_deg: float) -> tuple[tuple[int, ...], tuple[float, ...]]:
    """Residuals of the balls that enter fits, at settings with at least three of them."""
    starts: list[tuple[int, Setting, float]] = []
    for ball in balls:
        start, setting = degrees_of(ball, window_deg, wide_deg), ball.setup.setting
        if ball.enters_fits and start is not None and setting is not None:
            starts.append((ball.seq, setting, start))
    groups: dict[Setting, list[float]] = {}
    for _, setting, start in starts:
        groups.setdefault(setting, []).append(start)
    middle = {setting: _mean(values) for setting, values in groups.items() if len(values) >= 3}
    kept = [(seq, start - middle[setting]) for seq, setting, start in starts if setting in middle]
    return tuple(seq for seq, _ in kept), tuple(value for _, value in kept)


def _drift(seq: tuple[int, ...], residuals: tuple[float, ...]) -> tuple[Estimate, float]:
    from rangelog.evidence.means import difference

    third = len(residuals) // 3
    if third < 2:
        return UNKNOWN, 1.0
    return difference(residuals[-third:], residuals[:third]), kendall(seq, residuals).p_two_sided


def _drift_words(drift: Estimate, p: float, n: int) -> str:
    if math.isnan(drift.mean):
        return f"Too few balls at one setting to see a drift ({n})."
    if not math.isfinite(drift.low):
        return "No drift shown: too few different starts to put a number on it."
    if p > 0.05:
        return f"No drift shown: last third {say.bias_range(drift)} deg from the first ({say.chance(p)})."
    return f"Drifted {'right' if drift.mean > 0 else 'left'}: last third {say.bias_range(drift)} deg from the first ({say.chance(p)})."


def _tired_words(before: Share, recent: Share, p: float) -> str:
    if not before.n:
        return f"Solid {recent.hits} of {recent.n}: too few strikes to see tiredness."
    words = f"{recent.hits} of {recent.n} solid at the end, {before.hits} of {before.n} before ({say.chance(p)})"
    return f"Tired: {words}." if p <= 0.05 and recent.share < before.share else f"No tiredness shown: {words}."


def _rows(balls: Sequence[Ball], residuals: dict[int, float]) -> tuple[tuple[str, ...], ...]:
    return tuple(
        (
            str(ball.seq),
            "" if ball.setup.bow is None else f"{ball.setup.bow:g}",
            "" if ball.setup.grip is None else f"{ball.setup.grip:g}",
            units.signed(residuals[ball.seq]) if ball.seq in residuals else "",
            ball.strike.value if ball.strike else "",
        )
        for ball in balls
    )


@dataclass(frozen=True, slots=True)
class Summary(Answer):
    """One session in plain lines, for reading aloud as well as for looking at."""

    lines: tuple[str, ...] = ()


def summary(
    balls: Sequence[Ball],
    title: str,
    window_deg: float = scales.DEFAULT_WINDOW_DEG,
    wide_deg: float = scales.DEFAULT_WIDE_DEG,
) -> Summary:
    """Counts, on-line share, sides, mean start, spread and strike of a session, whole and by setting, each with its interval."""
    standing = [ball for ball in balls if not ball.voided]
    counted = [ball for ball in standing if ball.counted]
    whole, by_setting = Tally(), dict[Setting, Tally]()
    for ball in counted:
        whole.add(ball, window_deg, wide_deg)
        if ball.setup.setting is not None and ball.setup.position_balls == 0:
            by_setting.setdefault(ball.setup.setting, Tally()).add(ball, window_deg, wide_deg)
    lines = [_counted_words(whole, len(standing))]
    lines += [
        f"{say.setting(setting)}: {_start_words(found, window_deg, wide_deg)}"
        for setting, found in sorted(by_setting.items(), key=lambda item: (item[0].grip, item[0].bow))
    ]
    if len(standing) > len(counted):
        lines.append(f"{say.balls(len(standing) - len(counted))} not counted: {_reasons(standing)}.")
    return Summary("How did this session go?", len(standing), title, lines[0], notes=(), lines=tuple(lines))


def _counted_words(found: Tally, standing: int) -> str:
    words = f"{found.n} counted." if found.n == standing else f"{found.n} of {standing} counted."
    if found.seen:
        words += f" On line {say.share(wilson(found.on_line, found.seen))}. Right {found.right}, left {found.left}."
    if found.strike_known:
        words += f" Solid {found.solid} of {found.strike_known}."
    return words


def _start_words(found: Tally, window_deg: float, wide_deg: float) -> str:
    line = start_line(found, window_deg, wide_deg)
    words = (
        f"{say.balls(found.n)}, on line {say.likely(wilson(found.on_line, found.seen))}"
        if found.seen
        else f"{say.balls(found.n)}, none seen"
    )
    if found.seen:
        words += f", mean start {say.bias(line.bias, line.from_classes)} deg, spread {say.spread(line.spread)} deg"
    if found.strike_known:
        words += f", solid {say.likely(wilson(found.solid, found.strike_known))}"
    return words + "."


def _reasons(balls: Sequence[Ball]) -> str:
    counts: dict[str, int] = {}
    for ball in balls:
        if not ball.counted:
            word = ball.reason.value if ball.reason else "no reason kept"
            counts[word] = counts.get(word, 0) + 1
    return ", ".join(f"{n} {word}" for word, n in sorted(counts.items(), key=lambda item: (-item[1], item[0])))
