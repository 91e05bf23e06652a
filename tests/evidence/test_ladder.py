"""The height ladder: the story's numbers, each verdict, and how often it is right."""

import math
from collections import Counter

import numpy as np
import pytest

from rangelog.core.errors import OffScale
from rangelog.core.words import Height, Strike
from rangelog.evidence.ladder import (
    Ladder,
    LadderBall,
    LadderCause,
    LadderVerdict,
    balls_to_claim_same,
    balls_to_follow,
    read,
)

LOW, MID, HIGH = Height.LOW, Height.MID, Height.HIGH


def exactly(mean, sd, n, seed):
    """n numbers with exactly this mean and SD."""
    row = np.random.default_rng(seed).normal(size=n)
    return (mean + sd * (row - row.mean()) / row.std(ddof=1)).tolist()


def launched(*ends, sd=1.6, n=10):
    """A ladder of solid balls from (position, mean launch)."""
    return [LadderBall(place, launch_deg=value) for seed, (place, mean) in enumerate(ends) for value in exactly(mean, sd, n, seed)]


def seen(rng, spread, cut, n, travel=0.0):
    """A ladder by eye: n balls at each of back, centre, forward."""
    rows = []
    for place in (-1.0, 0.0, 1.0):
        for launch in rng.normal(1.7 * place * (1 - travel), spread, n):
            rows.append(LadderBall(place, height=LOW if launch < -cut else HIGH if launch > cut else MID))
    return rows


def test_the_same_height_story_to_its_last_figure():
    """Launch 12.1, 12.3, 12.4, SD 1.6, 10 solid each (invented): 0.3, -0.9..1.5, travel 0.91, about 78 of 85 mm, all low."""
    found = read(launched((-1, 12.1), (0, 12.3), (1, 12.4)), static_loft_deg=28)
    assert found.verdict is LadderVerdict.DOES_NOT_FOLLOW
    assert found.expected == pytest.approx(3.4)
    assert found.difference.mean == pytest.approx(0.3)
    assert (round(found.difference.low, 1), round(found.difference.high, 1)) == (-0.9, 1.5)
    assert found.difference.high < 1.7
    assert found.travel.mean == pytest.approx(0.91, abs=0.005)
    assert (round(found.travel_mm), round(found.moved_mm)) == (78, 85)
    assert found.all_low
    assert found.back_to_body
    assert found.cause is LadderCause.TRAVELS
    assert found.balls_needed == 0
    assert found.sentence == (
        "Height does not follow ball position, and all is low. Body probably moves ahead about as far as the ball. Back to the body check."
    )


def test_the_same_story_with_a_difference_of_31_follows():
    found = read(launched((-1, 12.1), (0, 13.6), (1, 15.2)), static_loft_deg=28)
    assert (round(found.difference.low, 1), round(found.difference.high, 1)) == (1.9, 4.3)
    assert found.verdict is LadderVerdict.FOLLOWS
    assert found.sentence == "Height follows."
    assert not found.back_to_body


def test_a_ladder_that_falls_when_the_ball_goes_forward_is_backwards():
    assert read(launched((-1, 17.0), (1, 14.0))).verdict is LadderVerdict.BACKWARDS


def test_too_few_balls_are_undecided_and_say_how_many_more():
    found = read(launched((-1, 15.0), (1, 17.0), sd=3.0, n=4))
    assert found.verdict is LadderVerdict.UNDECIDED
    assert found.balls_needed == balls_to_follow(3.0) + 1 - 4
    assert str(found.balls_needed) in found.sentence


def test_a_normal_level_without_following_is_not_called_travelling():
    level = launched((-1, 16.9), (0, 17.0), (1, 17.1), n=14)
    assert read(level, static_loft_deg=28).cause is LadderCause.NONE
    flipped = level + [LadderBall(0.0, strike=kind) for kind in [Strike.FAT, Strike.THIN] * 12]
    assert read(flipped, static_loft_deg=28).cause is LadderCause.FLIP
    assert "body check" in read(flipped, static_loft_deg=28).sentence
    assert not read(flipped, static_loft_deg=28).back_to_body


def test_a_change_far_beyond_the_expected_one_hangs_back():
    assert read(launched((-1, 10.0), (1, 20.0), sd=1.5)).cause is LadderCause.HANGS_BACK


def test_only_solid_balls_are_compared_and_the_dropped_are_counted():
    mixed = launched((-1, 12.0), (1, 15.4)) + [LadderBall(1.0, Strike.THIN, launch_deg=2.0)] * 3 + [LadderBall(-1.0, None, launch_deg=40.0)]
    found, clean = read(mixed), read(launched((-1, 12.0), (1, 15.4)))
    assert (found.dropped, found.unknown) == (3, 1)
    assert found.difference == clean.difference
    assert (found.back_n, found.front_n) == (10, 10)


def test_balls_near_an_end_join_it_and_the_expected_change_follows_the_true_distance():
    balls = launched((-1.0, 12.0), (-0.75, 12.0), (0.0, 14.0), (1.0, 15.0))
    found = read(balls)
    assert (found.back_n, found.front_n) == (20, 10)
    assert found.balls_apart == pytest.approx(1.875)
    assert found.expected == pytest.approx(1.7 * 1.875)


def test_one_position_or_no_balls_compare_nothing():
    for balls in ([], launched((0, 15.0)), [LadderBall(-1.0), LadderBall(1.0)]):
        found = read(balls)
        assert found.verdict is LadderVerdict.UNDECIDED
        assert found.basis == "none"
        assert math.isnan(found.difference.mean)
        assert math.isnan(found.travel.mean)
        assert found.balls_needed > 0


def test_launches_all_alike_give_no_interval_of_width_zero():
    found = read([LadderBall(place, launch_deg=12.0) for place in (-1.0, 1.0) for _ in range(10)])
    assert found.difference.high == math.inf
    assert found.verdict is LadderVerdict.UNDECIDED


def test_classes_are_used_where_launch_numbers_are_missing_at_an_end():
    balls = [LadderBall(-1.0, height=LOW, launch_deg=10.0)] * 6 + [LadderBall(1.0, height=HIGH)] * 6
    found = read(balls)
    assert found.basis == "classes"
    assert found.verdict is LadderVerdict.FOLLOWS
    assert read([LadderBall(-b.position, height=b.height) for b in balls]).verdict is LadderVerdict.BACKWARDS


def test_all_low_by_eye_does_not_follow_but_names_the_mark_as_a_second_reason():
    found = read([LadderBall(place, height=LOW) for place in (-1.0, 0.0, 1.0) for _ in range(10)])
    assert found.verdict is LadderVerdict.DOES_NOT_FOLLOW
    assert found.back_to_body
    assert found.coarse
    assert "mark is too high" in found.sentence
    assert found.difference.low < 0 < found.difference.high


def test_five_balls_an_end_all_low_are_not_enough():
    assert read([LadderBall(p, height=LOW) for p in (-1.0, 1.0) for _ in range(5)]).verdict is LadderVerdict.UNDECIDED


def test_low_means_60_percent_classed_low_or_launch_under_half_the_loft():
    heights = [LOW] * 6 + [MID] * 4
    assert read([LadderBall(0.0, height=h) for h in heights]).all_low
    assert not read([LadderBall(0.0, height=h) for h in [MID, *heights]]).all_low
    assert read(launched((0, 13.9)), static_loft_deg=28).all_low
    assert not read(launched((0, 14.1)), static_loft_deg=28).all_low
    assert not read(launched((0, 5.0))).all_low


def test_rows_show_every_position_back_to_front():
    found = read([LadderBall(1.0, height=HIGH), LadderBall(-1.0, height=LOW), LadderBall(1.0, height=MID)])
    assert [(row.position, row.n, row.low, row.mid, row.high) for row in found.rows] == [(-1.0, 1, 1, 0, 0), (1.0, 2, 0, 1, 1)]


@pytest.mark.parametrize(("spread", "n"), [(1.5, 3), (2, 5), (2.5, 7), (3, 10), (4, 18)])
def test_balls_an_end_to_see_two_balls_of_change(spread, n):
    assert balls_to_follow(spread) == n


@pytest.mark.parametrize(("spread", "n"), [(2, 18), (3, 39)])
def test_neighbouring_positions_need_far_more_balls_than_the_ends(spread, n):
    assert balls_to_follow(spread, 1.7) == n


@pytest.mark.parametrize(("spread", "n"), [(1.5, 14), (2, 24), (2.5, 38)])
def test_balls_an_end_to_claim_sameness(spread, n):
    assert balls_to_claim_same(spread) == n


@pytest.mark.parametrize(
    ("spread", "cut", "n", "power"),
    [
        (2, 1.5, 5, 0.68),
        (2, 1.5, 8, 0.89),
        (2, 1.5, 10, 0.94),
        (3, 1.5, 5, 0.43),
        (3, 1.5, 8, 0.59),
        (3, 1.5, 10, 0.72),
        (3, 1.5, 15, 0.85),
        (3, 1.5, 20, 0.95),
        (2, 2.5, 8, 0.76),
        (2, 2.5, 10, 0.87),
    ],
)
def test_the_power_of_the_rank_trend_on_eye_classes(spread, cut, n, power):
    """Two balls apart, one-sided 5 %: 400 seeded ladders each, within three standard errors and 5 points of the planning figure."""
    rng = np.random.default_rng(n)
    shown = sum((found := read(seen(rng, spread, cut, n))).trend is not None and found.trend.p_greater <= 0.05 for _ in range(400))
    assert shown / 400 == pytest.approx(power, abs=0.05 + 3 * math.sqrt(power * (1 - power) / 400))


def test_the_power_on_degrees_is_the_planned_one():
    """SD 2, 6 balls an end (5 planned and 1 for t): the interval's lower end is over 0 in about 80 of 100 ladders or better."""
    rng = np.random.default_rng(4)
    verdicts = Counter(
        read([LadderBall(p, launch_deg=v) for p in (-1.0, 1.0) for v in rng.normal(15 + 1.7 * p, 2.0, 6)]).difference.low > 0
        for _ in range(600)
    )
    assert 0.76 <= verdicts[True] / 600 <= 0.92


@pytest.mark.parametrize("travel", [0.0, 1.0])
def test_a_wrong_verdict_is_rare(travel):
    """Following ladders are called "does not follow", and travelling ones "follows", in at most 6 of 100 (seeded, degrees and classes)."""
    rng = np.random.default_rng(8)
    wrong = LadderVerdict.DOES_NOT_FOLLOW if travel == 0 else LadderVerdict.FOLLOWS
    tally: Counter[str] = Counter()
    for _ in range(400):
        by_eye: Ladder = read(seen(rng, 2.5, 1.5, 10, travel))
        numbers = [LadderBall(p, launch_deg=v) for p in (-1.0, 1.0) for v in rng.normal(15 + 1.7 * p * (1 - travel), 2.5, 10)]
        tally["eye"] += by_eye.verdict is wrong
        tally["degrees"] += read(numbers).verdict is wrong
    assert tally["eye"] / 400 <= 0.06
    assert tally["degrees"] / 400 <= 0.06


@pytest.mark.parametrize("bad", [LadderBall(math.nan), LadderBall(0.0, launch_deg=math.inf)])
def test_numbers_that_are_not_finite_are_refused(bad):
    with pytest.raises(OffScale):
        read([bad])


def test_a_loft_off_its_scale_is_refused():
    for loft in (3, 300, math.nan):
        with pytest.raises(OffScale):
            read([], static_loft_deg=loft)
    for spread in (0, -1, math.nan):
        with pytest.raises(OffScale):
            balls_to_follow(spread)


def test_the_two_ends_share_one_spread():
    """Four quiet balls against twelve wild ones: one spread over both ends, on 14 degrees of freedom."""
    quiet, wild = exactly(12.0, 0.5, 4, 1), exactly(15.0, 3.0, 12, 2)
    found = read([LadderBall(-1.0, launch_deg=v) for v in quiet] + [LadderBall(1.0, launch_deg=v) for v in wild])
    pooled = math.sqrt((3 * 0.5**2 + 11 * 3.0**2) / 14)
    assert found.difference.sd == pytest.approx(pooled * math.sqrt(1 / 4 + 1 / 12))
    # Student t, two-sided 90 %, 14 degrees of freedom: 1.761 (textbook table)
    assert found.difference.half_width == pytest.approx(1.761 * found.difference.sd, rel=1e-3)
