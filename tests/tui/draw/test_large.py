"""Letters readable from two metres."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.words import Side
from rangelog.tui.draw import large

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-+.%/ "


def test_every_letter_is_five_dots_high_and_even() -> None:
    for character, rows in large.GLYPHS.items():
        assert len(rows) == large.HEIGHT, character
        assert len({len(row) for row in rows}) == 1, character


def test_no_two_letters_or_digits_look_alike() -> None:
    drawn = [large.GLYPHS[character] for character in LETTERS]
    assert len(set(drawn)) == len(drawn)


@given(st.text(LETTERS, min_size=1, max_size=12), st.integers(1, 5), st.integers(1, 5))
def test_a_drawing_has_the_size_it_says(text: str, across: int, tall: int) -> None:
    lines = large.draw(text, across, tall)
    assert len(lines) == large.rows(tall)
    assert {len(line) for line in lines} == {large.width(text, across)}


def test_the_digit_two_is_drawn_as_a_two() -> None:
    assert large.draw("2") == ["▀▀█", "█▀▀", "▀▀▀"]


def test_a_half_notch_stands_smaller_behind_its_whole_part() -> None:
    lines = large.draw_number("2.5", 2, 2)
    assert len(lines) == large.rows(2)
    assert lines[0].rstrip() == large.draw("2", 2, 2)[0]
    assert len(lines[0]) == large.number_width("2.5", 2, 2) < large.width("2.5", 2)


@pytest.mark.parametrize("columns", [20, 33, 60, 120])
def test_what_is_fitted_fits(columns: int) -> None:
    lines, text = large.fit(["FAR RIGHT", "RIGHT"], columns)
    assert text
    assert all(len(line) <= columns for line in lines)


def test_where_nothing_fits_nothing_is_drawn() -> None:
    assert large.fit(["FAR RIGHT"], 5) == ([], "")


def test_every_side_is_told_apart_by_its_letters_alone() -> None:
    assert len({tuple(large.draw(side.upper())) for side in Side}) == len(Side)
