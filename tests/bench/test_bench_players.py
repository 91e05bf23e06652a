"""The simulated players are what they are said to be."""

import math
from dataclasses import replace

import numpy as np
import pytest

from tests.bench.players import FIRST_GRIP, LEFT_HANDED, MISJUDGED_EDGES, STANDARD, STEADY, TWO_LEVERS, draw

SEED = 1


def test_the_same_number_is_the_same_player_whatever_is_asked_of_him() -> None:
    """Parameters and the first balls do not change when more sessions or balls are drawn."""
    short, long = draw(STANDARD, SEED, 7, sessions=1, balls=10), draw(STANDARD, SEED, 7, sessions=3, balls=60)
    assert (short.slope_deg, short.spread_deg, short.crossing) == (long.slope_deg, long.spread_deg, long.crossing)
    assert short.line[0] == pytest.approx(long.line[0, :10])
    assert short.error[0] == pytest.approx(long.error[0, :10])


def test_spread_slope_drift_and_wild_balls_have_the_stated_middle() -> None:
    """Medians of 2.8 deg and 2.6 deg a notch, drift steps of 0.08 deg, 4 % wild, within four standard errors over 800 players."""
    players = [draw(STANDARD, SEED, number) for number in range(800)]
    logs = np.log([[player.spread_deg, player.slope_deg] for player in players])
    assert np.exp(np.median(logs[:, 0])) == pytest.approx(2.8, rel=0.07)
    assert np.exp(np.median(logs[:, 1])) == pytest.approx(2.6, rel=0.08)
    steps = np.concatenate([np.diff(player.line[0]) for player in players])
    assert steps.std() == pytest.approx(0.08, rel=0.02)
    wild = np.concatenate([player.wild[0] for player in players])
    assert wild.mean() == pytest.approx(0.04, abs=0.004)


def test_a_crossing_ball_has_no_bias_and_more_bow_starts_it_to_the_closed_side() -> None:
    """At the crossing of the moment the bias is nil; a notch more closes by the player's slope, ten degrees stronger by his grip slope."""
    player = draw(TWO_LEVERS, SEED, 3, sessions=2)
    at = player.crossing_now(45.0, 1, 30)
    assert player.bias_deg(at, 45.0, 1, 30) == pytest.approx(0.0, abs=1e-12)
    assert player.bias_deg(at + 1, 45.0, 1, 30) == pytest.approx(-player.slope_deg)
    assert player.bias_deg(at, 55.0, 1, 30) == pytest.approx(-player.grip_slope_deg)


def test_a_left_hander_is_the_mirror_of_the_right_hander_with_his_number() -> None:
    """Starts change sign, classes change sides, shares stay."""
    right, left = draw(STANDARD, SEED, 5), draw(LEFT_HANDED, SEED, 5)
    mirror = {"far left": "far right", "left": "right", "on line": "on line", "right": "left", "far right": "far left"}
    for ball in range(60):
        at = (float(ball % 5), FIRST_GRIP, 0, ball)
        assert left.start_deg(*at) == -right.start_deg(*at)
        assert left.side(*at) == mirror[right.side(*at)]
        assert left.share(*at) == right.share(*at)


def test_the_true_share_is_what_balls_do() -> None:
    """A ball's chance of starting inside the window equals the share of many players' balls that do."""
    hits, expected = 0, 0.0
    players = [draw(STANDARD, SEED, number) for number in range(150)]
    for player in players:
        for ball in range(60):
            hits += abs(player.start_deg(2.0, FIRST_GRIP, 0, ball)) <= 2.0
            expected += player.share(2.0, FIRST_GRIP, 0, ball)
    assert hits == pytest.approx(expected, abs=4 * math.sqrt(expected))


def test_the_best_share_is_at_the_best_grip_where_the_spread_grows() -> None:
    """The grip with the least spread can be reached, and no setting on the scale beats starting on line there."""
    for number in range(20):
        player = draw(TWO_LEVERS, SEED, number)
        bow = player.crossing_now(player.best_grip, 0, 0)
        assert -2.0 <= bow <= 5.0
        assert player.share(bow, player.best_grip, 0, 0) >= player.best_share(0, 0) - 1e-12
        assert player.best_share(0, 0) >= player.best_share(0, 0, FIRST_GRIP)


def test_a_misjudging_eye_keeps_its_edges_and_their_order() -> None:
    """Edges differ between players, stay in order, and are the true ones for a good eye."""
    eyes = {draw(MISJUDGED_EDGES, SEED, number).edges for number in range(20)}
    assert len(eyes) == 20
    assert all(edges == tuple(sorted(edges)) for edges in eyes)
    assert draw(STANDARD, SEED, 0).edges == (-6.0, -2.0, 2.0, 6.0)


def test_the_steady_player_does_not_drift() -> None:
    """Spread and slope lie in their stated ranges, and the line holds still."""
    for number in range(30):
        player = draw(STEADY, SEED, number)
        assert 2.0 <= player.spread_deg <= 5.0
        assert 1.0 <= player.slope_deg <= 5.0
        assert not player.line[0].any()


def test_a_later_day_shifts_the_line_by_its_stated_deviation() -> None:
    """Over 400 players the second day lies 1.5 deg SD from the first."""
    calm = replace(STANDARD, drift_deg=0.0)
    shifts = [draw(calm, SEED, number, sessions=2, balls=2).line[1, 0] for number in range(400)]
    assert np.std(shifts) == pytest.approx(1.5, rel=0.15)
