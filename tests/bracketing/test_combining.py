"""Combinations: share where it can be told apart, then strike, then distance from the ends."""

import random

from bracketing_players import word

from rangelog.bracketing import Bracket


def test_story_strike_decides_between_two_straight_combinations() -> None:
    """14 of 20 against 15 of 20 on line cannot be told apart; 18 against 10 of 20 solid can, and decides (common practice, no source)."""
    bracket = Bracket()
    for bow, grip, on_line, solid in ((2, 30, 14, 10), (1, 45, 15, 18)):
        for place in range(20):
            start = "on line" if place < on_line else ("left", "right")[place % 2]
            strike = "solid" if (place * 7) % 20 < solid else "thin"
            bracket.add(bow=bow, grip=grip, start=start, session="mon", strike=strike)
    first = bracket.combinations()[0]
    assert (first.bow, first.grip, first.n) == (1, 45, 20)
    assert "strike" in first.reason
    assert "cannot be told apart" in first.reason


def test_steadier_grip_wins_when_it_can_be_told_apart() -> None:
    """A grip with a third of the spread of the others comes first, and the others are said to be behind."""
    bracket = Bracket()
    draw = random.Random(1)
    for place in range(180):
        grip = (0, 30, 60)[place % 3]
        bow = 2 - (grip - 30) / 15
        spread = {0: 1.5, 30: 3.0, 60: 5.5}[grip]
        bracket.add(bow=bow, grip=grip, start=spread * draw.gauss(0, 1), session=str(place // 60))
    made = bracket.combinations()
    assert made[0].grip == 0
    assert made[0].share > 0.7
    assert next(c for c in made if c.grip == 60).reason.startswith("fewer on line")
    assert made[0].spread.low < 1.5 < made[0].spread.high


def test_alike_combinations_are_said_to_be_so() -> None:
    """After a few balls nothing is told apart, and that is the reason given."""
    bracket = Bracket()
    draw = random.Random(2)
    for place in range(12):
        bow = (0, 4, 2)[place % 3]
        bracket.add(bow=bow, grip=30, start=word(5 - 2.5 * bow + 2.8 * draw.gauss(0, 1)), session="mon")
    made = bracket.combinations()
    assert "cannot be told apart" in made[0].reason
    assert "cannot be told apart" in made[1].reason
    assert len({c.grip for c in made}) == len(made)


def test_a_combination_is_told_to_the_tenth_of_a_notch() -> None:
    """A line that crosses at 2.3, with no ball hit near there: neither 2 nor 2.5 is put in its place."""
    bracket = Bracket(grip_range=(30, 30))
    draw = random.Random(3)
    for place in range(80):
        bow = (0.0, 1.0, 3.5, 4.0)[place % 4]
        bracket.add(bow=bow, grip=30, start=3.0 * (2.3 - bow) + 1.2 * draw.gauss(0, 1), session="mon")
    (only,) = bracket.combinations()
    assert only.bow == round(only.bow, 1)
    assert abs(only.bow - bracket.crossing(30).bow) <= 0.1
    assert only.bow not in (2.0, 2.5)
