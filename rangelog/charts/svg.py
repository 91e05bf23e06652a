"""The pictures of the coach's page: the same shapes as SVG, black on white, each with a title and a description in words.

Sides are told by place and shape; nothing depends on colour, a script or the network.
"""

import math
from collections.abc import Callable, Sequence
from itertools import pairwise
from xml.sax.saxutils import escape, quoteattr

from rangelog.charts.shapes import NOTHING, BandPoint, Bar, Spot, Strip, reach, thinned, with_comma

WIDTH = 340.0
_LEFT = 92.0
_RIGHT = 10.0
_TOP = 14.0
_ROW = 26.0
_AXIS = 22.0
_TEXT = 8.5
_MOST_DOTS = 60
_STACK = 4
_DOT_STEP = 3.8


def _number(value: float) -> str:
    return f"{value:.1f}".rstrip("0").rstrip(".") if math.isfinite(value) else "0"


class Canvas:
    """Collects the elements of one picture.

    Args:
        width, height: in user units.
        title, description: what a screen reader says.
        name: start of the ids that tie them to the picture; unique on the page.
        comma: numbers in its texts have a decimal comma.
    """

    def __init__(self, width: float, height: float, title: str, description: str, name: str, comma: bool = False) -> None:
        self._comma = comma
        self._head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_number(width)} {_number(height)}" role="img" '
            f'aria-labelledby="{name}-title {name}-desc" font-family="sans-serif" font-size="{_TEXT}">'
            f'<title id="{name}-title">{escape(title)}</title><desc id="{name}-desc">{escape(description)}</desc>'
        )
        self._parts: list[str] = []

    def line(self, x1: float, y1: float, x2: float, y2: float, *, width: float = 1, dash: str = "") -> None:
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        ends = f'x1="{_number(x1)}" y1="{_number(y1)}" x2="{_number(x2)}" y2="{_number(y2)}"'
        self._parts.append(f'<line {ends} stroke="#000" stroke-width="{_number(width)}"{dashed}/>')

    def dot(self, x: float, y: float, radius: float, *, hollow: bool = False) -> None:
        fill = "#fff" if hollow else "#000"
        self._parts.append(
            f'<circle cx="{_number(x)}" cy="{_number(y)}" r="{_number(radius)}" fill="{fill}" stroke="#000" stroke-width="0.8"/>'
        )

    def shape(self, points: Sequence[tuple[float, float]], *, fill: str = "#000", opacity: float = 1.0) -> None:
        corners = " ".join(f"{_number(x)},{_number(y)}" for x, y in points)
        self._parts.append(f'<polygon points="{corners}" fill="{fill}" fill-opacity="{opacity:g}"/>')

    def box(self, x: float, y: float, width: float, height: float, *, opacity: float) -> None:
        place = f'x="{_number(x)}" y="{_number(y)}" width="{_number(width)}" height="{_number(height)}"'
        self._parts.append(f'<rect {place} fill="#000" fill-opacity="{opacity:g}"/>')

    def text(self, x: float, y: float, words: str, *, anchor: str = "start") -> None:
        words = with_comma(words) if self._comma else words
        self._parts.append(f'<text x="{_number(x)}" y="{_number(y)}" text-anchor={quoteattr(anchor)}>{escape(words)}</text>')

    def svg(self) -> str:
        """The whole picture."""
        return self._head + "".join(self._parts) + "</svg>"


def _empty(title: str, name: str) -> str:
    canvas = Canvas(WIDTH, 40, title, NOTHING, name)
    canvas.text(WIDTH / 2, 24, NOTHING, anchor="middle")
    return canvas.svg()


def _ticks(far: float) -> list[float]:
    step = 2 if far <= 10 else 5 if far <= 25 else 10
    return [float(place) for place in range(-int(far // step) * step, int(far) + 1, step)]


def _side(place: float) -> str:
    return f"{abs(place):g}{' L' if place < 0 else ' R' if place > 0 else ''}"


def strips(
    rows: Sequence[Strip], title: str, description: str, *, window_deg: float = 2.0, name: str = "strips", comma: bool = False
) -> str:
    """One row for each group: every ball a dot at its start (few balls), or circles by count; the mean as a bar with its interval."""
    shown = [row for row in rows if row.n]
    if not shown:
        return _empty(title, name)
    far = reach([degrees for row in shown for degrees, _ in row.points], 8.0)
    bottom = _TOP + _ROW * len(shown)
    canvas = Canvas(WIDTH, bottom + _AXIS, title, description, name, comma)

    def x(degrees: float) -> float:
        return _LEFT + (WIDTH - _LEFT - _RIGHT) * (degrees + far) / (2 * far)

    canvas.box(x(-window_deg), _TOP, x(window_deg) - x(-window_deg), bottom - _TOP, opacity=0.08)
    canvas.line(x(0), _TOP, x(0), bottom, width=0.5)
    for at, row in enumerate(shown):
        middle = _TOP + _ROW * at + _ROW * 0.45
        canvas.text(_LEFT - 6, middle + 3, f"{row.label} ({row.n})", anchor="end")
        _dots(canvas, row, x, middle)
        below = _TOP + _ROW * at + _ROW * 0.88
        if math.isfinite(row.low) and math.isfinite(row.high):
            canvas.line(x(max(row.low, -far)), below, x(min(row.high, far)), below, width=1.4)
        if math.isfinite(row.mean) and abs(row.mean) <= far:
            canvas.line(x(row.mean), below - 4, x(row.mean), below + 2.5, width=1.8)
    canvas.line(_LEFT, bottom, WIDTH - _RIGHT, bottom, width=0.6)
    for place in _ticks(far):
        canvas.line(x(place), bottom, x(place), bottom + 3, width=0.6)
        canvas.text(x(place), bottom + 13, _side(place), anchor="middle")
    return canvas.svg()


def _dots(canvas: Canvas, row: Strip, x: Callable[[float], float], middle: float) -> None:
    if row.n <= _MOST_DOTS:
        for degrees, count in row.points:
            columns = math.ceil(count / _STACK)
            for place in range(count):
                column, step = divmod(place, _STACK)
                high = min(count - column * _STACK, _STACK)
                canvas.dot(
                    x(degrees) + _DOT_STEP * (column - (columns - 1) / 2), middle + _DOT_STEP * (step - (high - 1) / 2), 1.5, hollow=True
                )
        return
    most = max(count for _, count in row.points)
    for degrees, count in row.points:
        canvas.dot(x(degrees), middle, max(0.6, 7.5 * math.sqrt(count / most)), hollow=True)


def grid(
    spots: Sequence[Spot],
    line: Sequence[BandPoint],
    title: str,
    description: str,
    *,
    window_deg: float = 2.0,
    name: str = "grid",
    comma: bool = False,
) -> str:
    """The map of settings: a triangle points to the side a setting starts, a dot is on line; the straight line with its band."""
    if not spots:
        return _empty(title, name)
    bows = [spot.bow for spot in spots]
    grips = [spot.grip for spot in spots] + [point.grip for point in line]
    low_bow, high_bow = min(bows) - 1, max(bows) + 1
    low_grip, high_grip = min(grips) - 12, max(grips) + 12
    height = 150.0
    left, bottom = 34.0, height - 30

    def x(bow: float) -> float:
        return left + (WIDTH - left - _RIGHT) * (bow - low_bow) / (high_bow - low_bow)

    def y(grip: float) -> float:
        return bottom - (bottom - 8) * (grip - low_grip) / (high_grip - low_grip)

    canvas = Canvas(WIDTH, height, title, description, name, comma)

    def inside(bow: float) -> float:
        return min(max(bow, low_bow), high_bow)

    known = [point for point in line if math.isfinite(point.bow)]
    banded = [point for point in known if math.isfinite(point.low) and math.isfinite(point.high)]
    if len(banded) > 1:
        left_edge = [(x(inside(point.low)), y(point.grip)) for point in banded]
        right_edge = [(x(inside(point.high)), y(point.grip)) for point in reversed(banded)]
        canvas.shape([*left_edge, *right_edge], opacity=0.10)
    for point in banded:
        if point.low <= high_bow and point.high >= low_bow:
            canvas.line(x(inside(point.low)), y(point.grip), x(inside(point.high)), y(point.grip), width=0.8)
    for first, second in pairwise(known):
        canvas.line(x(inside(first.bow)), y(first.grip), x(inside(second.bow)), y(second.grip), width=1, dash="4 2")
    for spot in spots:
        _spot(canvas, x(spot.bow), y(spot.grip), spot, window_deg)
    canvas.line(left, bottom, WIDTH - _RIGHT, bottom, width=0.6)
    canvas.line(left, 8, left, bottom, width=0.6)
    for notch in range(math.ceil(low_bow), math.floor(high_bow) + 1):
        canvas.line(x(notch), bottom, x(notch), bottom + 3, width=0.6)
        canvas.text(x(notch), bottom + 12, f"{notch}", anchor="middle")
    for grip in sorted(set(grips)):
        canvas.text(left - 5, y(grip) + 3, f"{grip:g}", anchor="end")
    canvas.text((left + WIDTH) / 2, height - 6, "bow in notches", anchor="middle")
    canvas.text(2, 7, "grip deg")
    return canvas.svg()


def _spot(canvas: Canvas, x: float, y: float, spot: Spot, window_deg: float) -> None:
    size = 3.2 if spot.n < 8 else 4.4
    if not math.isfinite(spot.mean):
        canvas.text(x, y + 3, "?", anchor="middle")
    elif abs(spot.mean) <= window_deg:
        canvas.dot(x, y, size)
    else:
        way = math.copysign(size, spot.mean)
        canvas.shape([(x - way, y - size), (x - way, y + size), (x + way * 1.3, y)])
    if math.isfinite(spot.mean):
        canvas.text(x, y - size - 2.5, _side(round(spot.mean, 1)), anchor="middle")


def bars(rows: Sequence[Bar], title: str, description: str, *, window_deg: float = 2.0, name: str = "bars", comma: bool = False) -> str:
    """Means with their intervals, one column each, oldest first; the newest 40 where there are more."""
    shown = [row for row in rows if math.isfinite(row.mean)][-40:]
    if not shown:
        return _empty(title, name)
    far = reach([value for row in shown for value in (row.mean, *((row.low, row.high) if row.known else ()))], 6.0)
    height, left = 110.0, 34.0
    bottom = height - 18

    def y(degrees: float) -> float:
        return 6 + (bottom - 6) * (far - degrees) / (2 * far)

    def x(at: int) -> float:
        return left + (WIDTH - left - _RIGHT) * (at + 0.5) / len(shown)

    canvas = Canvas(WIDTH, height, title, description, name, comma)
    canvas.box(left, y(window_deg), WIDTH - left - _RIGHT, y(-window_deg) - y(window_deg), opacity=0.08)
    canvas.line(left, y(0), WIDTH - _RIGHT, y(0), width=0.5)
    canvas.line(left, 6, left, bottom, width=0.6)
    for place in (-far, 0.0, far):
        canvas.text(left - 5, y(place) + 3, _side(place), anchor="end")
    for at, row in enumerate(shown):
        if row.known:
            canvas.line(x(at), y(max(row.low, -far)), x(at), y(min(row.high, far)), width=1.2)
        canvas.dot(x(at), y(row.mean), 2.2)
    for at in thinned([row.label for row in shown], 6):
        canvas.text(x(at), bottom + 11, shown[at].label, anchor="middle")
    return canvas.svg()
