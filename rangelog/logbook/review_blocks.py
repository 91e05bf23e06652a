"""Does it survive stick off, random order, next week? Block kinds side by side, never in one row."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.results import Estimate, Share
from rangelog.core.words import BlockKind, Height
from rangelog.evidence.intervals import fisher_two_sided, wilson
from rangelog.logbook import review_words as say
from rangelog.logbook.review_answer import Answer
from rangelog.logbook.review_settings import between
from rangelog.logbook.review_start import UNKNOWN, StartLine, start_line
from rangelog.logbook.review_tally import Tally, sample_sd

BY_ORDER = (BlockKind.CONFIRM, BlockKind.STICK_OFF, BlockKind.RANDOM, BlockKind.RETENTION)
"""Kinds that are tests of a combination, in the order in which they are met."""


@dataclass(frozen=True, slots=True)
class Condition:
    """One kind of block with the stick on or off.

    Attributes:
        block: its kind.
        stick: whether the grip stick was on.
        n: balls.
        on_line: on line of seen, Wilson 95 %.
        start: where they started.
        solid: solid of known, Wilson 95 %.
        drawn: the targets were drawn, so that the order was random.
        points: degrees and balls, to be drawn.
    """

    block: BlockKind
    stick: bool
    n: int
    on_line: Share
    start: StartLine
    solid: Share
    drawn: bool = False
    points: tuple[tuple[float, int], ...] = ()

    @property
    def label(self) -> str:
        """ "retention, stick off"."""
        return f"{self.block}, {say.on_off(self.stick)}{', random order' if self.drawn and self.block is not BlockKind.RANDOM else ''}"


@dataclass(frozen=True, slots=True)
class SideBySide(Answer):
    """Confirm, stick off, random and retention side by side; p is of the last against the confirm."""

    conditions: tuple[Condition, ...] = ()
    p: float = math.nan


@dataclass(frozen=True, slots=True)
class StickReview(Answer):
    """Stick on against stick off at the same settings.

    Attributes:
        bias_change: mean start off minus on, degrees, 90 % interval.
        launch_change: launch off minus on, degrees, 90 % interval; unknown without numbers.
        conditions: stick on and stick off, to be drawn; empty where one of them has no ball.
    """

    bias_change: Estimate = UNKNOWN
    launch_change: Estimate = UNKNOWN
    conditions: tuple[Condition, ...] = ()


def condition(
    block: BlockKind,
    stick: bool,
    found: Tally,
    drawn: bool = False,
    window_deg: float = scales.DEFAULT_WINDOW_DEG,
    wide_deg: float = scales.DEFAULT_WIDE_DEG,
) -> Condition:
    """One row of the comparison."""
    return Condition(
        block,
        stick,
        found.n,
        wilson(found.on_line, found.seen),
        start_line(found, window_deg, wide_deg),
        wilson(found.solid, found.strike_known),
        drawn,
        found.points(window_deg, wide_deg),
    )


def side_by_side(
    groups: Mapping[tuple[BlockKind, bool, bool], Tally],
    chosen: str,
    window_deg: float = scales.DEFAULT_WINDOW_DEG,
    wide_deg: float = scales.DEFAULT_WIDE_DEG,
) -> SideBySide:
    """Rows for every kind of test block, stick and order; the latest kind of test is held against the confirm.

    Args:
        groups: balls by (kind, stick on, targets drawn).
        chosen: words of the filter.
    """
    rows = [
        condition(kind, stick, groups[kind, stick, drawn], drawn, window_deg, wide_deg)
        for kind in BY_ORDER
        for stick in (True, False)
        for drawn in (False, True)
        if groups.get((kind, stick, drawn), Tally()).n
    ]
    sentence, p = survived(rows)
    return SideBySide(
        "Does it survive stick off, random order, next week?",
        sum(row.n for row in rows),
        chosen,
        sentence,
        ("block", "stick", "order", "balls", "on line", "mean start", "solid"),
        tuple(
            (
                row.block.value,
                "on" if row.stick else "off",
                "random" if row.drawn or row.block is BlockKind.RANDOM else "block",
                str(row.n),
                say.share(row.on_line),
                say.bias(row.start.bias, row.start.from_classes),
                say.share(row.solid),
            )
            for row in rows
        ),
        conditions=tuple(rows),
        p=p,
    )


def survived(rows: list[Condition]) -> tuple[str, float]:
    """The latest kind of test against the confirm, in one sentence, with the two-sided exact p."""
    base = next((row for row in rows if row.block is BlockKind.CONFIRM and row.on_line.n), None)
    later = [row for row in rows if row.block is not BlockKind.CONFIRM and row.on_line.n]
    if base is None or not later:
        return (
            "No confirm block yet." if base is None else "Confirmed; not yet tested stick off, in random order, or another day."
        ), math.nan
    last = later[-1]
    return against(last, base)


def against(last: Condition, base: Condition) -> tuple[str, float]:
    """ "6 of 10; not shown to differ from 15 of 20 (p = .43); stick and order also differ.\""""
    p = fisher_two_sided(last.on_line.hits, last.on_line.n, base.on_line.hits, base.on_line.n)
    shown = "differs" if p <= 0.05 else "not shown to differ"
    differ = []
    if last.stick != base.stick:
        differ.append("stick")
    if (last.drawn or last.block is BlockKind.RANDOM) != (base.drawn or base.block is BlockKind.RANDOM):
        differ.append("order")
    also = f"; {say.listed(differ)} also {'differs' if len(differ) == 1 else 'differ'}" if differ else ""
    return f"{last.on_line.hits} of {last.on_line.n}; {shown} from {base.on_line.hits} of {base.on_line.n} ({say.chance(p)}){also}.", p


def stick_on_off(
    on: Tally,
    off: Tally,
    chosen: str,
    open_word: str = "right",
    window_deg: float = scales.DEFAULT_WINDOW_DEG,
    wide_deg: float = scales.DEFAULT_WIDE_DEG,
) -> StickReview:
    """Start and height with the stick off against on, at settings that were hit both ways."""
    with_it, without = start_line(on, window_deg, wide_deg), start_line(off, window_deg, wide_deg)
    change = between(without, with_it)
    launch = _launch_change(on, off)
    high_on, high_off = (wilson(each.heights[Height.HIGH], sum(n for key, n in each.heights.items() if key)) for each in (on, off))
    return StickReview(
        "Is it still there without the stick?",
        on.n + off.n,
        chosen,
        _stick_sentence(on, off, change, open_word),
        ("stick", "balls", "mean start", "on line", "solid", "high"),
        tuple(
            (
                word,
                str(each.n),
                say.bias(line.bias, line.from_classes),
                say.share(wilson(each.on_line, each.seen)),
                say.share(wilson(each.solid, each.strike_known)),
                say.share(high),
            )
            for word, each, line, high in (("on", on, with_it, high_on), ("off", off, without, high_off))
        ),
        (f"Launch off minus on: {say.bias_range(launch)} deg.",) if math.isfinite(launch.low) else (),
        bias_change=change,
        launch_change=launch,
        conditions=tuple(condition(BlockKind.FREE, stick, each, False, window_deg, wide_deg) for stick, each in ((True, on), (False, off)))
        if on.n and off.n
        else (),
    )


def _stick_sentence(on: Tally, off: Tally, change: Estimate, open_word: str) -> str:
    if not on.n or not off.n:
        return "No setting was hit both with the stick on and with it off."
    if not math.isfinite(change.low):
        return "Too few balls to compare stick on and off."
    if change.low <= 0 <= change.high:
        return f"Stick off starts {say.bias_range(change)} deg from stick on; no change shown."
    side = "right" if change.mean > 0 else "left"
    fading = " Lean may be fading." if side == open_word else ""
    return f"Stick-off balls start {abs(change.mean):.1f} deg further {side} ({say.bias_range(change)}).{fading}"


def _launch_change(on: Tally, off: Tally) -> Estimate:
    from rangelog.evidence.means import difference_from_summary

    if on.launches < 2 or off.launches < 2:
        return UNKNOWN
    first, second = (
        (each.launch_total / each.launches, sample_sd(each.launches, each.launch_total, each.launch_squares), each.launches)
        for each in (off, on)
    )
    return difference_from_summary(first, second)
