"""A session longer than a stretch: its older balls are settled once, and that changes no answer worth the name."""

import numpy as np
import pytest

from rangelog.bracketing import Bracket, chain

GRIPS = (15.0, 30.0, 45.0)
BALLS = 170


def hit(bracket: Bracket, seed: int, balls: int, grips: tuple[float, ...] = (30.0,), jump_at: int = 10**6) -> None:
    """Balls of an invented player: crossing at bow 2 with grip 30, 2.6 deg a notch, spread 2.8 deg; jumps 5 deg open at a ball."""
    rng = np.random.default_rng(seed)
    for number in range(balls):
        bow, grip = float(rng.integers(0, 5)), float(rng.choice(grips))
        mean = 2.6 * (2.0 - bow) - 0.4 * (grip - 30.0) + (5.0 if number >= jump_at else 0.0)
        start = mean + rng.normal() * (10.0 if rng.random() < 0.04 else 2.8)
        bracket.add(bow=bow, grip=grip, start=float(np.clip(start, -45.0, 45.0)) if number % 3 == 0 else side(start), session="a")


def side(start: float) -> str:
    return ("far left", "left", "on line", "right", "far right")[int(np.searchsorted([-6.0, -2.0, 2.0, 6.0], start))]


def answers(bracket: Bracket) -> tuple[float, ...]:
    seen, crossing, bias = bracket.diagnosis(), bracket.crossing(30.0), bracket.bias(2.0, 30.0)
    slope = seen.bow_deg_per_notch
    return (crossing.bow, crossing.low, crossing.high, bias.mean, bias.sd, slope.mean, slope.sd, seen.spread_deg.mean, seen.drift_deg.mean)


@pytest.mark.parametrize("grips", [(30.0,), GRIPS])
def test_settling_older_balls_moves_no_answer_by_a_twentieth_of_its_own_uncertainty(
    grips: tuple[float, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Against one fit of all balls of the session together."""
    stretched, whole = Bracket(), Bracket()
    for bracket in (stretched, whole):
        hit(bracket, 11, BALLS, grips)
    found = answers(stretched)
    monkeypatch.setattr(chain, "STRETCH", 10 * BALLS)
    expected = answers(whole)
    bias_sd, slope_sd = expected[4], expected[6]
    allowed = 0.05 * np.array([*[bias_sd] * 5, slope_sd, slope_sd, 0.2, 1.0])
    assert found != expected, "the session is long enough to be settled in part"
    assert np.all(np.abs(np.subtract(found, expected)) < allowed)


def test_a_move_of_the_line_long_ago_is_still_counted_from_the_first_ball(monkeypatch: pytest.MonkeyPatch) -> None:
    stretched, whole = Bracket(), Bracket()
    for bracket in (stretched, whole):
        hit(bracket, 12, BALLS, jump_at=20)
    found = stretched.diagnosis()
    monkeypatch.setattr(chain, "STRETCH", 10 * BALLS)
    expected = whole.diagnosis()
    assert found.drift_deg.mean == pytest.approx(expected.drift_deg.mean, abs=0.1)
    assert found.drift_deg.low > 0
    assert found.drift_beyond == pytest.approx(expected.drift_beyond, abs=0.03)


def test_answers_are_the_same_whether_asked_after_every_ball_or_at_the_end() -> None:
    asked, silent = Bracket(), Bracket()
    hit(silent, 13, 100)
    rng_balls = Bracket()
    hit(rng_balls, 13, 100)
    for ball in rng_balls._chains[""].sessions["a"]:
        asked.add(bow=ball.bow, grip=ball.grip, start=(ball.low, ball.high) if ball.low < ball.high else ball.low, session="a")
        asked.crossing(30.0)
    assert answers(asked) == answers(silent)


def test_a_copy_that_goes_its_own_way_learns_nothing_from_the_other() -> None:
    """Both keep what is settled in one place, and never take each other's."""
    first = Bracket()
    hit(first, 14, 50)
    second = first.copy()
    for bracket, seed in ((first, 15), (second, 16)):
        hit(bracket, seed, 80)
        answers(bracket)
    for bracket, seed in ((first, 15), (second, 16)):
        fresh = Bracket()
        hit(fresh, 14, 50)
        hit(fresh, seed, 80)
        assert answers(bracket) == answers(fresh)


def test_a_fit_reads_no_more_than_two_stretches_of_balls(monkeypatch: pytest.MonkeyPatch) -> None:
    """So a ball costs the same late in a session as early."""
    sizes: list[int] = []
    learn = chain.learn
    monkeypatch.setattr(chain, "learn", lambda start, stretch, *rest: sizes.append(len(stretch.times)) or learn(start, stretch, *rest))
    bracket = Bracket()
    for _ in range(20):
        hit(bracket, 17, 13)
        bracket.crossing(30.0)
    assert 30 < max(sizes) <= 2 * chain.STRETCH
    assert len(sizes) == 20
