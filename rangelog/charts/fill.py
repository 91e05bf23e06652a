"""Fills a plotext plot that is handed in. Every call clears the plot and sets every axis first, since a plot keeps its first axes.

Series are told apart by their marks as well as by colour; the colours are those of the terminal.
"""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Any, Protocol

from rangelog.charts.shapes import NOTHING, BandPoint, Bar, Run, Spot, Strip, reach, thinned, with_comma

LEAST_REACH_DEG = 8.0
"""The axis of degrees shows at least this far to both sides."""

FRAME = 3
"""Columns of a plot that its frame takes, and one to spare."""


class Plot(Protocol):
    """The part of a plotext figure that is used here."""

    def clear_figure(self) -> object: ...
    def theme(self, name: str) -> object: ...
    def title(self, text: str) -> object: ...
    def xlim(self, low: float, high: float) -> object: ...
    def ylim(self, low: float, high: float) -> object: ...
    def xticks(self, places: Sequence[float], labels: Sequence[str]) -> object: ...
    def yticks(self, places: Sequence[float], labels: Sequence[str]) -> object: ...
    def xlabel(self, text: str) -> object: ...
    def ylabel(self, text: str) -> object: ...
    def vline(self, place: float) -> object: ...
    def hline(self, place: float) -> object: ...
    def scatter(self, x: Sequence[float], y: Sequence[float], *, marker: str) -> object: ...
    def plot(self, x: Sequence[float], y: Sequence[float], *, marker: str) -> object: ...
    def text(self, text: str, x: float, y: float, *, alignment: str = ...) -> object: ...


class CommaPlot:
    """A plot whose labels get a decimal comma; to be handed in where the player has chosen it."""

    def __init__(self, plot: Plot) -> None:
        self._plot = plot

    def __getattr__(self, name: str) -> Any:
        return getattr(self._plot, name)

    def xticks(self, places: Sequence[float], labels: Sequence[str]) -> object:
        return self._plot.xticks(places, [with_comma(label) for label in labels])

    def yticks(self, places: Sequence[float], labels: Sequence[str]) -> object:
        return self._plot.yticks(places, [with_comma(label) for label in labels])

    def text(self, text: str, x: float, y: float, *, alignment: str = "center") -> object:
        return self._plot.text(with_comma(text), x, y, alignment=alignment)


class FittingPlot:
    """A plot of so many columns whose labels below never meet: where they would, every second is left out, or more.

    Without it plotext leaves out whichever of two it comes to last, which differs from run to run.
    """

    def __init__(self, plot: Plot, columns: int) -> None:
        self._plot = plot
        self._columns = columns
        self._ends = (0.0, 1.0)
        self._below: tuple[Sequence[float], Sequence[str]] = ((), ())
        self._beside = 0

    def __getattr__(self, name: str) -> Any:
        return getattr(self._plot, name)

    def xlim(self, low: float, high: float) -> object:
        self._ends = (low, high)
        return self._plot.xlim(low, high)

    def yticks(self, places: Sequence[float], labels: Sequence[str]) -> object:
        self._beside = max(map(len, labels), default=0)
        self._plot.xticks(*self._fitting())
        return self._plot.yticks(places, labels)

    def xticks(self, places: Sequence[float], labels: Sequence[str]) -> object:
        self._below = (places, labels)
        return self._plot.xticks(*self._fitting())

    def _fitting(self) -> tuple[list[float], list[str]]:
        places, labels = self._below
        anchor = labels.index("0") if "0" in labels else len(labels) - 1
        for step in range(1, len(labels) + 1):
            kept = [at for at in range(len(labels)) if (at - anchor) % step == 0]
            if self._apart([places[at] for at in kept], [labels[at] for at in kept]):
                return [places[at] for at in kept], [labels[at] for at in kept]
        return [], []

    def _apart(self, places: Sequence[float], labels: Sequence[str]) -> bool:
        """Whether plotext sets each where it belongs: it looks a label's own length to both sides, and shoves where it meets another."""
        low, high = self._ends
        width = self._columns - self._beside - FRAME
        columns = [(place - low) / (high - low) * (width - 1) for place in places]
        lengths = [len(label) for label in labels]
        gaps = zip(pairwise(columns), pairwise(lengths), strict=True)
        return width > max(lengths) and all(right - left > max(a + b / 2, b + a / 2) + 1 for (left, right), (a, b) in gaps)


def _fresh(plot: Plot, title: str) -> None:
    plot.clear_figure()
    plot.theme("clear")
    if title:
        plot.title(title)


def _empty(plot: Plot) -> None:
    plot.xlim(0, 1)
    plot.ylim(0, 1)
    plot.xticks([], [])
    plot.yticks([], [])
    plot.text(NOTHING, 0.5, 0.5, alignment="center")


def mark(count: int) -> str:
    """The mark of a place by how many balls it holds: . one or two, o up to nine, O more."""
    return "." if count < 3 else "o" if count < 10 else "O"


def _degrees(far: float) -> tuple[list[float], list[str]]:
    """Places and labels of an axis of degrees around the line: L and R, never a bare sign."""
    step = 2 if far <= 10 else 5 if far <= 25 else 10
    places = [float(place) for place in range(-int(far // step) * step, int(far) + 1, step)]
    return places, [f"{abs(place):g}{' L' if place < 0 else ' R' if place > 0 else ''}" for place in places]


def _even(low: float, high: float) -> tuple[list[float], list[str]]:
    """Five places from end to end, in whole numbers where they are."""
    places = [low + (high - low) * part / 4 for part in range(5)]
    return places, [f"{place:g}" for place in places]


def _degrees_axis(plot: Plot, far: float, window_deg: float) -> None:
    plot.xlim(-far, far)
    plot.xticks(*_degrees(far))
    for edge in (-window_deg, window_deg):
        plot.vline(edge)


def strips(plot: Plot, rows: Sequence[Strip], window_deg: float = 2.0, title: str = "") -> None:
    """One row of marks for each group, left and right as seen, the mean as + with its interval as a line."""
    _fresh(plot, title)
    if not any(row.n for row in rows):
        _empty(plot)
        return
    far = reach([degrees for row in rows for degrees, _ in row.points], LEAST_REACH_DEG)
    places = [float(len(rows) - at) for at in range(len(rows))]
    _degrees_axis(plot, far, window_deg)
    plot.ylim(0.4, len(rows) + 0.6)
    labelled = thinned([row.label for row in rows], 24)
    plot.yticks([places[at] for at in labelled], [f"{rows[at].label} ({rows[at].n})" for at in labelled])
    for sign in (".", "o", "O"):
        found = [(degrees, place) for row, place in zip(rows, places, strict=True) for degrees, n in row.points if mark(n) == sign]
        if found:
            plot.scatter([x for x, _ in found], [y for _, y in found], marker=sign)
    for row, place in zip(rows, places, strict=True):
        if math.isfinite(row.low) and math.isfinite(row.high):
            plot.plot([max(row.low, -far), min(row.high, far)], [place - 0.3, place - 0.3], marker="-")
        if math.isfinite(row.mean) and abs(row.mean) <= far:
            plot.scatter([row.mean], [place - 0.3], marker="+")


def grid(plot: Plot, spots: Sequence[Spot], line: Sequence[BandPoint], window_deg: float = 2.0, title: str = "") -> None:
    """The map of settings: < starts left, o on line, > right, ? not known; the straight line as *, its band as dots."""
    _fresh(plot, title)
    if not spots:
        _empty(plot)
        return
    bows = sorted({spot.bow for spot in spots})
    grips = sorted({spot.grip for spot in spots})
    known = [point for point in line if math.isfinite(point.bow)]
    low_bow, high_bow = min(bows) - 1, max(bows) + 1
    plot.xlim(low_bow, high_bow)
    plot.ylim(min(grips) - 10, max(grips) + 10)
    notches = [float(place) for place in range(math.ceil(low_bow), math.floor(high_bow) + 1)]
    plot.xticks(notches, [f"{place:g}" for place in notches])
    plot.yticks(grips, [f"{grip:g}" for grip in grips])
    plot.xlabel("bow")
    plot.ylabel("grip")
    for point in known:
        ends = [max(point.low, low_bow), min(point.high, high_bow)]
        if ends[0] <= ends[1]:
            plot.plot(ends, [point.grip, point.grip], marker=".")
    seen = [point for point in known if low_bow <= point.bow <= high_bow]
    if len(seen) > 1:
        plot.plot([point.bow for point in seen], [point.grip for point in seen], marker="*")
    elif seen:
        plot.scatter([seen[0].bow], [seen[0].grip], marker="*")
    for sign in ("<", "o", ">", "?"):
        found = [spot for spot in spots if side_mark(spot.mean, window_deg) == sign]
        if found:
            plot.scatter([spot.bow for spot in found], [spot.grip for spot in found], marker=sign)


def side_mark(mean: float, window_deg: float) -> str:
    """The mark of a mean start: side by shape."""
    if not math.isfinite(mean):
        return "?"
    return "o" if abs(mean) <= window_deg else ">" if mean > 0 else "<"


def bars(plot: Plot, rows: Sequence[Bar], window_deg: float = 2.0, title: str = "", low_high: tuple[float, float] | None = None) -> None:
    """Means with their intervals, one column each, oldest first; the newest 60 where there are more.

    Args:
        low_high: fixed ends of the axis, such as (0, 100) for shares; degrees around the line where None.
    """
    _fresh(plot, title)
    shown = [row for row in rows if math.isfinite(row.mean)][-60:]
    if not shown:
        _empty(plot)
        return
    far = reach([value for row in shown for value in (row.mean, *((row.low, row.high) if row.known else ()))], LEAST_REACH_DEG)
    low, high = low_high or (-far, far)
    plot.ylim(low, high)
    plot.yticks(*(_degrees(far) if low_high is None else _even(low, high)))
    plot.xlim(0.5, len(shown) + 0.5)
    labelled = thinned([row.label for row in shown], 6)
    plot.xticks([float(at + 1) for at in labelled], [shown[at].label for at in labelled])
    if low_high is None:
        for edge in (-window_deg, window_deg):
            plot.hline(edge)
    for at, row in enumerate(shown, start=1):
        if row.known:
            plot.plot([float(at), float(at)], [max(row.low, low), min(row.high, high)], marker="|")
    plot.scatter([float(at) for at in range(1, len(shown) + 1)], [row.mean for row in shown], marker="o")


def run(plot: Plot, course: Run, title: str = "", least: float = LEAST_REACH_DEG) -> None:
    """Values along ball numbers as dots, their running mean as a line."""
    _fresh(plot, title)
    if not course.at:
        _empty(plot)
        return
    far = reach(course.values, least)
    first, last = course.at[0], course.at[-1]
    plot.ylim(-far, far)
    plot.yticks(*_degrees(far))
    plot.xlim(first - 1, last + 1)
    ticks = thinned([str(at) for at in course.at], 8)
    plot.xticks([float(course.at[at]) for at in ticks], [str(course.at[at]) for at in ticks])
    plot.xlabel("ball")
    plot.hline(0)
    plot.scatter([float(at) for at in course.at], list(course.values), marker=".")
    if course.running:
        if len(course.running) > 1:
            plot.plot([float(at) for at in course.at], list(course.running), marker="*")
        else:
            plot.scatter([float(first)], list(course.running), marker="*")
