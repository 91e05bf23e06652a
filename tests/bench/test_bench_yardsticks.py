"""The yardsticks stand in the order that theory gives them, and the figures of the tables are counted rightly."""

import numpy as np
import pytest

from tests.bench.players import LEFT_HANDED, STANDARD, draw
from tests.bench.resampling import mean_and_error, ratio_and_error, share_and_error
from tests.bench.runs import BY_HAND, ORACLE, YARDSTICKS, Job, play_one_lever
from tests.bench.tables import bias_table, calibration_table, coverage_table, reach_table, verdict_table
from tests.bench.yardsticks import ByHand, ClassOracle, MinimumEntropy, Oracle, UpAndDown, play

SEED = 2


def mean_left(name: str, players: int = 50) -> np.ndarray:
    """Mean |bias| per ball over seeded players."""
    chosen = [draw(STANDARD, SEED, number) for number in range(players)]
    return np.asarray(np.mean([play(YARDSTICKS[name](player), player, 40) for player in chosen], axis=0))


def test_the_oracle_beats_bracketing_by_hand() -> None:
    """On 50 seeded players, after 10, 20 and 40 balls."""
    oracle, by_hand = mean_left(ORACLE), mean_left(BY_HAND)
    assert all(oracle[n - 1] < by_hand[n - 1] for n in (10, 20, 40))


def test_reading_classes_costs_the_oracle_little() -> None:
    """Five classes carry about 86 % of what degrees would at a spread of 3 deg, so the |bias| grows by less than a sixth."""
    degrees, classes = mean_left(ORACLE, 200), mean_left("oracle that reads classes", 200)
    assert 1.0 < classes[19:40].mean() / degrees[19:40].mean() < 1.17


@pytest.mark.parametrize("name", list(YARDSTICKS))
def test_every_yardstick_learns(name: str) -> None:
    """It stands nearer to the line after 40 balls than after 4."""
    left = mean_left(name)
    assert left[39] < 0.75 * left[3]


def test_the_oracles_spread_of_error_is_what_it_believes() -> None:
    """Squared error of the oracle over its own variance is one on average: the filter is neither sure nor shy."""
    ratios = []
    for number in range(300):
        player = draw(STANDARD, SEED, number)
        oracle = Oracle(player)
        play(oracle, player, 30)
        off = oracle.mean - player.open_bias_deg(0.0, 30.0, 0, 29)
        ratios.append(off * off / oracle.variance)
    assert np.mean(ratios) == pytest.approx(1.0, abs=0.3)


@pytest.mark.parametrize(
    "make", [Oracle, ClassOracle, lambda player: ByHand(), lambda player: UpAndDown(), lambda player: MinimumEntropy()]
)
def test_a_left_hander_scores_as_his_mirror(make: object) -> None:
    """The mirrored player leaves exactly the same |bias|."""
    for number in range(5):
        right, left = draw(STANDARD, SEED, number), draw(LEFT_HANDED, SEED, number)
        assert play(make(left), left, 40) == play(make(right), right, 40)  # type: ignore[operator]


def test_bracketing_by_hand_halves_its_step_at_each_change_of_side() -> None:
    """Open, open, closed, on line, open: steps 1, 1, back 1/2, none, 1/4."""
    method = ByHand(start=0.0)
    bows = []
    for side in (1, 2, -1, 0, 1):
        method.learn(0.0, side)
        bows.append(method.bow)
    assert bows == [1.0, 2.0, 1.5, 1.5, 1.75]


def test_no_method_leaves_the_bow_scale() -> None:
    """A player whose balls all start far open sends every method to the end of the scale and no further."""
    for method in (ByHand(), UpAndDown(), MinimumEntropy()):
        for _ in range(30):
            method.learn(20.0, 2)
            assert -2.0 <= method.bow <= 5.0
            assert -2.0 <= method.recommended <= 5.0
        assert method.bow == 5.0


def test_a_ratio_of_paired_means_has_the_error_of_its_pairs() -> None:
    """Where one method leaves exactly twice what the other does, the ratio is 2 without error."""
    left = np.random.default_rng(0).exponential(size=200)
    assert ratio_and_error(2 * left, left) == pytest.approx((2.0, 0.0), abs=1e-12)
    other = np.random.default_rng(1).exponential(size=200)
    # delta method for a ratio of independent means of exponentials
    assert ratio_and_error(other, left)[1] == pytest.approx(np.sqrt(2 / 200), rel=0.25)


def test_errors_of_means_and_shares() -> None:
    """Textbook standard errors; none where nothing was counted."""
    assert mean_and_error([1.0, 3.0]) == pytest.approx((2.0, 1.0))
    assert share_and_error(20, 100) == pytest.approx((0.2, 0.04))
    assert np.isnan(share_and_error(0, 0)).all()


def test_the_tables_come_out_of_a_few_players() -> None:
    """Two players: every table has its rows, and a mirrored left-hander leaves the same |bias|."""
    asked = {"balls": 40, "verdicts": True, "ask_at": (3, 12)}
    right = [play_one_lever(Job(STANDARD, number, SEED, **asked)) for number in range(2)]  # type: ignore[arg-type]
    left = play_one_lever(Job(LEFT_HANDED, 0, SEED, balls=12))
    assert left.engine.left_deg == pytest.approx(right[0].engine.left_deg[:12], abs=1e-9)
    assert left.engine.bows == right[0].engine.bows[:12]
    tables = [bias_table(right, "players"), reach_table(right), verdict_table(right), calibration_table(right), coverage_table(right)]
    assert [table.row_count for table in tables] == [7, 7, 4, 6, 3]
