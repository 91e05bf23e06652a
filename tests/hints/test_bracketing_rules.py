"""Not enough, warnings, aim and path, the bracket and its end: with stub model answers."""

from dataclasses import replace

import pytest

from rangelog.core.results import Crossing, Setting
from rangelog.core.words import BlockKind, Curve, Hand, Lever, Side, Strike, Verdict
from rangelog.hints.rules import choose

KNOWN = Crossing(2.2, 1.8, 2.6)


@pytest.mark.parametrize(
    ("n", "words"),
    [
        (0, "Extremes first: least bow, 4 balls."),
        (1, "1 ball - hit 3 more, same setting."),
        (2, "2 balls - hit 2 more, same setting."),
    ],
)
def test_never_a_side_from_one_or_two_balls(build, n, words):
    hint = choose(build.facts(balls=build.balls(n), tried=(build.tried(0.0, n, 6.0),) if n else ()))
    assert (hint.rule, hint.words, hint.numbers) == ("not_enough", words, "")


def test_three_balls_say_so_far(build):
    hint = choose(build.facts(balls=build.balls(3), tried=(build.tried(0.0, 3, 6.0),)))
    assert hint.numbers == "so far right"


def test_after_the_least_bow_comes_clearly_too_much(build):
    hint = choose(build.facts(balls=build.balls(4), tried=(build.tried(0.0, 4, 5.5),), model=build.model()))
    assert hint.words == "Now clearly too much: bow 4, 4 balls."
    assert (hint.action, hint.setting) == ("BOW 4", Setting(4.0, 30.0))
    assert hint.numbers == "bow 0 right, sure"


def extremes(build, n, hand=Hand.RIGHT, **more):
    """Bow 0 about 5.5 to the open side, bow 4 about 4.5 to the closed side."""
    sign = 1 if hand is Hand.RIGHT else -1
    tried = (build.tried(0.0, 4, sign * 5.5), build.tried(4.0, n, sign * -4.5))
    diagnosis = {"bow_deg_per_notch": build.guess(sign * -2.5, 0.3), "counted": 4 + n}
    now = build.setup(4.0)
    return build.facts(
        hand=hand,
        setup=now,
        balls=(*build.balls(4), *build.balls(n, setup=now)),
        tried=tried,
        model=build.model(crossing=KNOWN, diagnosis=diagnosis),
        **more,
    )


@pytest.mark.parametrize("n", [1, 2, 3])
def test_no_bracket_before_the_second_extreme_is_complete(build, n):
    hint = choose(extremes(build, n))
    assert hint.rule == "not_enough"
    assert "Bracketed" not in hint.words


@pytest.mark.parametrize("hand", list(Hand))
def test_bracketed_0_to_4_try_2(build, hand):
    """The mirrored player gets the same words and numbers."""
    hint = choose(extremes(build, 4, hand))
    assert (hint.rule, hint.action, hint.words) == ("bracketed", "BOW 2", "Bracketed 0 to 4. Try 2.")
    assert hint.numbers == "crosses at 2.2 +-0.4, straight there about 5 in 10"
    assert hint.setting == Setting(2.0, 30.0)


def test_why_swaps_the_sides_for_a_left_hander(build):
    right, left = choose(extremes(build, 4)).why, choose(extremes(build, 4, Hand.LEFT)).why
    assert right[0] == "Bow 0: 4 balls, right 4, on line 0, left 0."
    assert left[0] == "Bow 0: 4 balls, right 0, on line 0, left 4."


def test_the_model_is_not_needed_to_bracket(build):
    facts = replace(extremes(build, 4), model=None)
    plain = replace(facts, tried=tuple(replace(tried, bias=None) for tried in facts.tried))
    hint = choose(plain)
    assert (hint.words, hint.numbers) == ("Bracketed 0 to 4. Try 2.", "")


def test_patience_keeps_the_setting(build):
    tried = (build.tried(0.0, 4, 5.5), build.tried(2.0, 3, 0.5), build.tried(4.0, 4, -4.5))
    now = build.setup(2.0)
    hint = choose(build.facts(setup=now, balls=build.balls(11, setup=now), tried=tried, model=build.model()))
    assert (hint.action, hint.words, hint.setting) == ("1 MORE", "Bracketed 0 to 4. Stay at 2.", None)


@pytest.mark.parametrize(("hand", "side"), [(Hand.RIGHT, "right"), (Hand.LEFT, "left")])
def test_both_extremes_open_ask_for_a_stronger_grip(build, hand, side):
    sign = 1 if hand is Hand.RIGHT else -1
    tried = (build.tried(0.0, 4, sign * 9.0), build.tried(4.0, 4, sign * 4.0))
    now = build.setup(4.0)
    hint = choose(build.facts(hand=hand, setup=now, balls=build.balls(8, setup=now), tried=tried, model=build.model()))
    assert hint.words == f"Both 0 and 4 start {side}: one grip step stronger."
    assert (hint.action, hint.setting) == ("GRIP 45", Setting(4.0, 45.0))


def test_least_bow_on_the_closed_side_asks_for_less(build):
    hint = choose(build.facts(balls=build.balls(4), tried=(build.tried(0.0, 4, -4.0),), model=build.model()))
    assert hint.words == "Bow 0 starts left already. Less: bow -2."
    tried = (build.tried(-2.0, 4, -3.0), build.tried(0.0, 4, -6.0))
    now = build.setup(-2.0)
    hint = choose(build.facts(setup=now, balls=build.balls(8, setup=now), tried=tried, model=build.model()))
    assert hint.words == "Both -2 and 0 start left: one grip step weaker."


def test_more_bow_only_when_it_is_comfortable_and_inside_the_limit(build):
    tried = (build.tried(0.0, 4, 9.0, grip=90.0), build.tried(4.0, 4, 4.0, grip=90.0, comfort=4.5))
    now = build.setup(4.0, 90.0)
    easy = build.facts(setup=now, balls=build.balls(8, setup=now), tried=tried, model=build.model())
    assert choose(easy).setting == Setting(5.0, 90.0)
    forced = replace(easy, tried=(tried[0], replace(tried[1], comfort=2.0)))
    assert choose(forced).words == "Both 0 and 4 start right. Take this to your coach."


def test_wrong_sign_is_reported_not_hidden(build):
    diagnosis = {"wrong_sign": 0.97, "bow_deg_per_notch": build.guess(1.4, 0.7)}
    now = build.setup(4.0)
    tried = (build.tried(0.0, 4, -3.0), build.tried(4.0, 4, 3.0))
    facts = build.facts(setup=now, balls=build.balls(8, setup=now), tried=tried, model=build.model(diagnosis=diagnosis))
    hint = choose(facts)
    assert hint.words == "More bow went right (p .03). Is the grip stick clear of the arm? Ask coach."
    assert choose(replace(facts, told={"wrong_sign": 8})).rule != "wrong_sign"


def test_a_drift_of_more_than_three_degrees_is_told(build):
    diagnosis = {"drift_beyond": 0.96, "drift_deg": build.guess(-4.2, 0.7)}
    tried = (build.tried(0.0, 6, 0.0),)
    facts = build.facts(balls=build.balls(20), tried=tried, model=build.model(diagnosis=diagnosis))
    hint = choose(facts)
    assert hint.words == "Feel has drifted: anchor now 4 left. Re-set, then go on."
    assert choose(replace(facts, told={"drift": 3})).rule != "drift"


def five(build, **diagnosis):
    """Bows -1 to 3, four balls each, all about 6 right; 17 of 20 solid."""
    means = {-1.0: 7.4, 0.0: 6.4, 1.0: 6.0, 2.0: 5.6, 3.0: 4.6}
    tried = tuple(build.tried(bow, 4, mean, solid=4 if bow < 2 else 3, struck=4) for bow, mean in means.items())
    tried = (*tried[:3], replace(tried[3], solid=3), replace(tried[4], solid=2))
    known = {"bow_deg_per_notch": build.guess(-0.64, 0.3), "outside": 0.98, "counted": 20} | diagnosis
    now = build.setup(3.0)
    return build.facts(
        setup=now,
        balls=build.balls(20, setup=now),
        tried=tried,
        model=build.model(crossing=Crossing(5.0, 4.0, float("inf")), diagnosis=known),
    )


def test_all_settings_to_one_side_suspect_the_aim(build):
    hint = choose(five(build))
    assert (hint.rule, hint.action) == ("aim", "CHECK AIM")
    assert hint.words == "All settings start about 6 right; bow moves it little. Check the aim line."
    assert "solid 17 of 20" in hint.numbers


def test_a_crossing_inside_the_scale_is_no_aim_matter(build):
    assert choose(five(build, outside=0.1)).rule != "aim"


def test_poor_strike_is_no_aim_matter(build):
    facts = five(build)
    poor = replace(facts, tried=tuple(replace(tried, solid=1) for tried in facts.tried))
    assert choose(poor).rule != "aim"


def curved(build, left, straight, setup):
    balls = [build.ball(k + 1, Side.ON_LINE, setup=setup, curve=Curve.LEFT) for k in range(left)]
    return (*balls, *(build.ball(left + k + 1, Side.ON_LINE, setup=setup, curve=Curve.STRAIGHT) for k in range(straight)))


def test_a_start_on_line_that_curves_is_path(build):
    facts = build.facts(balls=curved(build, 6, 2, build.setup()), tried=(build.tried(0.0, 8, 0.2),), model=build.model())
    hint = choose(facts)
    assert hint.words == "Starts on line, curves left 6 of 8: that is path, ask coach."


def test_an_even_curve_says_nothing(build):
    facts = build.facts(balls=curved(build, 4, 4, build.setup()), tried=(build.tried(0.0, 8, 0.2),), model=build.model())
    assert "path" not in choose(facts).words


def test_path_stands_beside_another_hint_once_it_was_heard(build):
    facts = build.facts(balls=curved(build, 6, 2, build.setup()), tried=(build.tried(0.0, 8, 0.2),), model=build.model(), told={"aim": 8})
    hint = choose(facts)
    assert hint.rule != "aim"
    assert "that is path, ask coach" in hint.why[-1]


def close(build, **more):
    tried = (
        build.tried(0.0, 4, 5.5),
        build.tried(2.0, 6, 0.6, sd=0.6, solid=5),
        build.tried(3.0, 6, -1.2, sd=0.6, solid=3),
        build.tried(4.0, 4, -4.5),
    )
    now = build.setup(2.0)
    known = {"setup": now, "balls": build.balls(20, setup=now), "tried": tried, "model": build.model(crossing=KNOWN)}
    return build.facts(**(known | more))


def test_two_neighbours_that_cannot_be_told_apart(build):
    hint = choose(close(build))
    assert (hint.rule, hint.action) == ("close_call", "2 OR 3")
    assert hint.words == "2 and 3 can't be told apart (6 balls each). Choose by strike and comfort."
    assert "solid 5 of 6" in hint.why[0]


def test_a_known_crossing_names_the_next_block(build):
    facts = close(build)
    lone = replace(facts, tried=facts.tried[:2] + facts.tried[3:])
    hint = choose(lone)
    assert hint.words == "Crosses at 2.2. Confirm next: 20 fresh balls."
    assert hint.block == BlockKind.CONFIRM.value


def test_nothing_is_proposed_past_the_plan(build):
    facts = close(build)
    lone = replace(facts, tried=facts.tried[:2] + facts.tried[3:], proposed=None, enough="The plan is done. Show the page to your coach.")
    hint = choose(lone)
    assert hint.words == "Crosses at 2.2. The plan is done. Show the page to your coach."
    assert hint.block is None


def test_a_crossing_that_was_not_hit_is_tried_first(build):
    facts = close(build)
    untried = replace(facts, setup=build.setup(4.0), balls=build.balls(8, setup=build.setup(4.0)), tried=(facts.tried[0], facts.tried[3]))
    assert choose(untried).words == "Bracketed 0 to 4. Try 2."


def test_a_centred_setting_moves_on_to_the_next_block(build):
    wide = build.model(crossing=Crossing(2.1, 1.2, 3.0), verdict=Verdict.CENTRED)
    facts = close(build, model=wide)
    assert choose(replace(facts, tried=facts.tried[:2] + facts.tried[3:])).rule == "close_call"


def test_forty_balls_without_a_crossing_go_to_the_coach(build):
    tried = (build.tried(0.0, 20, 9.0), build.tried(4.0, 20, 4.0))
    now = build.setup(4.0)
    model = build.model(crossing=Crossing(5.0, 4.2, float("inf")), diagnosis={"outside": 0.9, "counted": 40})
    hint = choose(build.facts(setup=now, balls=build.balls(40, setup=now), tried=tried, model=model))
    assert (hint.rule, hint.words) == ("not_reachable", "Take this to your coach.")
    assert hint.numbers == "40 counted, no crossing; tried bow/grip 0/30 and 4/30"


def test_earlier_days_spare_the_extremes(build):
    model = build.model(crossing=Crossing(2.0, 0.8, 3.2), diagnosis={"counted": 30})
    facts = build.facts(balls=build.balls(3), tried=(build.tried(0.0, 3, 4.0),), model=model)
    assert choose(facts).words == "Earlier balls cross near 2. Try 2."


def test_the_grip_lever_steps_along_its_marks(build):
    rules = {"first_lever": Lever.GRIP}
    now = build.setup(1.0, 60.0)
    tried = (build.tried(1.0, 4, 7.0, grip=0.0), build.tried(1.0, 4, -5.0, grip=60.0))
    facts = build.facts(
        rules=rules, setup=now, balls=build.balls(8, setup=now), tried=tried, model=build.model(suggestion=Setting(1.0, 45.0))
    )
    hint = choose(facts)
    assert (hint.action, hint.words) == ("GRIP 45", "Bracketed grip 0 to 60. Try 45.")


def test_a_grip_line_closed_to_one_step_goes_on(build):
    now = build.setup(1.0, 45.0)
    tried = (build.tried(1.0, 5, 3.0, grip=30.0), build.tried(1.0, 5, -2.5, grip=45.0))
    facts = build.facts(
        rules={"first_lever": Lever.GRIP},
        setup=now,
        balls=build.balls(10, setup=now),
        tried=tried,
        model=build.model(suggestion=Setting(1.0, 30.0)),
    )
    assert choose(facts).words == "The line lies between grip 30 and 45. Confirm next: 20 fresh balls."


def test_a_junior_is_not_sent_to_an_extreme(build):
    hint = choose(build.facts(junior=True, balls=build.balls(4), tried=(build.tried(0.0, 4, 5.5),), model=build.model()))
    assert hint.words == "Then bow 3, 4 balls, only if comfortable."


def test_a_wrist_limit_is_named_as_yours(build):
    rules = {"wrist_limit_bow": 2.0}
    hint = choose(build.facts(rules=rules, balls=build.balls(4), tried=(build.tried(0.0, 4, 5.5),), model=build.model()))
    assert hint.words == "Now more: bow 2, your limit, 4 balls."


def test_hints_count_only_to_the_cap(build):
    facts = build.facts(rules={"ball_cap": 10}, balls=build.balls(9), tried=(build.tried(0.0, 1, 5.0),))
    assert choose(facts).action == "1 MORE"


def test_a_toe_ball_counts_in_strike_only(build):
    assert build.ball(1, strike=Strike.TOE).enters_fits
    assert not build.ball(1, strike=Strike.TOP).enters_fits


def test_a_confirm_that_does_not_fit_is_for_next_time(build):
    facts = close(build, rules={"ball_cap": 30})
    lone = replace(facts, tried=facts.tried[:2] + facts.tried[3:])
    hint = choose(lone)
    assert (hint.words, hint.action, hint.block) == ("Crosses at 2.2. Confirm next time: 20 fresh balls.", "NEXT TIME", None)


def wandering(build, last):
    """Three balls at bow 0, then many elsewhere, then the last few as told."""
    elsewhere = [4.0] * 4 + [2.0] * 6 + [3.0] * 5
    bows = [0.0] * 4 + elsewhere + list(last)
    balls = [build.ball(k + 1, setup=build.setup(bow)) for k, bow in enumerate(bows)]
    tried = (build.tried(0.0, 4, 5.5), build.tried(2.0, 6, 1.0), build.tried(3.0, 5, -1.2), build.tried(4.0, 4, -4.5))
    return build.facts(setup=balls[-1].setup, balls=tuple(balls), tried=tried, model=build.model())


def test_the_anchor_is_hit_again_two_balls_in_fifteen(build):
    hint = choose(wandering(build, ()))
    assert (hint.words, hint.setting) == ("Anchor: 2 balls at bow 0, to see drift.", Setting(0.0, 30.0))
    hint = choose(wandering(build, (0.0,)))
    assert (hint.words, hint.action, hint.setting) == ("Anchor: 1 ball at bow 0, to see drift.", "1 MORE", None)
    assert "Anchor" not in choose(wandering(build, (0.0, 0.0))).words


def test_a_bow_that_never_moved_has_no_effect_to_tell(build):
    now = build.setup(2.0)
    hint = choose(build.facts(setup=now, balls=build.balls(40, setup=now), tried=(build.tried(2.0, 40, 3.0),), model=build.model()))
    assert "Bow was 2 for all 40 balls: no effect can be known." in hint.why


def test_bow_beyond_too_much_needs_declared_comfort(build):
    five = build.model(suggestion=Setting(5.0, 30.0), crossing=Crossing(3.5, 2.0, 5.0))
    facts = replace(extremes(build, 4), model=five)
    assert choose(facts).words == "Bracketed 0 to 4. Stay at 4."
    easy = replace(facts, tried=(facts.tried[0], replace(facts.tried[1], comfort=4.5)))
    assert choose(easy).words == "Bracketed 0 to 4. Check 5."


@pytest.mark.parametrize(
    ("n", "words", "action"),
    [
        (9, "Now clearly too much: bow 4, 4 balls.", "BOW 4"),
        (10, "Extremes first: least bow, 4 balls.", "HIT 4"),
        (12, "Extremes first: least bow, 2 balls.", "HIT 2"),
        (14, "Now clearly too much: bow 4, 4 balls.", "BOW 4"),
    ],
)
def test_ten_balls_as_ever_are_a_baseline_without_a_block(build, n, words, action):
    hint = choose(build.facts(balls=build.balls(n), tried=(build.tried(0.0, n, 2.4),), model=build.model()))
    assert (hint.words, hint.action) == (words, action)


def test_another_habit_goes_to_the_least_bow_first(build):
    now = build.setup(1.0)
    hint = choose(build.facts(setup=now, balls=build.balls(10, setup=now), tried=(build.tried(1.0, 10, 2.4),), model=build.model()))
    assert (hint.words, hint.setting) == ("Extremes first: least bow, 4 balls.", Setting(0.0, 30.0))


def test_a_ball_off_centre_brackets_nothing(build):
    now = build.setup(2.0, position_balls=-1.0)
    hint = choose(build.facts(setup=now, balls=build.balls(4, setup=now), model=build.model()))
    assert (hint.action, hint.words) == ("BALL CENTRE", "Ball back: it enters no bracket. Ball to centre.")


def test_few_balls_at_an_extreme(build):
    """The model would stay at bow 4; after four balls there the crossing as far as it is known is tried instead."""
    patient = build.model(suggestion=Setting(4.0, 30.0), crossing=Crossing(2.1, 1.1, 3.1))
    assert choose(replace(extremes(build, 4), model=patient)).words == "Bracketed 0 to 4. Try 2."
    near = build.model(suggestion=Setting(4.0, 30.0), crossing=Crossing(3.8, 2.8, 4.8))
    assert choose(replace(extremes(build, 4), model=near)).words == "Bracketed 0 to 4. Stay at 4."
