"""Which picture belongs to which answer."""

import math
from collections.abc import Callable
from typing import Any

from rangelog.charts import fill
from rangelog.charts.shapes import BandPoint, Bar, Run, Spot, Strip
from rangelog.core.words import BlockKind, Height
from rangelog.logbook import review

Fill = Callable[[Any, float], None]
"""Fills a plot, given the half-width that counts as on line."""

MOST_ROWS = 8
"""Settings shown as strips or bars: those with most balls."""

MOST_COLUMNS = 16
"""Settings shown as columns."""


def drawn(answer: review.Answer) -> Fill | None:
    """What fills the plot for an answer; None where its picture is its table."""
    if isinstance(answer, review.Grid):
        return _map(answer)
    if isinstance(answer, review.Strips | review.Comparison):
        return _strips(answer)
    if isinstance(answer, review.Spreads):
        return _spreads(answer)
    if isinstance(answer, review.SideBySide):
        rows = [Strip(_short(row), row.points, row.start.bias.mean, row.start.bias.low, row.start.bias.high) for row in answer.conditions]
        return lambda plot, window: fill.strips(plot, rows, window)
    if isinstance(answer, review.StickReview) and answer.conditions:
        pair = [Strip(_short(row), row.points, row.start.bias.mean, row.start.bias.low, row.start.bias.high) for row in answer.conditions]
        return lambda plot, window: fill.strips(plot, pair, window)
    if isinstance(answer, review.DayToDay):
        days = [Bar(day.date[2:], day.start.bias.mean, day.start.bias.low, day.start.bias.high) for day in answer.days]
        return lambda plot, window: fill.bars(plot, days, window)
    if isinstance(answer, review.Course):
        course = Run(answer.seq, answer.residuals, answer.running)
        return lambda plot, _: fill.run(plot, course)
    if isinstance(answer, review.StrikeReview):
        return _shares(answer)
    if isinstance(answer, review.LadderReview) and answer.found is not None:
        return _ladder(answer)
    return None


def _short(row: review.Condition) -> str:
    """ "retention, off, random"."""
    block = "" if row.block is BlockKind.FREE else f"{row.block}, "
    drawn_order = ", random" if row.drawn and row.block is not BlockKind.RANDOM else ""
    return f"{block}{'stick ' if not block else ''}{'on' if row.stick else 'off'}{drawn_order}"


def _map(answer: review.Grid) -> Fill:
    spots = [Spot(cell.setting.bow, cell.setting.grip, cell.start.bias.mean, cell.n) for cell in answer.cells]
    line = [BandPoint(point.grip, point.bow, point.low, point.high) for point in answer.line]
    return lambda plot, window: fill.grid(plot, spots, line, window)


def _strips(answer: review.Strips | review.Comparison) -> Fill:
    most = sorted(answer.cells, key=lambda cell: -cell.n)[:MOST_ROWS]
    rows = [
        Strip(
            f"grip {cell.setting.grip:g} bow {cell.setting.bow:g}",
            cell.points,
            cell.start.bias.mean,
            cell.start.bias.low,
            cell.start.bias.high,
        )
        for cell in answer.cells
        if cell in most
    ]
    return lambda plot, window: fill.strips(plot, rows, window)


def _spreads(answer: review.Spreads) -> Fill:
    most = sorted((cell for cell in answer.cells if math.isfinite(cell.start.spread.mean)), key=lambda cell: -cell.start.n)[:MOST_COLUMNS]
    spread = {cell.setting: cell.start.spread for cell in most}
    rows = [
        Bar(f"{cell.setting.grip:g}/{cell.setting.bow:g}", spread[cell.setting].mean, spread[cell.setting].low, spread[cell.setting].high)
        for cell in answer.cells
        if cell in most
    ]
    top = max((min(bar.high, 2 * bar.mean) for bar in rows), default=1.0)
    return lambda plot, window: fill.bars(plot, rows, window, title="spread, deg (grip/bow)", low_high=(0.0, math.ceil(top)))


def _shares(answer: review.StrikeReview) -> Fill:
    most = sorted(answer.cells, key=lambda cell: -cell.solid.n)[:MOST_COLUMNS]
    rows = [
        Bar(
            f"{cell.surface[0]} {cell.setting.grip:g}/{cell.setting.bow:g}",
            100 * cell.solid.share,
            100 * cell.solid.low,
            100 * cell.solid.high,
        )
        for cell in answer.cells
        if cell in most and cell.solid.n
    ]
    return lambda plot, window: fill.bars(plot, rows, window, title="solid, per cent (m mat, t turf; grip/bow)", low_high=(0.0, 100.0))


def _ladder(answer: review.LadderReview) -> Fill | None:
    """Launch by position where it was measured, else the share of low balls; the lower the bar, the higher the flight."""
    found = answer.found
    assert found is not None
    if any(math.isfinite(row.launch_deg.mean) for row in found.rows):
        top = max(row.launch_deg.mean for row in found.rows if math.isfinite(row.launch_deg.mean))
        rows = [Bar(f"{row.position:+g}", row.launch_deg.mean, row.launch_deg.low, row.launch_deg.high) for row in found.rows]
        return lambda plot, window: fill.bars(plot, rows, window, title="launch, deg, by ball position", low_high=(0.0, top * 1.4))
    shares = [
        Bar(f"{row.position:+g}", 100 * row.low / (row.low + row.mid + row.high), math.nan, math.nan)
        for row in found.rows
        if row.low + row.mid + row.high
    ]
    title = f"{Height.LOW} balls, per cent, by ball position"
    return lambda plot, window: fill.bars(plot, shares, window, title=title, low_high=(0.0, 100.0)) if shares else None
