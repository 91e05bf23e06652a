"""Sequential charts on solid strikes: they hold their false alarms, they see a real fall, and they say the counts of the story."""

import random
from itertools import accumulate

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.errors import OffScale
from rangelog.core.results import Alarm
from rangelog.evidence import charts
from rangelog.evidence.charts import gate_signals, late_from, strike_gate, tired, tired_signals

SESSION = 80
balls = st.lists(st.one_of(st.booleans(), st.none()), max_size=100)


def sessions(share, count, seed, fallen=None, at=0):
    """Seeded sessions of a striker, who falls to another share from a ball on."""
    rng = np.random.default_rng(seed)
    shares = np.full(SESSION, share)
    if fallen is not None:
        shares[at:] = fallen
    return (rng.random((count, SESSION)) < shares).tolist()


@pytest.mark.parametrize("share", [0.5, 0.6, 0.7, 0.8, 0.9])
def test_a_steady_striker_is_called_tired_in_at_most_5_sessions_of_100(share):
    """4000 sessions: 5 % plus two standard errors of the simulation is 5.7 %."""
    alarmed = sum(bool(tired_signals(solid)) for solid in sessions(share, 4000, round(share * 100)))
    assert alarmed / 4000 <= 0.05 + 2 * 0.0035


@pytest.mark.parametrize("baseline_n", [10, 20, 40, 200, 1000])
@pytest.mark.parametrize("share", [0.5, 0.6, 0.7, 0.8, 0.9])
def test_a_steady_striker_meets_the_gate_in_at_most_5_sessions_of_100(share, baseline_n):
    """1500 sessions, each with its own baseline: 5 % plus two standard errors of the simulation is 6.1 %."""
    hits = np.random.default_rng(baseline_n).binomial(baseline_n, share, 1500).tolist()
    played = sessions(share, 1500, round(share * 1000) + baseline_n)
    alarmed = sum(bool(gate_signals(solid, have, baseline_n)) for solid, have in zip(played, hits, strict=True))
    assert alarmed / 1500 <= 0.05 + 2 * 0.0056


def test_a_plain_test_at_every_ball_would_cry_wolf():
    """The same dozen against the earlier balls, looked at after every ball at a plain one-sided 5 %, alarms far too often."""

    def plain(solid):
        total = [0, *accumulate(solid)]
        return any(charts.fisher_lower(total[t] - total[t - 12], 12, total[t - 12], t - 12) <= 0.05 for t in range(24, SESSION + 1))

    assert sum(plain(solid) for solid in sessions(0.7, 300, 5)) / 300 > 0.13


def test_a_real_fall_is_seen_in_most_sessions():
    fallen = sessions(0.725, 400, 9, fallen=0.33, at=40)
    assert sum(bool(tired_signals(solid)) for solid in fallen) / 400 > 0.7
    weak = sessions(0.35, 400, 10)
    assert sum(bool(gate_signals(solid[:40], 140, 200)) for solid in weak) / 400 > 0.8


@pytest.mark.parametrize("seed", range(8))
def test_the_tired_story_alarms_in_any_order_of_its_balls(seed):
    """First 40 balls 29 solid, last 12 balls 4 solid (invented): "4 of 12 solid, was 29 of 40"."""
    draw = random.Random(seed)
    first, last = [True] * 29 + [False] * 11, [True] * 4 + [False] * 8
    draw.shuffle(first)
    draw.shuffle(last)
    alarm = tired(first + last)
    assert alarm.on
    assert (alarm.recent_hits, alarm.recent_n, alarm.before_hits, alarm.before_n) == (4, 12, 29, 40)


def test_the_dozen_that_signalled_is_the_first_to_be_flagged_late():
    draw = random.Random(1)
    first, last = [True] * 29 + [False] * 11, [True] * 4 + [False] * 8
    draw.shuffle(first)
    draw.shuffle(last)
    assert late_from(first + last) == 41
    assert late_from([None, *first, None, *last]) == 43
    assert late_from(first) == late_from([]) == 0


def test_tired_ends_when_a_dozen_reaches_the_earlier_share_again():
    spent = [True] * 32 + [False] * 8 + [False] * 12
    assert tired(spent).on
    assert not tired(spent + [True] * 12).on


def test_a_session_too_short_to_judge_is_never_called_tired():
    assert not tired([True] * 8 + [False] * 11).on
    assert tired([]) == Alarm(False, 0, 0, 0, 0)


@given(solid=balls)
def test_signals_are_the_balls_at_which_the_chart_turns_on(solid):
    """Asking after every ball, as the tee does, gives the same story as the session read afterwards."""
    for chart, every in ((tired, tired_signals(solid)), (lambda row: strike_gate(row, 14, 20), gate_signals(solid, 14, 20))):
        live = [chart(solid[:t]) for t in range(len(solid) + 1)]
        turned_on = [t for t in range(1, len(live)) if live[t].on and not live[t - 1].on]
        assert tuple(turned_on) == every


@given(solid=balls)
def test_balls_of_unknown_strike_enter_no_count(solid):
    known = [ball for ball in solid if ball is not None]
    for chart in (tired, lambda row: strike_gate(row, 14, 20), strike_gate):
        with_unknown, without = chart(solid), chart(known)
        assert with_unknown.on == without.on
        assert (with_unknown.recent_hits, with_unknown.recent_n) == (without.recent_hits, without.recent_n)


@given(solid=st.lists(st.booleans(), max_size=100))
def test_the_counts_of_a_chart_are_counts_of_these_balls(solid):
    found = tired(solid)
    assert found.recent_n + found.before_n == len(solid)
    assert found.recent_hits + found.before_hits == sum(solid)
    gate = strike_gate(solid, 30, 40)
    assert gate.recent_hits == sum(solid[len(solid) - gate.recent_n :])
    assert (gate.before_hits, gate.before_n) == (30, 40)
    assert found.on == (found.since > 0)
    assert gate.on == (gate.since > 0)


def test_the_gate_names_the_ball_at_which_it_signalled_unknown_balls_included():
    solid = [None] * 3 + [False] * 10
    assert strike_gate(solid, 140, 200).since == 13


def test_the_gate_opens_when_the_last_ten_reach_the_baseline_and_starts_afresh():
    poor = [False] * 15
    assert strike_gate(poor, 140, 200).on
    well = poor + [True] * 7 + [False] * 3
    assert not strike_gate(well, 140, 200).on
    assert not strike_gate([*well, True], 140, 200).on


@pytest.mark.parametrize(("hits", "on"), [(0, True), (2, True), (3, False), (10, False)])
def test_before_a_baseline_fewer_than_three_of_ten_holds_face_hints_back(hits, on):
    alarm = strike_gate([True] * hits + [False] * (10 - hits))
    assert alarm.on is on
    assert (alarm.recent_hits, alarm.recent_n, alarm.before_n) == (hits, 10, 0)


def test_nine_balls_without_a_baseline_are_too_few_and_a_coach_may_lower_the_limit():
    assert not strike_gate([False] * 9).on
    assert not strike_gate([False] * 10, limit_hits=0).on
    assert strike_gate([True] * 4 + [False] * 6, limit_hits=5).on


def test_a_baseline_of_nine_balls_is_no_baseline():
    assert strike_gate([True] * 3 + [False] * 7, 9, 9).before_n == 0


@pytest.mark.parametrize("bad", [(5, 3, 3), (-1, 3, 3), (1, 10, 11), (1, 10, -1)])
def test_impossible_baselines_and_limits_are_refused(bad):
    with pytest.raises(OffScale):
        strike_gate([True] * 10, *bad)
