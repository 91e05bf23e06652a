"""One press, one ball."""

import pytest

from rangelog.tui.bounce import WAIT_S, BounceGuard


def test_a_first_press_stands_for_itself() -> None:
    assert BounceGuard().fresh("d", 0.0)


@pytest.mark.parametrize(("gap_s", "fresh"), [(0.01, False), (WAIT_S, False), (WAIT_S + 0.01, True), (5.0, True)])
def test_the_same_key_within_the_wait_is_a_bounce(gap_s: float, fresh: bool) -> None:
    guard = BounceGuard()
    guard.fresh("d", 10.0)
    assert guard.fresh("d", 10.0 + gap_s) is fresh


def test_each_repeat_renews_the_wait_so_that_a_held_key_stays_one_press() -> None:
    guard = BounceGuard()
    presses = [guard.fresh("d", at / 30) for at in range(300)]
    assert presses == [True] + [False] * 299


def test_another_key_between_makes_the_next_press_fresh() -> None:
    guard = BounceGuard()
    guard.fresh("d", 0.0)
    guard.fresh("j", 0.1)
    assert guard.fresh("d", 0.2)


def test_a_clock_that_jumps_back_does_not_swallow_a_ball() -> None:
    guard = BounceGuard()
    guard.fresh("d", 100.0)
    assert guard.fresh("d", 3.0)
