"""A ball that comes in is checked by the very rules by which the book reads and writes balls."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.store import ball_rows, intake_ball
from tests.store.makers import ball, full_ball

WORDS = ("", "right", "low", "solid", "mat", "half", "shank", "curved left", "interrupted", "yesterday", "\0", "\ud800")
NUMBERS = (0, 1, 2, -1, 7, 0.5, 0.25, 90.0, 46.0, float("inf"))
ODD: st.SearchStrategy[Any] = st.sampled_from([None, True, False, [], {}, "2026-05-04T17:00:00+02:00", *WORDS, *NUMBERS])

LINKS = ("block_id", "prescription_id", "club_id")
"""What a ball belongs to: the rules take it from our own hands, what comes in is looked at."""


def by_the_rules(values: tuple[Any, ...]) -> tuple[Any, ...]:
    return ball_rows.row(ball_rows.ball(values))


@given(full=st.booleans(), changes=st.dictionaries(st.sampled_from(range(len(ball_rows.COLUMNS))), ODD, max_size=3))
def test_what_is_let_in_is_what_the_rules_would_write(full: bool, changes: dict[int, Any]) -> None:
    values = list(ball_rows.row(full_ball(4) if full else ball(4)))
    for place, value in changes.items():
        values[place] = value
    links = [values[ball_rows.COLUMNS.index(column)] for column in LINKS]
    try:
        if any(link is not None and not isinstance(link, str) for link in links):
            raise TypeError
        wanted = by_the_rules(tuple(values))
    except (ValueError, TypeError):
        with pytest.raises((ValueError, TypeError)):
            intake_ball.checked(tuple(values))
        return
    found = intake_ball.checked(tuple(values))
    assert found == wanted
    assert [type(cell) for cell in found] == [type(cell) for cell in wanted]


@pytest.mark.parametrize("column", LINKS)
def test_what_a_ball_belongs_to_is_named_by_text(column: str) -> None:
    values = list(ball_rows.row(full_ball(4)))
    values[ball_rows.COLUMNS.index(column)] = 5
    with pytest.raises(ValueError, match=column):
        intake_ball.checked(tuple(values))
