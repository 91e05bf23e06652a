"""What is suggested: opening, patience, whole notches, closing in, and both levers."""

import random
from itertools import pairwise

import pytest
from bracketing_players import story_extremes, word

from rangelog.bracketing import Bracket


def follow(bracket: Bracket, balls: int, seed: int, crossing: float = 2.2) -> list[float]:
    """Bows suggested to a player who does as told."""
    draw = random.Random(seed)
    bows = []
    for _ in range(balls):
        setting = bracket.suggest(lever="bow", grip=30)
        bows.append(setting.bow)
        bracket.add(bow=setting.bow, grip=30, start=word(-2.6 * (setting.bow - crossing) + 2.8 * draw.gauss(0, 1)), session="mon")
    return bows


@pytest.mark.parametrize("seed", range(4))
def test_opens_wide_then_closes_in(seed: int) -> None:
    """The first balls span at least three notches, the last ten stay within two of the crossing."""
    bows = follow(Bracket(), 30, seed)
    assert max(bows[:8]) - min(bows[:8]) >= 3
    assert all(abs(bow - 2.2) <= 2 for bow in bows[-10:])


@pytest.mark.parametrize("seed", range(4))
def test_keeps_a_player_on_a_setting(seed: int) -> None:
    """Once the bracket is open a setting lasts two balls or more on average, and bows are whole notches."""
    bows = follow(Bracket(), 40, seed)
    later = bows[10:]
    changes = sum(one != two for one, two in pairwise(later))
    assert changes <= len(later) / 2
    assert all(bow % 0.5 == 0 for bow in bows)


def test_the_grip_lever_keeps_the_bow() -> None:
    """Lever grip moves grip only, by whole steps inside the range."""
    bracket = Bracket()
    for _ in range(10):
        setting = bracket.suggest(lever="grip", bow=1)
        assert setting.bow == 1
        assert setting.grip % 15 == 0
        bracket.add(bow=setting.bow, grip=setting.grip, start=word(6 - 0.4 * (setting.grip - 15)), session="mon")
    assert len({ball.grip for ball in bracket._chains[""].entering()}) > 1


def test_both_levers_leave_the_first_grip_once_its_line_is_known() -> None:
    """With the lever left to the log, other grips are tried within the first session, near their own crossings."""
    bracket = Bracket()
    draw = random.Random(1)
    grips = set()
    for _ in range(40):
        setting = bracket.suggest(lever=None)
        grips.add(setting.grip)
        start = 5.2 - 2.6 * setting.bow - 0.4 * (setting.grip - 30) + 2.5 * draw.gauss(0, 1)
        bracket.add(bow=setting.bow, grip=setting.grip, start=start, session="mon")
    assert len(grips) >= 2


def test_after_both_extremes_the_middle_is_tried() -> None:
    """Bracketed 0 to 4 with the crossing at 2.2: two is next."""
    bracket = Bracket()
    story_extremes(bracket)
    assert bracket.suggest(lever="bow", grip=30).bow == 2
