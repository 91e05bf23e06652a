"""The facts behind the hints on sign, drift, aim, brackets and reach."""

import random

import pytest
from bracketing_players import hit, story_extremes, word

from rangelog.bracketing import Bracket


def test_story_aim() -> None:
    """Bows -1..3, four balls each, means 7.4 .. 4.6: slope -0.64, crossing 10.4, off the scale (common practice, no source)."""
    bracket = Bracket()
    for bow, mean in zip((-1, 0, 1, 2, 3), (7.4, 6.4, 6.0, 5.6, 4.6), strict=True):
        for off in (-2.0, -0.5, 0.5, 2.0):
            bracket.add(bow=bow, grip=30, start=mean + off, session="mon")
    found = bracket.diagnosis()
    assert found.bow_deg_per_notch.mean == pytest.approx(-0.64, abs=0.15)
    assert found.outside > 0.95
    assert found.levels == (-1.0, 0.0, 1.0, 2.0, 3.0)
    assert bracket.crossing(30).bow == 5
    assert bracket.crossing(30).high > 5
    assert found.wrong_sign < 0.05


def test_a_wrong_sign_is_reported() -> None:
    """Balls that open with more bow overrule the prior: the sign is said to be wrong with near certainty."""
    bracket = Bracket()
    hit(bracket, [0, 1, 2, 3, 4] * 6, seed=1, level=-4.0, slope=2.0)
    found = bracket.diagnosis()
    assert found.wrong_sign > 0.99
    assert found.bow_deg_per_notch.mean > 1
    left = Bracket(hand="left")
    hit(left, [0, 1, 2, 3, 4] * 6, seed=1, level=4.0, slope=-2.0)
    assert left.diagnosis().wrong_sign > 0.99
    assert left.diagnosis().bow_deg_per_notch.mean < -1


def test_the_usual_sign_is_not_reported() -> None:
    """A player whose bow closes the start is not told otherwise."""
    bracket = Bracket()
    story_extremes(bracket)
    assert bracket.diagnosis().wrong_sign < 0.01


def test_levers_in_step_cannot_be_separated() -> None:
    """Grip and bow moved together are locked, and the effect of the grip stays as open as the prior left it."""
    bracket = Bracket()
    draw = random.Random(2)
    for place in range(20):
        step = place % 4
        bracket.add(bow=step, grip=15 + 15 * step, start=word(8 - 5 * step + 2.5 * draw.gauss(0, 1)), session="mon")
    found = bracket.diagnosis()
    assert found.locked
    assert not found.bow_moved
    assert not found.grip_moved
    assert found.grip_deg_per_ten.sd > 0.4 * Bracket().diagnosis().grip_deg_per_ten.sd


def test_one_lever_alone_is_not_locked() -> None:
    """Moving bow with the grip held separates bow, says nothing of grip, and is no lock-step."""
    bracket = Bracket()
    story_extremes(bracket)
    found = bracket.diagnosis()
    assert (found.bow_moved, found.grip_moved, found.locked) == (True, False, False)
    assert found.grip_deg_per_ten.sd == pytest.approx(Bracket().diagnosis().grip_deg_per_ten.sd)


@pytest.mark.parametrize(("jump", "seen"), [(7.0, True), (0.0, False)])
def test_a_jump_of_the_line_is_seen_and_none_is_invented(jump: float, seen: bool) -> None:
    """Forty balls of which the later half start 7 deg elsewhere: drift beyond 3 deg is all but sure; without the jump it is not."""
    bracket = Bracket()
    draw = random.Random(3)
    for place in range(40):
        bow = (0, 2, 4)[place % 3]
        bracket.add(bow=bow, grip=30, start=5.2 - 2.6 * bow + 2.0 * draw.gauss(0, 1) - (jump if place >= 20 else 0), session="mon")
    found = bracket.diagnosis()
    assert (found.drift_beyond > 0.95) is seen
    if seen:
        assert found.drift_deg.mean == pytest.approx(-jump, abs=2.5)


def test_the_prior_is_named_until_the_balls_carry_the_answer() -> None:
    """One bow only leaves the slope to the prior; a closed bracket does not."""
    one_bow, closed = Bracket(), Bracket()
    hit(one_bow, [1] * 8, seed=4)
    story_extremes(closed)
    assert one_bow.diagnosis().prior_carries
    assert not closed.diagnosis().prior_carries
