"""What fits at which size."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.tui.draw import large
from rangelog.tui.plan import plan


@given(st.integers(0, 300), st.integers(0, 120), st.booleans())
def test_a_plan_never_asks_for_more_rows_than_there_are(columns: int, lines: int, notice: bool) -> None:
    made = plan(columns, lines, notice)
    assert made.plain or made.rows + notice <= lines


@given(st.integers(41, 300), st.integers(13, 120))
def test_beyond_forty_by_twelve_the_three_are_large(columns: int, lines: int) -> None:
    made = plan(columns, lines)
    assert not made.plain
    assert large.rows(made.tall) >= 3
    assert large.rows(made.hint_tall) >= 3


@pytest.mark.parametrize(("columns", "lines"), [(40, 12), (39, 24), (80, 11), (1, 1), (0, 0)])
def test_up_to_that_one_plain_line(columns: int, lines: int) -> None:
    assert plan(columns, lines).plain


def test_the_design_sizes_show_everything() -> None:
    for columns, lines in ((80, 24), (60, 18), (120, 40), (200, 60)):
        made = plan(columns, lines)
        assert made.header
        assert made.footer
        assert made.echo
        assert made.deep
        assert made.beside


def test_large_terminals_are_used() -> None:
    assert plan(80, 24).tall == 2
    assert plan(120, 40).tall == 3
    assert plan(200, 60).tall == 5


@given(st.integers(60, 250), st.integers(18, 100), st.booleans())
def test_large_letters_are_at_least_as_large_and_fit(columns: int, lines: int, notice: bool) -> None:
    usual, huge = plan(columns, lines, notice), plan(columns, lines, notice, large_letters=True)
    assert huge.tall + huge.hint_tall >= usual.tall + usual.hint_tall
    assert huge.rows + notice <= lines


@pytest.mark.parametrize(("columns", "lines"), [(60, 18), (80, 24), (120, 40), (200, 60)])
def test_large_letters_take_the_room_of_the_picture(columns: int, lines: int) -> None:
    usual, huge = plan(columns, lines), plan(columns, lines, large_letters=True)
    assert huge.deep == 0
    assert huge.tall > usual.tall
    assert huge.hint_tall > usual.hint_tall


def test_a_standing_notice_costs_no_large_letter_at_eighty_by_twenty_four() -> None:
    assert plan(80, 24, notice=True).hint_tall == plan(80, 24).hint_tall


@given(st.integers(60, 250), st.integers(12, 100))
def test_the_longest_side_fits_beside_the_setup(columns: int, lines: int) -> None:
    made = plan(columns, lines)
    assert large.width("FAR RIGHT", max(made.tall - 1, 1)) <= made.last_columns
