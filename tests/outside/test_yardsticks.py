"""The yardsticks of the benchmark reproduce the published runs of the methods they stand for."""

import numpy as np
import pytest
from questplus import QuestPlus  # type: ignore[import-untyped]
from scipy.special import ndtr

from tests.bench.placement import EntropyPlacement
from tests.bench.yardsticks import MinimumEntropy, Staircase, dixon_mood, spearman_karber

# Watson AB (2017), QUEST+, J Vision 17(3), 10, Example 1: stimuli placed and responses given (C correct, I incorrect).
_FIRST = "-18 -22 -25 -28 -30 -22 -13 -15 -16 -18 -19 -20 -21 -22 -23 -19 -20 -20 -18 -18 -19 -17 -17 -18 -18 -18 -19 -19 -19 -19 -19 -19"
WATSON_1_PLACED = [int(x) for x in _FIRST.split()]
WATSON_1_GIVEN = "CCCCIICCCCCCCCICCICCICCCCCCCCCCC"

# Watson AB (2017), Example 3.
_THIRD = (
    "0 -1 2 -2 2 3 3 -5 3 3 3 3 -7 -7 -7 -7 4 -7 4 4 4 -8 -8 -8 4 -8 4 -8 -7 4 -7 -7 4 -7 4 -7 -6 3 -4 -5 3 3 -7 2 2 1 0 -7 "
    "-6 -6 -6 2 -5 2 -6 -5 3 -5 -5 3 4 -5 -5 4 -4 -4 -4 -4 4 3 3 4 5 5 -5 5 -5 -5 4 5 5 -5 -4 -4 -4 -4 5 -4 -4 -3 4 4 5 5 -4 5 "
    "-4 -4 5 4 5 5 -5 5 -4 -4 -4 -4 5 -4 5 4 -4 4 -4 -4 -4 4 -4 -4 -4 4 4 -4 4 4 4 -4"
)
WATSON_3_PLACED = [int(x) for x in _THIRD.split()]
WATSON_3_GIVEN = (
    "CIICCCCCCCICIIIICCICCIIICICIICIICICIICICCCICCCIIIIICIIIICIIICIICIIICCCIICCICIIICCIIIIICIICCICCICICCICCICIIIICCCCICIIICIIIICCCCCI"
)


def replay(placement: EntropyPlacement, stimuli: list[float], given: str) -> list[float]:
    """Stimuli placed when the published responses come back (answer 0 = correct)."""
    placed = []
    for response in given:
        at = placement.place()
        placed.append(stimuli[at])
        placement.learn(at, 0 if response == "C" else 1)
    return placed


def test_minimum_entropy_repeats_all_32_placements_of_watsons_first_example() -> None:
    """One threshold, fixed slope, guess and lapse: the placements and the final mode -20 are the printed ones."""
    grid = np.arange(-40.0, 1.0)
    correct = 1 - 0.02 - 0.48 * np.exp(-(10.0 ** (3.5 * (grid[:, None] - grid[None, :]) / 20)))
    placement = EntropyPlacement(np.stack([correct, 1 - correct]))
    assert replay(placement, grid.tolist(), WATSON_1_GIVEN) == WATSON_1_PLACED
    assert grid[placement.mode()] == -20
    # mean and SD are recomputed, not printed in the paper
    assert placement.mean(grid) == pytest.approx(-20.3936, abs=5e-5)


def test_minimum_entropy_repeats_all_128_placements_of_watsons_third_example() -> None:
    """Mean, spread and lapse of a normal curve: placements and final mode (0, 4, 0.01) are the printed ones."""
    stimuli = np.arange(-10.0, 11.0)
    mean, sd, lapse = (g.ravel() for g in np.meshgrid(np.arange(-5.0, 6.0), np.arange(1.0, 11.0), np.arange(5) / 100, indexing="ij"))
    correct = lapse + (1 - 2 * lapse) * ndtr((stimuli[:, None] - mean) / sd)
    placement = EntropyPlacement(np.stack([correct, 1 - correct]))
    assert replay(placement, stimuli.tolist(), WATSON_3_GIVEN) == WATSON_3_PLACED
    best = placement.mode()
    assert (mean[best], sd[best], lapse[best]) == (0.0, 4.0, 0.01)
    # posterior mean is recomputed, not printed in the paper
    assert placement.mean(mean) == pytest.approx(-0.1021, abs=5e-5)


def test_minimum_entropy_places_like_a_general_library() -> None:
    """The same grid, the same seeded answers: the general library questplus asks for the same stimuli and ends at the same mean."""
    stimuli, thresholds = np.arange(-6.0, 7.0), np.arange(-5.0, 5.5, 0.5)
    library = QuestPlus(
        stim_domain={"intensity": stimuli},
        param_domain={"mean": thresholds, "sd": [1.0, 2.0, 4.0], "lower_asymptote": [0.02], "lapse_rate": [0.02]},
        outcome_domain={"response": ["below", "above"]},
        func="norm_cdf",
        stim_scale="linear",
    )
    mean, sd = (g.ravel() for g in np.meshgrid(thresholds, [1.0, 2.0, 4.0], indexing="ij"))
    below = 0.02 + 0.96 * ndtr((stimuli[:, None] - mean) / sd)
    placement = EntropyPlacement(np.stack([below, 1 - below]))
    rng = np.random.default_rng(11)
    for _ in range(25):
        entropies = placement.expected_entropy()
        asked = float(library.next_stim["intensity"])
        # where two stimuli promise the same to the last digits, either is right
        assert entropies[int(np.flatnonzero(stimuli == asked)[0])] == pytest.approx(entropies.min(), abs=1e-9)
        answer = "below" if rng.random() < ndtr((asked - 1.3) / 2.0) else "above"
        library.update(stim={"intensity": asked}, outcome={"response": answer})
        placement.learn(int(np.flatnonzero(stimuli == asked)[0]), 0 if answer == "below" else 1)
    assert placement.mean(mean) == pytest.approx(library.param_estimate["mean"], abs=1e-9)


def test_the_bench_yardstick_places_by_least_expected_entropy_of_its_posterior() -> None:
    """Entropy by the short form equals entropy taken the long way, posterior by posterior."""
    method = MinimumEntropy()
    for open_deg in (4.0, -1.0, 2.5):
        method.learn(open_deg, 0)
    placement = method._placement
    long_way = []
    for at in range(len(method.bows)):
        joint = placement.likelihood[:, at] * placement.posterior
        chance = joint.sum(axis=1)
        after = joint / chance[:, None]
        long_way.append(float(-(chance * (after * np.log(after)).sum(axis=1)).sum()))
    before = -(placement.posterior * np.log(placement.posterior)).sum()
    assert placement.expected_entropy() + before == pytest.approx(np.array(long_way), abs=1e-9)


def test_dixon_mood_gives_the_printed_fatigue_limit() -> None:
    """Ekaputra, Dewa, Haryadi & Kim (2020), Open Engineering 10, 394-400: 282 MPa and 10.6 MPa from 5 fractures and 7 survivals."""
    levels = [300.0] * 3 + [280.0] * 2 + [260.0] * 3 + [280.0] * 4
    fractured = [True] * 5 + [False] * 7
    assert dixon_mood(levels, fractured, 20.0) == pytest.approx((282.0, 10.6), abs=0.05)


def test_dixon_mood_on_drop_heights_lies_near_the_probit_estimate() -> None:
    """Hamada, Mang & Hoff (2019), Quality Engineering, Table 1; 1.52530 and 0.0827 are derived by the formula, not printed."""
    heights = [1.405 + 0.05 * step for step in (0, 1, 0, 1, 2, 3, 2, 3, 4, 3, 2, 1, 2, 1, 2, 1, 2, 3, 4, 3, 2, 3, 4, 3, 4)]
    ignited = [bool(int(y)) for y in "0100010011101010001100101"]
    mean, sd = dixon_mood(heights, ignited, 0.05)
    assert mean == pytest.approx(1.5253, abs=5e-4)
    assert sd == pytest.approx(0.0827, abs=5e-4)


def test_dixon_mood_does_not_depend_on_which_outcome_is_called_the_response() -> None:
    """Turning the scale and the outcome over turns the mean over and leaves the SD."""
    levels, responses = [1.0, 2.0, 1.0, 2.0, 3.0, 2.0, 3.0], [False, True, False, False, True, False, True]
    mean, sd = dixon_mood(levels, responses, 1.0)
    turned, turned_sd = dixon_mood([-level for level in levels], [not r for r in responses], 1.0)
    assert (turned, turned_sd) == pytest.approx((-mean, sd))


def test_spearman_karber_gives_the_printed_mean() -> None:
    """Documentation of the R package skrmdb: 0, 3, 5, 8, 10, 10 of 10 at 1..6 give 2.9."""
    assert spearman_karber([1, 2, 3, 4, 5, 6], [0, 3, 5, 8, 10, 10], [10] * 6) == pytest.approx(2.9)


def test_spearman_karber_refuses_shares_that_do_not_span_none_to_all() -> None:
    """The formula is undefined where the ends are not reached."""
    with pytest.raises(ValueError, match="from 0 to 1"):
        spearman_karber([1, 2], [1, 2], [2, 2])


def test_one_up_one_down_turns_where_levitt_prints_it() -> None:
    """Levitt H (1971), J Acoust Soc Am 49, 467-477, Fig. 4."""
    run = Staircase(start=0.0, step=1.0)
    for answer in "CCIIIICCIIICCCCCIIICCIII":
        run.learn(answer == "C")
    assert run.reversals == [(3, -2), (7, 2), (9, 0), (12, 3), (17, -2), (20, 1), (22, -1)]
    turns = [level for _, level in run.reversals]
    # midpoints of the second, fourth and sixth run
    assert [(turns[i] + turns[i + 1]) / 2 for i in (0, 2, 4)] == [0.0, 1.5, -0.5]


def test_one_up_two_down_turns_where_levitt_prints_it() -> None:
    """Levitt H (1971), Fig. 5."""
    run = Staircase(start=0.0, step=1.0, down_after=2)
    for answer in "CCCCICIICICCCCCIIICCCCCC":
        run.learn(answer == "C")
    assert run.reversals == [(5, -2), (12, 2), (16, 0), (20, 3)]


@pytest.mark.parametrize(("down_after", "level"), [(1, 0.5), (2, 0.7071), (3, 0.7937), (4, 0.8409)])
def test_transformed_staircases_hover_at_the_level_of_the_formula(down_after: int, level: float) -> None:
    """Levitt (1971): with equal steps n-down 1-up settles where p^n = 1/2; a long seeded run with small steps lies within 0.02."""
    rng = np.random.default_rng(down_after)
    run = Staircase(start=0.0, step=0.05, down_after=down_after)
    levels = []
    for _ in range(20000):
        levels.append(run.level)
        run.learn(bool(rng.random() < ndtr(run.level)))
    assert float(np.mean(ndtr(np.array(levels[500:])))) == pytest.approx(level, abs=0.02)
