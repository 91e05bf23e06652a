"""Every interval a review prints, computed again by another library."""

import math
import random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, stats
from statsmodels.stats.meta_analysis import combine_effects
from statsmodels.stats.weightstats import DescrStatsW, ttest_ind
from statsmodels.tools.numdiff import approx_hess

from rangelog.core.ball import Ball
from rangelog.core.scales import side_interval, side_of
from rangelog.core.setup import Setup
from rangelog.core.words import Side, Strike
from rangelog.logbook import review_words as say
from rangelog.logbook.review_days import random_effect
from rangelog.logbook.review_settings import between
from rangelog.logbook.review_start import start_line
from rangelog.logbook.review_tally import Tally, tally


def balls(starts: list[float | Side]) -> list[Ball]:
    return [
        Ball(
            f"b{at}",
            "s",
            at + 1,
            "2026-05-04T17:00:00+02:00",
            Setup(0.0, 30.0),
            side=start if isinstance(start, Side) else None,
            start_deg=None if isinstance(start, Side) else start,
        )
        for at, start in enumerate(starts)
    ]


def added(starts: list[float | Side]) -> Tally:
    return tally(balls(starts), lambda _: "all").get("all", Tally())


def independent_fit(starts: list[float | Side]) -> tuple[float, float, float, float]:
    """Interval-censored normal by direct minimisation (scipy) with a numerical Hessian in mean and log spread (statsmodels)."""

    def minus_log_likelihood(parameters: np.ndarray) -> float:
        mean, spread = float(parameters[0]), math.exp(float(parameters[1]))
        total = 0.0
        for start in starts:
            if isinstance(start, Side):
                low, high = side_interval(start)
                total += math.log(max(stats.norm.cdf(high, mean, spread) - stats.norm.cdf(low, mean, spread), 1e-300))
            else:
                total += stats.norm.logpdf(start, mean, spread)
        return -total

    found = optimize.minimize(
        minus_log_likelihood, [0.5, 1.0], method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-12, "maxiter": 4000}
    )
    covariance = np.linalg.inv(approx_hess(found.x, minus_log_likelihood))
    return found.x[0], math.exp(found.x[1]), math.sqrt(covariance[0, 0]), math.sqrt(covariance[1, 1])


BASELINE: list[float | Side] = [Side.FAR_RIGHT, *[Side.RIGHT] * 5, *[Side.ON_LINE] * 3, Side.LEFT]


@pytest.mark.parametrize(
    "starts",
    [
        BASELINE,
        [Side.LEFT, Side.LEFT, Side.ON_LINE, Side.RIGHT, Side.FAR_LEFT],
        [1.5, -0.5, 4.0, Side.RIGHT, Side.ON_LINE, Side.FAR_RIGHT],
        [*[Side.ON_LINE] * 14, *[Side.RIGHT] * 4, *[Side.LEFT] * 2],
    ],
)
def test_a_fit_to_classes_and_numbers_matches_direct_minimisation(starts: list[float | Side]) -> None:
    mean, spread, mean_error, log_spread_error = independent_fit(starts)
    found = start_line(added(starts))
    assert found.from_classes
    assert found.bias.mean == pytest.approx(mean, abs=1e-4)
    assert found.spread.mean == pytest.approx(spread, abs=1e-3)
    assert found.bias.sd == pytest.approx(mean_error, rel=2e-3)
    # two-sided 90 % and 95 % points of the normal curve by scipy
    assert found.bias.high - found.bias.mean == pytest.approx(stats.norm.ppf(0.95) * mean_error, rel=2e-3)
    assert math.log(found.spread.high / found.spread.mean) == pytest.approx(stats.norm.ppf(0.975) * log_spread_error, rel=2e-3)


def test_the_baseline_story_prints_as_told() -> None:
    found = start_line(added(BASELINE))
    assert say.bias(found.bias, found.from_classes) == "+2.4 +-1.7 (from classes)"
    assert f"{found.spread.mean:.1f}" == "3.0"
    assert f"{found.bias.sd:.1f}" == "1.0"


def test_numbers_alone_get_students_t_and_chi_square() -> None:
    starts = [6.0, 4.5, 7.5, 4.0, 5.2]
    found = start_line(added(list(starts)))
    low, high = DescrStatsW(starts).tconfint_mean(alpha=0.10)
    assert (found.bias.low, found.bias.high) == pytest.approx((low, high))
    sd, df = np.std(starts, ddof=1), len(starts) - 1
    assert found.spread.low == pytest.approx(sd * math.sqrt(df / stats.chi2.ppf(0.975, df)))
    assert found.spread.high == pytest.approx(sd * math.sqrt(df / stats.chi2.ppf(0.025, df)))
    assert not found.from_classes


def test_a_difference_of_two_settings_is_welchs() -> None:
    one, other = [6.0, 4.5, 7.5, 4.0], [-3.0, -6.5, -4.0, -4.5, -2.0]
    found = between(start_line(added(list(one))), start_line(added(list(other))))
    low, high = stats.ttest_ind(one, other, equal_var=False).confidence_interval(0.90)
    assert (found.low, found.high) == pytest.approx((low, high))
    assert found.mean == pytest.approx(np.mean(one) - np.mean(other))
    assert ttest_ind(one, other, usevar="unequal")[1] < 0.001


def test_days_are_pooled_by_the_random_effect_of_dersimonian_and_laird() -> None:
    means, errors = [0.4, -1.2, 2.1, 0.9, -0.3], [0.5, 0.6, 0.4, 0.8, 0.5]
    overall, between_sd = random_effect(means, errors)
    # statsmodels' combine_effects, method "chi2", is the moment estimate of DerSimonian and Laird 1986
    found = combine_effects(np.array(means), np.array(errors) ** 2, method_re="chi2")
    assert between_sd == pytest.approx(math.sqrt(found.tau2))
    assert overall.mean == pytest.approx(found.mean_effect_re)
    assert overall.sd == pytest.approx(found.sd_eff_w_re)
    assert overall.high == pytest.approx(found.mean_effect_re + stats.norm.ppf(0.95) * found.sd_eff_w_re)


def test_days_that_differ_by_chance_alone_have_no_movement_between_them() -> None:
    assert random_effect([0.1, 0.0, -0.1], [1.0, 1.0, 1.0])[1] == 0.0


def test_one_session_says_nothing_of_other_days() -> None:
    overall, between_sd = random_effect([0.4], [0.5])
    assert math.isnan(overall.mean)
    assert math.isnan(between_sd)


@pytest.mark.parametrize(
    "starts",
    [[], [3.0], [Side.RIGHT], [Side.RIGHT] * 6, [Side.RIGHT, Side.ON_LINE] * 3, [2.0, 2.0, 2.0], [Side.FAR_LEFT, Side.FAR_RIGHT] * 3],
)
def test_where_the_balls_cannot_tell_there_is_no_interval_and_never_one_of_width_zero(starts: list[float | Side]) -> None:
    found = start_line(added(starts))
    assert not found.known
    assert math.isinf(found.spread.high)


def test_the_fit_recovers_a_known_player() -> None:
    rng = random.Random(4)
    starts = [rng.gauss(1.5, 3.0) for _ in range(4000)]
    found = start_line(added([side_of(start) if at % 3 else start for at, start in enumerate(starts)]))
    assert found.bias.mean == pytest.approx(1.5, abs=0.15)
    assert found.spread.mean == pytest.approx(3.0, abs=0.15)


SIDES = st.lists(st.one_of(st.sampled_from(list(Side)), st.floats(-30, 30).map(lambda value: round(value, 2))), max_size=25)


@settings(max_examples=60, deadline=None)
@given(SIDES)
def test_any_balls_give_an_answer_that_mirrors(starts: list[float | Side]) -> None:
    mirror = {
        Side.FAR_LEFT: Side.FAR_RIGHT,
        Side.LEFT: Side.RIGHT,
        Side.ON_LINE: Side.ON_LINE,
        Side.RIGHT: Side.LEFT,
        Side.FAR_RIGHT: Side.FAR_LEFT,
    }
    one = start_line(added(starts))
    other = start_line(added([mirror[start] if isinstance(start, Side) else -start for start in starts]))
    assert one.known == other.known
    if one.known:
        assert other.bias.mean == pytest.approx(-one.bias.mean, abs=1e-5)
        assert other.bias.sd == pytest.approx(one.bias.sd, rel=1e-4)
        assert one.bias.low <= one.bias.mean <= one.bias.high


def test_a_top_a_shank_and_a_touched_ball_count_in_strikes_and_not_in_starts() -> None:
    made = balls([5.0, 5.0, 5.0, 1.0])
    strikes = [Strike.TOP, Strike.SHANK, Strike.SOLID, Strike.SOLID]
    found = Tally()
    for ball, strike, touched in zip(made, strikes, (False, False, True, False), strict=True):
        found.add(Ball(ball.id, "s", ball.seq, ball.at, ball.setup, start_deg=ball.start_deg, strike=strike, touched=touched))
    assert (found.n, found.seen, found.numbers, found.total) == (4, 1, 1, 1.0)
    assert found.strike_known == 4


def test_p_values_are_said_in_the_form_of_the_page() -> None:
    assert [say.chance(p) for p in (0.4286, 0.0137, 0.0996, 0.0004, 1.0, 0.996)] == [
        "p = .43",
        "p = .014",
        "p = .10",
        "p < .001",
        "p = 1",
        "p = 1",
    ]
