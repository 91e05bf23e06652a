"""The bracket as a picture."""

from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.results import Crossing
from rangelog.core.words import Side
from rangelog.logbook.view import Mark, Picture
from rangelog.tui.draw import bracket
from rangelog.tui.draw.bracket import BALL, LATEST, NOT_COUNTED, Ends, draw, ends

BOWS = st.integers(-4, 10).map(lambda half: half / 2)
MARKS = st.lists(st.builds(Mark, bow=BOWS, side=st.sampled_from(Side), counted=st.booleans(), last=st.booleans()), max_size=60).map(tuple)
CROSSINGS = st.one_of(
    st.none(),
    st.builds(
        lambda low, size, at: Crossing(min(max(low + at * size, -2), 5), low, low + size),
        st.floats(-60, 60),
        st.floats(0, 60),
        st.floats(0, 1),
    ),
    st.just(Crossing(1.0, float("-inf"), float("inf"))),
)


def text(lines: list[bracket.Line]) -> list[str]:
    return ["".join(piece for piece, _ in line) for line in lines]


def marks(*pairs: tuple[float, Side]) -> tuple[Mark, ...]:
    return tuple(Mark(bow, side) for bow, side in pairs)


@given(MARKS, CROSSINGS, st.integers(0, 260), st.integers(1, 5))
def test_a_picture_never_breaks_and_never_leaves_its_columns(
    balls: tuple[Mark, ...], crossing: Crossing | None, columns: int, deep: int
) -> None:
    lines = text(draw(Picture(balls, crossing), columns, deep))
    assert not lines or len(lines) == 5 * deep + 2
    assert all(len(line.rstrip()) <= columns for line in lines)


@given(MARKS, st.integers(40, 200))
def test_every_ball_is_seen_or_counted_in_its_row(balls: tuple[Mark, ...], columns: int) -> None:
    lines = text(draw(Picture(balls), columns, 1))
    for side, line in zip(Side, lines, strict=False):
        assert any(mark.side is side for mark in balls) == any(shape in line for shape in (BALL, LATEST, NOT_COUNTED, "✕"))


def test_a_ball_stands_at_its_bow_and_side() -> None:
    lines = text(draw(Picture((Mark(2.0, Side.RIGHT, last=True),)), 76))
    axis = lines[5]
    assert lines[3].index(LATEST) == axis.index("2", axis.index("1"))
    assert "right" in lines[3]


def test_balls_that_do_not_count_have_another_shape() -> None:
    line = text(draw(Picture((Mark(0.0, Side.LEFT), Mark(1.0, Side.LEFT, counted=False))), 76))[1]
    assert line.index(BALL) < line.index(NOT_COUNTED)


def test_a_crowd_is_counted() -> None:
    lines = text(draw(Picture(tuple(Mark(0.0, Side.LEFT) for _ in range(12))), 76))
    assert f"{BALL}12" in lines[1]


def test_the_closest_pair_on_opposite_sides_is_the_bracket() -> None:
    balls = marks((0, Side.RIGHT), (1, Side.RIGHT), (3, Side.LEFT), (4, Side.FAR_LEFT))
    assert ends(balls) == Ends(1, 3, "right", "left")


def test_balls_on_line_and_balls_left_out_close_nothing() -> None:
    balls = (Mark(0, Side.RIGHT), Mark(2, Side.ON_LINE), Mark(3, Side.LEFT, counted=False), Mark(4, Side.LEFT))
    assert ends(balls) == Ends(0, 4, "right", "left")


def test_one_side_alone_is_no_bracket() -> None:
    assert ends(marks((0, Side.RIGHT), (4, Side.RIGHT))) is None


def test_a_left_hander_sees_the_same_picture_with_the_words_changed_over() -> None:
    right = text(draw(Picture(marks((0, Side.RIGHT), (4, Side.LEFT)), Crossing(2.2, 1.8, 2.6)), 76))[6]
    left = text(draw(Picture(marks((0, Side.LEFT), (4, Side.RIGHT)), Crossing(2.2, 1.8, 2.6)), 76))[6]
    assert right.replace("right", "*").replace("left", "+").count("*") == left.count("left")
    assert right.index("[") == left.index("[")


def test_the_band_lies_between_the_two_sides() -> None:
    line = text(draw(Picture(marks((0, Side.RIGHT), (4, Side.LEFT)), Crossing(2.2, 1.8, 2.6)), 76))[6]
    assert (
        line.index("right") < line.index("▶") < line.index("[") < line.index("┃") < line.index("]") < line.index("◀") < line.index("left")
    )


def test_a_crossing_nobody_knows_is_not_drawn() -> None:
    lines = text(draw(Picture((), Crossing(1.0, float("-inf"), float("inf"))), 76))
    assert not any("┃" in line or "│" in line for line in lines)


def test_bows_that_hints_may_not_use_are_marked_on_the_axis() -> None:
    axis = text(draw(Picture(bow_range=(0.0, 3.0)), 76))[5]
    assert axis.split() == ["bow", "–", "–", "0", "1", "2", "3", "–", "–"]


def test_the_picture_in_words() -> None:
    said = bracket.said(Picture(marks((0, Side.RIGHT), (4, Side.LEFT)), Crossing(2.2, 1.8, 2.6)))
    assert said == "Bow 0 starts right, bow 4 starts left. Crosses the line near bow 2.2, plus or minus 0.4."
