"""Charts of the page: well-formed, accessible, nothing from outside, drawn for any number of points."""

import math
import random
import re
import xml.etree.ElementTree as tree

import pytest
import resvg_py

from rangelog.charts import svg
from rangelog.charts.shapes import NOTHING, BandPoint, Bar, Spot, Strip, binned, reach, thinned

COUNTS = (0, 1, 2, 10_000)
SVG = "{http://www.w3.org/2000/svg}"


def starts(n: int) -> list[float]:
    rng = random.Random(n)
    return [rng.gauss(0, 3) for _ in range(n)]


def pictures(n: int) -> list[str]:
    values = starts(n)
    spots = [Spot(float(at % 8 - 2), float(at // 8 % 8 * 15 - 15), value, at) for at, value in enumerate(values)]
    return [
        svg.strips([Strip("baseline", binned(values), 0.1, -1.0, 1.2)] if n else [], "T", "D"),
        svg.grid(spots, [BandPoint(30.0, 2.0, 1.0, 3.0), BandPoint(45.0, 0.5, -math.inf, math.inf)] if n else [], "T", "D"),
        svg.bars([Bar(f"{at}", value, value - 1, value + 1) for at, value in enumerate(values)], "T", "D"),
    ]


@pytest.mark.parametrize("n", COUNTS)
def test_every_picture_is_well_formed_and_can_be_painted(n: int) -> None:
    for picture in pictures(n):
        root = tree.fromstring(picture)
        assert (root.findtext(f"{SVG}title"), root.get("role")) == ("T", "img")
        assert (NOTHING in picture) == (n == 0)
        assert "nan" not in picture
        assert "inf" not in picture
        painted = bytes(resvg_py.svg_to_bytes(svg_string=picture))
        assert painted.startswith(b"\x89PNG")


@pytest.mark.parametrize("n", COUNTS)
def test_a_picture_does_not_grow_with_the_number_of_balls(n: int) -> None:
    assert len(pictures(n)[0]) < 20_000
    assert len(pictures(n)[2]) < 20_000


def test_few_balls_are_each_a_dot_inside_the_picture() -> None:
    picture = svg.strips([Strip("a", ((-8.0, 20), (0.0, 15), (7.0, 1)))], "T", "D")
    root = tree.fromstring(picture)
    dots = root.findall(f"{SVG}circle")
    assert len(dots) == 36
    assert len({(dot.get("cx"), dot.get("cy")) for dot in dots}) == 36
    assert all(0 < float(dot.get("cx", "0")) < svg.WIDTH for dot in dots)


def test_left_of_the_line_is_drawn_left_and_triangles_point_to_the_side() -> None:
    root = tree.fromstring(svg.grid([Spot(0.0, 30.0, 5.5, 4), Spot(4.0, 30.0, -4.5, 4)], [], "T", "D"))
    right, left = [
        [tuple(map(float, pair.split(","))) for pair in shape.get("points", "").split()] for shape in root.findall(f"{SVG}polygon")
    ]
    assert right[2][0] > right[0][0]
    assert left[2][0] < left[0][0]
    assert {text.text for text in root.findall(f"{SVG}text")} >= {"5.5 R", "4.5 L"}


def test_words_are_escaped_and_nothing_but_black_white_and_shade_is_used() -> None:
    picture = svg.strips([Strip('<b>&"', ((0.0, 1),))], '<i>"', "a & b", name="x")
    tree.fromstring(picture)
    assert "<b>" not in picture
    assert set(re.findall(r"#[0-9a-f]+", picture)) == {"#000", "#fff"}


def test_helpers_bin_reach_and_thin() -> None:
    assert binned([0.4, -0.4, 1.6, 1.4]) == ((0.0, 2), (1.0, 1), (2.0, 1))
    assert (reach([], 8.0), reach([3.0, -11.2, math.inf], 8.0)) == (8.0, 12.0)
    assert thinned(["a"] * 3, 6) == [0, 1, 2]
    assert len(thinned(["a"] * 1000, 6)) <= 7
    assert thinned(["a"] * 1000, 6)[-1] == 999


def test_labels_take_a_decimal_comma_and_places_do_not() -> None:
    spots = [Spot(1.5, 37.5, -2.5, 9)]
    point, comma = (svg.grid(spots, [], "T 2.5", "D", comma=comma) for comma in (False, True))
    texts = [[each.text for each in tree.fromstring(picture).iter(f"{SVG}text")] for picture in (point, comma)]
    assert {"37.5", "2.5 L"} <= set(texts[0])
    assert texts[1] == [text.replace(".", ",") for text in texts[0]]
    assert re.findall(r' [xy]="([^"]*)"', point) == re.findall(r' [xy]="([^"]*)"', comma)
