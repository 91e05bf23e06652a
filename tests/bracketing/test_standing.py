"""Where the next ball is hit, copies, and starts known between two directions."""

import math

import pytest

from rangelog.bracketing import Bracket
from rangelog.core.errors import OffScale

STARTS = ((0.0, 6.0), (0.0, 4.5), (4.0, -3.0), (4.0, -6.5))


def taught() -> Bracket:
    bracket = Bracket()
    for bow, start in STARTS:
        bracket.add(bow=bow, grip=30.0, start=start, session="one")
    return bracket


def test_a_copy_answers_the_same_and_goes_its_own_way() -> None:
    bracket = taught()
    twin = bracket.copy()
    before = bracket.crossing(30.0)
    assert twin.crossing(30.0) == before
    twin.add(bow=4.0, grip=30.0, start="far left", session="one")
    assert twin.crossing(30.0) != before
    assert bracket.crossing(30.0) == before


def test_a_pair_that_spans_a_class_is_the_class() -> None:
    by_word, by_pair = taught(), taught()
    by_word.add(bow=2.0, grip=30.0, start="right", session="one")
    by_pair.add(bow=2.0, grip=30.0, start=(2.0, 6.0), session="one")
    assert by_pair.bias(2.0, 30.0) == by_word.bias(2.0, 30.0)
    by_pair.add(bow=2.0, grip=30.0, start=(6.0, math.inf), session="one")
    with pytest.raises(OffScale):
        by_pair.add(bow=2.0, grip=30.0, start=(6.0, 2.0), session="one")


def test_a_new_session_is_less_sure_of_the_line_before_its_first_ball() -> None:
    bracket = taught()
    today = bracket.bias(2.0, 30.0)
    bracket.stand(session="two")
    assert bracket.bias(2.0, 30.0).sd > today.sd
    assert bracket.bias(2.0, 30.0).mean == pytest.approx(today.mean, abs=1.0)


def test_another_stick_state_is_its_own_answer() -> None:
    bracket = taught()
    on = bracket.bias(2.0, 30.0)
    bracket.stand(session="one", stick=False)
    assert bracket.bias(2.0, 30.0).sd > on.sd
