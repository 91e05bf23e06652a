"""Tired, strike first, body first."""

import pytest

from rangelog.core.results import Alarm, Estimate, Share
from rangelog.core.words import BlockKind, CheckAnswer, Side, Strike
from rangelog.hints.parts import Check, LadderFacts, StrikeFacts
from rangelog.hints.rules import choose


def test_four_of_twelve_solid_after_29_of_40_is_tired(build):
    strike = StrikeFacts(tired=Alarm(True, 4, 12, 29, 40, 52))
    hint = choose(build.facts(balls=build.balls(52), strike=strike))
    assert (hint.rule, hint.action) == ("tired", "REST")
    assert hint.words == "Rest or stop: 4 of 12 solid, was 29 of 40."
    assert hint.holds_face
    assert hint.setting is None


def test_the_cap_ends_the_day(build):
    hint = choose(build.facts(balls=build.balls(60)))
    assert (hint.action, hint.words) == ("STOP", "Stop here: 60 of 60 balls today.")


def test_more_than_eighty_balls_asks_for_a_rest(build):
    hint = choose(build.facts(rules={"ball_cap": 100}, balls=build.balls(81)))
    assert hint.words == "Rest or stop: 81 balls today."


def test_five_quick_balls_running_slow_down(build):
    quick = tuple(float(10 * k) for k in range(6))
    assert choose(build.facts(balls=build.balls(6), at_epoch_s=quick)).action == "SLOW DOWN"
    calm = (*quick[:-1], 80.0)
    assert choose(build.facts(balls=build.balls(6), at_epoch_s=calm)).rule != "tired"
    keyed_later = tuple(float(k) for k in range(6))
    assert choose(build.facts(balls=build.balls(6), at_epoch_s=keyed_later)).rule != "tired"
    unknown = (*quick[:2], None, *quick[3:])
    assert choose(build.facts(balls=build.balls(6), at_epoch_s=unknown)).rule != "tired"


def test_strike_below_the_baseline_pauses_face_hints(build):
    strike = StrikeFacts(gate=Alarm(True, 4, 10, 9, 10, 20), baseline=Share(9, 10, 0.6, 0.98))
    balls = build.strikes(build.balls(10), [Strike.SOLID] * 4 + [Strike.THIN] * 6)
    hint = choose(build.facts(balls=balls, strike=strike))
    assert (hint.rule, hint.words) == ("strike_gate", "Strike first: 4 of 10 solid. Face hints paused.")
    assert hint.holds_face


def test_fat_and_thin_on_both_sides_look_like_passing_the_arm(build):
    sides = [Side.LEFT, Side.RIGHT] * 5
    balls = [build.ball(k + 1, side) for k, side in enumerate(sides)]
    struck = build.strikes(balls, [Strike.SOLID] * 4 + [Strike.FAT] * 3 + [Strike.THIN] * 3)
    hint = choose(build.facts(balls=struck, strike=StrikeFacts(gate=Alarm(True, 4, 10, 9, 10, 20))))
    assert "looks like the head passing the arm: stick on, short" in hint.numbers


@pytest.mark.parametrize(("solid", "speaks"), [(2, True), (3, False)])
def test_before_a_baseline_the_limit_is_wide(build, solid, speaks):
    balls = build.strikes(build.balls(10), [Strike.SOLID] * solid + [Strike.THIN] * (10 - solid))
    assert (choose(build.facts(balls=balls)).rule == "strike_gate") is speaks


def test_the_coach_may_lower_the_strike_limit(build):
    strike = StrikeFacts(gate=Alarm(True, 4, 10, 9, 10, 20))
    balls = build.strikes(build.balls(10), [Strike.SOLID] * 4 + [Strike.THIN] * 6)
    assert choose(build.facts(balls=balls, strike=strike, rules={"solid_limit": 0.3})).rule != "strike_gate"


def test_a_failed_body_check_holds_back_face_hints(build):
    check = Check("nose", "nose behind midline", CheckAnswer.FAIL)
    hint = choose(build.facts(balls=build.balls(3), checks=(check,)))
    assert hint.words == "Back to the body check: nose behind midline."
    assert hint.numbers == "The face is not your problem yet."
    assert hint.holds_face


@pytest.mark.parametrize("answer", [CheckAnswer.PASS, CheckAnswer.NOT_SURE, CheckAnswer.NOT_APPLICABLE])
def test_other_answers_do_not_block(build, answer):
    check = Check("nose", "nose behind midline", answer)
    assert choose(build.facts(balls=build.balls(3), checks=(check,))).rule != "body_gate"


LOW = LadderFacts("does not follow", True, Estimate(0.3, 0.7, -0.9, 1.5), 3.4, 0, 2, 78.0, 85.0)


def test_same_low_height_everywhere_goes_back_to_the_body(build):
    """Ball -1, 0, +1, ten solid each; forward minus back 0.3 (-0.9..1.5) of 3.4 expected; about 78 of 85 mm."""
    hint = choose(build.facts(balls=build.balls(30), ladder=LOW))
    assert hint.words == "Height does not follow ball position, and all is low."
    assert hint.numbers == "Body probably moves ahead about as far as the ball. Back to the body check."
    assert "Forward minus back +0.3 (-0.9..1.5) deg, expected 3.4." in hint.why
    assert "Body travelled about 78 of 85 mm." in hint.why
    assert hint.holds_face


def test_a_ladder_that_follows_holds_nothing_back(build):
    ladder = LadderFacts("follows", False, Estimate(3.1, 0.7, 1.9, 4.3))
    assert choose(build.facts(balls=build.balls(30), ladder=ladder)).rule != "body_gate"


def test_no_ladder_verdict_while_the_ladder_runs(build):
    block = build.block(BlockKind.LADDER, planned=15, count=9)
    assert choose(build.facts(balls=build.balls(30), ladder=LOW, block=block)).rule != "body_gate"


@pytest.mark.parametrize(("solid", "speaks"), [(7, True), (9, False)])
def test_strike_that_has_come_back_steps_aside(build, solid, speaks):
    strike = StrikeFacts(gate=Alarm(True, solid, 10, 10, 10, 20))
    assert (choose(build.facts(balls=build.balls(20), strike=strike)).rule == "strike_gate") is speaks


def test_a_rested_player_is_no_longer_told_to_rest(build):
    strike = StrikeFacts(tired=Alarm(True, 10, 12, 27, 31, 43))
    assert choose(build.facts(balls=build.balls(43), strike=strike)).rule != "tired"
