"""Charts in a plotext figure: every number of points is drawn whole, side and window stand where they should."""

import math
import random
import re
from collections.abc import Callable

import pytest
from plotext import _figure

from rangelog.charts import fill
from rangelog.charts.shapes import NOTHING, BandPoint, Bar, Run, Spot, Strip, binned

ESCAPES = re.compile(r"\x1b\[[0-9;]*m")
COUNTS = (0, 1, 2, 10_000)


def drawn(draw: Callable[[fill.Plot], None], width: int = 80) -> str:
    figure = _figure._figure_class()
    figure.plot_size(width, 20)
    draw(figure)
    return ESCAPES.sub("", figure.build())


def starts(n: int) -> list[float]:
    rng = random.Random(n)
    return [rng.gauss(0, 3) for _ in range(n)]


@pytest.mark.parametrize("n", COUNTS)
def test_strips_of_any_number_of_balls_are_drawn(n: int) -> None:
    picture = drawn(lambda plot: fill.strips(plot, [Strip("grip 30, bow 2", binned(starts(n)), 0.1, -1.0, 1.2)] if n else []))
    assert (NOTHING in picture) == (n == 0)
    if n:
        assert f"grip 30, bow 2 ({n})" in picture
        assert "+" in picture
    if n == 10_000:
        assert "O" in picture


@pytest.mark.parametrize("n", COUNTS)
def test_maps_of_any_number_of_settings_are_drawn(n: int) -> None:
    spots = [Spot(float(at % 8 - 2), float(at // 8 % 8 * 15 - 15), value, 1) for at, value in enumerate(starts(n))]
    picture = drawn(lambda plot: fill.grid(plot, spots, [BandPoint(30.0, 2.0, 1.0, 3.0)] if n else []))
    assert (NOTHING in picture) == (n == 0)
    assert ("bow" in picture) == (n > 0)


@pytest.mark.parametrize("n", COUNTS)
def test_bars_of_any_number_of_sessions_are_drawn(n: int) -> None:
    bars = [Bar(f"{at}", value, value - 1, value + 1) for at, value in enumerate(starts(n))]
    picture = drawn(lambda plot: fill.bars(plot, bars))
    assert (NOTHING in picture) == (n == 0)
    assert ("o" in picture.replace(NOTHING, "")) == (n > 0)


@pytest.mark.parametrize("n", COUNTS)
def test_courses_of_any_length_are_drawn(n: int) -> None:
    values = starts(n)
    course = Run(tuple(range(1, n + 1)), tuple(values), tuple(sum(values[: at + 1][-12:]) / 12 for at in range(n)))
    picture = drawn(lambda plot: fill.run(plot, course))
    assert (NOTHING in picture) == (n == 0)
    if n:
        assert "*" in picture
        assert "8 L" in picture or "10 L" in picture


def test_a_start_to_the_left_is_drawn_left_of_the_line() -> None:
    picture = drawn(lambda plot: fill.strips(plot, [Strip("a", ((-6.0, 1),)), Strip("b", ((6.0, 1),))]))
    left, right = (next(line for line in picture.splitlines() if f"{name} (1)" in line) for name in "ab")
    middle = next(line for line in picture.splitlines() if " R " in line).index(" 0 ") + 1
    assert left.index(".") < middle < right.index(".")


def test_sides_on_the_map_are_told_by_shape() -> None:
    assert [fill.side_mark(mean, 2.0) for mean in (-3.0, -2.0, 2.0, 2.1, math.nan)] == ["<", "o", "o", ">", "?"]


def test_a_band_without_ends_reaches_across_and_a_line_outside_is_left_out() -> None:
    picture = drawn(lambda plot: fill.grid(plot, [Spot(1.0, 30.0, 3.0, 4)], [BandPoint(30.0, 99.0, -math.inf, math.inf)]))
    assert picture.count(".") > 50
    assert "*" not in picture


def test_a_plot_that_was_empty_first_is_filled_whole_afterwards() -> None:
    figure = _figure._figure_class()
    figure.plot_size(80, 20)
    fill.strips(figure, [])
    figure.build()
    fill.strips(figure, [Strip("a", ((-7.0, 1), (0.0, 1), (7.0, 1)))])
    picture = ESCAPES.sub("", figure.build())
    line = next(line for line in picture.splitlines() if "a (3)" in line)
    assert line.count(".") == 3
    assert NOTHING not in picture


@pytest.mark.parametrize("width", [24, 33, 40, 47, 56, 64, 76, 116])
def test_labels_below_never_meet_and_are_the_same_in_every_run(width: int) -> None:
    """All labels that were asked for are there, whole, with a gap between: plotext would drop one of two that meet, another each run."""
    rows = [Strip("a", ((-7.0, 1), (7.0, 1)))]
    bars = [Bar(f"26-05-{at:02}", 1.0, 0.5, 1.5) for at in range(1, 20)]
    for draw, pattern in (
        (lambda plot: fill.strips(plot, rows), r"\d+ [LR]|0"),
        (lambda plot: fill.bars(plot, bars), r"26-05-\d\d"),
        (lambda plot: fill.run(plot, Run(tuple(range(1000, 1400)), (0.0,) * 400, ())), r"1\d\d\d"),
    ):
        asked: list[str] = []

        class Watched(fill.FittingPlot):
            def _fitting(self) -> tuple[list[float], list[str]]:
                found = super()._fitting()
                asked[:] = found[1]  # noqa: B023
                return found

        picture = drawn(lambda plot: draw(Watched(plot, width)), width)  # noqa: B023
        below = next(line for line in reversed(picture.splitlines()) if re.search(pattern, line))
        assert re.findall(pattern, below) == asked
        assert asked or width < 30


def test_a_plot_may_have_decimal_commas_in_its_labels() -> None:
    rows = [Bar("37.5/1.5", 1.2, 1.0, 1.4), Bar("30/2", 2.2, 2.0, 2.4)]
    point, comma = (
        drawn(lambda plot, dress=dress: fill.bars(dress(plot), rows, low_high=(0.0, 2.5))) for dress in (lambda plot: plot, fill.CommaPlot)
    )
    assert "37.5/1.5" in point
    assert "37,5/1,5" in comma
    assert "0.625" in point
    assert "0,625" in comma
    assert comma == point.replace("37.5/1.5", "37,5/1,5").replace(".", ",")
