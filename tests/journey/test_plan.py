"""Which block comes next, and a plan that fits the cap."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rangelog.core.words import BlockKind, Lever
from rangelog.journey.plan import Progress, plan_lines, plan_today, propose

K = BlockKind
WARM = Progress(done_today=(K.WARM_UP,))
BASED = Progress(done_today=(K.WARM_UP, K.BASELINE), hit_today=18)
CONFIRMED = Progress(
    done_today=(K.WARM_UP,),
    done_before=frozenset({K.BASELINE, K.BOW_BRACKET, K.GRIP_BRACKET, K.CHOOSE, K.CONFIRM}),
    hit_today=8,
    crossing_known=True,
    grip_known=True,
    chosen=True,
    confirmed=True,
    days_since_confirm=0,
    other_clubs=2,
)


def test_every_day_begins_with_a_warm_up():
    assert propose(Progress()).kind is K.WARM_UP
    assert propose(replace(CONFIRMED, done_today=(), days_since_confirm=7)).kind is K.WARM_UP


def test_whoever_has_hit_ten_balls_is_warm():
    assert propose(Progress(hit_today=9)).kind is K.WARM_UP
    assert propose(Progress(hit_today=10, done_today=(K.BASELINE,))).kind is K.BOW_BRACKET


def test_then_the_baseline_then_the_first_lever():
    assert propose(WARM).kind is K.BASELINE
    assert propose(BASED).kind is K.BOW_BRACKET
    assert propose(replace(BASED, first_lever=Lever.GRIP)).kind is K.GRIP_BRACKET


def test_a_baseline_comes_before_the_crossing_is_known_or_not_at_all():
    found = replace(WARM, crossing_known=True)
    assert propose(found).kind is K.GRIP_BRACKET
    assert propose(replace(found, grip_known=True)).kind is K.CONFIRM


def test_a_baseline_of_another_day_is_enough():
    assert propose(replace(WARM, done_before=frozenset({K.BASELINE}))).kind is K.BOW_BRACKET


def test_where_extremes_are_off_the_grip_lever_comes():
    step = propose(replace(BASED, extremes_off=True))
    assert step.kind is K.GRIP_BRACKET
    assert "grip lever stays" in step.reason


def test_after_the_brackets_two_settings_are_chosen_between():
    both = replace(BASED, done_before=frozenset({K.BOW_BRACKET, K.GRIP_BRACKET}), crossing_known=True, grip_known=True)
    assert propose(replace(both, on_line_settings=2)).kind is K.CHOOSE
    assert propose(replace(both, on_line_settings=1)).kind is K.CONFIRM
    assert propose(replace(both, on_line_settings=2, chosen=True)).kind is K.CONFIRM


def test_a_confirm_that_does_not_fit_waits_for_another_day():
    both = replace(BASED, crossing_known=True, grip_known=True, chosen=True, hit_today=45)
    step = propose(both)
    assert step.kind is None
    assert step.reason == "Confirm needs 20 balls, 15 are left: next time, first thing."


def test_retention_comes_first_a_day_after_the_confirm():
    assert propose(replace(CONFIRMED, days_since_confirm=1)).kind is K.RETENTION
    assert propose(replace(CONFIRMED, days_since_confirm=0)).kind is K.LADDER
    assert propose(replace(CONFIRMED, days_since_confirm=7, retained=True)).kind is not K.RETENTION
    assert propose(replace(CONFIRMED, days_since_confirm=7, retained=True, retention_due=True)).kind is K.RETENTION


def test_retention_is_only_first_when_nothing_was_rehearsed():
    late = replace(CONFIRMED, days_since_confirm=7, done_today=(K.WARM_UP, K.LADDER))
    assert propose(late).kind is not K.RETENTION


def test_after_confirm_the_rest_of_the_journey_follows():
    seen, ahead = [], replace(CONFIRMED, ball_cap=150)
    while (step := propose(ahead).kind) is not None:
        seen.append(step)
        ahead = replace(ahead, done_today=(*ahead.done_today, step))
    assert seen == [K.LADDER, K.TRAJECTORY, K.CARRY_OVER, K.STICK_OFF, K.RANDOM]


def test_short_swings_skip_the_ladder_and_one_club_skips_the_carry_over():
    assert propose(replace(CONFIRMED, swing_short=True, other_clubs=0)).kind is K.STICK_OFF


def test_a_failed_body_check_holds_the_brackets_back():
    assert propose(replace(BASED, body_failed=True)).kind is K.LADDER
    assert propose(replace(BASED, body_failed=True, swing_short=True)).kind is None


def test_pain_ends_the_plan():
    assert propose(replace(BASED, pain_stopped=True)).kind is None


def test_no_line_found_goes_to_free_balls():
    tried = replace(BASED, done_today=(K.WARM_UP, K.BASELINE, K.BOW_BRACKET, K.GRIP_BRACKET))
    assert propose(tried).kind is K.FREE


def test_the_first_day_fits_sixty_balls():
    lines = plan_today(Progress())
    assert [line.kind for line in lines] == [K.WARM_UP, K.BASELINE, K.BOW_BRACKET, K.GRIP_BRACKET]
    assert sum(line.balls for line in lines) <= 60


def test_the_plan_reads_as_lines_with_what_it_adds_up_to():
    lines = plan_lines(Progress())
    assert lines[0].startswith("  8 warm-up: ")
    assert lines[-1] == "56 balls, 4 to spare under the cap of 60."
    assert plan_lines(Progress(pain_stopped=True)) == ("Pain: that is all for today.",)


@st.composite
def any_progress(draw: st.DrawFn) -> Progress:
    flags = ("extremes_off", "bow_stopped", "body_failed", "crossing_known", "grip_known", "chosen", "confirmed", "retained", "junior")
    known = {name: draw(st.booleans()) for name in flags}
    return Progress(
        ball_cap=draw(st.integers(10, 100)),
        hit_today=draw(st.integers(0, 100)),
        done_today=tuple(draw(st.lists(st.sampled_from(BlockKind), unique=True, max_size=6))),
        done_before=frozenset(draw(st.lists(st.sampled_from(BlockKind), max_size=6))),
        first_lever=draw(st.sampled_from(Lever)),
        on_line_settings=draw(st.integers(0, 3)),
        days_since_confirm=draw(st.none() | st.integers(0, 9)),
        spread_deg=draw(st.none() | st.floats(1, 6)),
        other_clubs=draw(st.integers(0, 3)),
        **known,
    )


@settings(max_examples=150, deadline=None, derandomize=True)
@given(any_progress())
def test_no_plan_ever_goes_past_the_cap(progress: Progress):
    assert sum(line.balls for line in plan_today(progress)) <= progress.left


@settings(max_examples=150, deadline=None, derandomize=True)
@given(any_progress())
def test_no_bow_extremes_are_proposed_where_they_are_off(progress: Progress):
    if progress.extremes_off or progress.bow_stopped:
        assert propose(progress).kind is not K.BOW_BRACKET
        assert all(line.kind is not K.BOW_BRACKET for line in plan_today(progress))


@pytest.mark.parametrize("left", [0, 5])
def test_too_few_balls_are_enough_for_today(left):
    assert propose(Progress(ball_cap=60, hit_today=60 - left)).reason == f"{left} balls to the cap: that is all for today."
