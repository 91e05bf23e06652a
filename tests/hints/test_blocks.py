"""A block completed, and the confirm block."""

from dataclasses import replace

import pytest

from rangelog.core.results import Estimate, Setting, Share
from rangelog.core.session import Pain
from rangelog.core.words import BlockKind, Height, PainSite
from rangelog.hints.block import compared
from rangelog.hints.choice import choose_between
from rangelog.hints.parts import (
    Candidate,
    ChoiceFacts,
    ComparisonFacts,
    ConfirmFacts,
    LadderFacts,
    Pair,
    PlanStep,
    Proposal,
    TallyFacts,
)
from rangelog.hints.rules import choose

BRACKET = Proposal(
    BlockKind.BOW_BRACKET, "Extremes first: least bow, 4 balls.", "Two extremes tell.", "BOW BRACKET", 20, Setting(0.0, 30.0)
)
TEN = TallyFacts(10, Share(3, 10, 0.108, 0.603), 6, 1, Share(7, 10, 0.4, 0.89), Estimate(2.4, 1.0, 0.7, 4.1), True)


def done(build, kind, **more):
    return build.block(kind, planned=10, count=10, done=True, **more)


def test_a_finished_baseline_names_the_extremes(build):
    """10 balls: 6 right of the line, 3 on it, 1 left; 7 solid."""
    hint = choose(build.facts(balls=build.balls(10), finished=done(build, BlockKind.BASELINE, tally=TEN), proposed=BRACKET))
    assert hint.rule == "block_done"
    assert hint.words == "Baseline done. Extremes first: least bow, 4 balls."
    assert hint.numbers == "10 counted. On line 3 of 10 (11-60 %). Right 6, left 1. Solid 7 of 10."
    assert any("+2.4 +-1.7 (from classes)" in line for line in hint.why)
    assert hint.block == "bow bracket"


def test_the_first_hint_of_a_day_opens_the_first_block(build):
    opening = Proposal(BlockKind.WARM_UP, "Warm up first: 8 short, easy balls.", "Cold balls pollute.", "WARM UP", 8)
    hint = choose(build.facts(proposed=opening))
    assert (hint.action, hint.words, hint.block) == ("WARM UP", "Warm up first: 8 short, easy balls.", "warm-up")


def test_no_next_block_is_the_end_of_the_plan(build):
    hint = choose(build.facts(balls=build.balls(10), finished=done(build, BlockKind.BASELINE, tally=TEN)))
    assert (hint.action, hint.words) == ("DONE", "Baseline done. That is the plan for today.")


A = Candidate("A", Setting(2.0, 30.0), 14, 20, 10, 20, comfort=3)
B = Candidate("B", Setting(1.0, 45.0), 15, 20, 18, 20, comfort=4)
PAIR = ChoiceFacts((A, B), (Pair(0, 1, 1.0, 0.0138),))


def test_two_on_line_combinations_are_told_apart_by_strike_and_comfort(build):
    """A on line 14 of 20, solid 10 of 20, comfort 3; B on line 15 of 20, solid 18 of 20, comfort 4."""
    choice = choose_between(PAIR)
    assert choice.setting == B.setting
    assert choice.reasons == ("strike", "comfort")
    assert "direction no difference shown (14/20 v 15/20)" in choice.numbers
    assert "strike B better: 18 v 10 of 20 (p = .014)" in choice.numbers
    assert "40 balls stay flagged as used to choose." in choice.why[-1]
    fresh = Proposal(BlockKind.CONFIRM, "Confirm next: 20 fresh balls, one setting.", "", "CONFIRM", 20)
    hint = choose(build.facts(balls=build.balls(40), finished=done(build, BlockKind.CHOOSE), choice=PAIR, proposed=fresh))
    assert hint.words == "B: bow 1, grip 45 (strike, comfort). Confirm next: 20 fresh balls, one setting."
    assert hint.numbers == "direction no difference shown (14/20 v 15/20); strike B better: 18 v 10 of 20 (p = .014)"
    assert hint.setting == B.setting


def test_a_raw_share_at_different_n_never_decides():
    short = replace(B, hits=5, n=5, solid=5, struck=5, comfort=None)
    choice = choose_between(ChoiceFacts((replace(A, comfort=None), short), (Pair(0, 1, 0.29, 0.06),)))
    assert choice.reasons in (("distance from the ends",), ("habit",), ())
    assert "no difference shown (14/20 v 5/5)" in choice.numbers


def test_nothing_apart_is_said_as_such():
    same = ChoiceFacts((replace(A, comfort=None), replace(A, name="B", comfort=None)), (Pair(0, 1, 1.0, 1.0),))
    assert "(cannot be told apart)" in choose_between(same).words


def test_a_choice_needs_two():
    with pytest.raises(ValueError, match="two candidates"):
        choose_between(ChoiceFacts((A,), ()))


def test_spread_decides_only_with_forty_balls_each():
    wide, narrow = replace(A, spread_deg=4.5, comfort=None), replace(B, spread_deg=2.0, comfort=None, solid=10)
    assert "spread" not in choose_between(ChoiceFacts((wide, narrow), (Pair(0, 1, 1.0, 1.0),))).reasons
    many = ChoiceFacts((replace(wide, n=40), replace(narrow, n=40)), (Pair(0, 1, 1.0, 1.0),))
    assert "spread" in choose_between(many).reasons


C = Candidate("C", Setting(3.0, 15.0), 14, 20, 19, 20, comfort=2)
TOLD = (Pair(0, 1, 1.0, 0.0138), Pair(0, 2, 1.0, 0.0033), Pair(1, 2, 1.0, 1.0))
"""Fisher's exact two-sided p of 10 v 18, 10 v 19 and 18 v 19 solid of 20: scipy.stats.fisher_exact."""


def test_of_three_the_worse_struck_drops_out_and_comfort_decides_between_the_others():
    choice = choose_between(ChoiceFacts((A, B, C), TOLD))
    assert (choice.name, choice.reasons) == ("B", ("strike", "comfort"))
    assert choice.numbers == (
        "direction no difference shown (14/20 v 15/20 v 14/20); "
        "strike B better than A: 18 v 10 of 20 (p = .014), C better than A: 19 v 10 of 20 (p = .0033)"
    )
    assert choice.why[2:] == ("Comfort: A 3 of 5, B 4 of 5 and C 2 of 5.", "60 balls stay flagged as used to choose.")


def test_the_third_may_be_the_one():
    plain = [replace(each, comfort=None) for each in (A, B, C)]
    plain[1] = replace(plain[1], solid=11)
    pairs = (Pair(0, 1, 1.0, 1.0), Pair(0, 2, 1.0, 0.0033), Pair(1, 2, 1.0, 0.0084))
    assert choose_between(ChoiceFacts(tuple(plain), pairs)).setting == C.setting


def test_three_comparisons_must_each_be_clearer_than_one():
    """p = .03 shows a difference where it is the only comparison, and none where it is one of three."""
    two, three = [replace(each, comfort=None) for each in (A, B)], [replace(each, comfort=None) for each in (A, B, C)]
    others = (Pair(0, 2, 1.0, 1.0), Pair(1, 2, 1.0, 1.0))
    assert "strike" in choose_between(ChoiceFacts(tuple(two), (Pair(0, 1, 1.0, 0.03),))).reasons
    assert "strike" not in choose_between(ChoiceFacts(tuple(three), (Pair(0, 1, 1.0, 0.03), *others))).reasons


def test_retention_is_held_against_the_confirm(build):
    """6 of 10 random, stick off, a week after 15 of 20."""
    words, _ = compared(ComparisonFacts(6, 10, 15, 20, 0.4311, ("stick", "order")))
    assert words == "6 of 10; not shown to differ from 15 of 20 (p = .43); stick and order also differ."
    facts = build.facts(
        balls=build.balls(18),
        finished=done(build, BlockKind.RETENTION),
        comparison=ComparisonFacts(6, 10, 15, 20, 0.4311, ("stick", "order")),
        proposed=BRACKET,
    )
    assert choose(facts).words == words


def test_a_shown_difference_is_said():
    assert (
        compared(ComparisonFacts(2, 20, 15, 20, 0.00005, ("order",)))[0] == "2 of 20; differs from 15 of 20 (p < .001); order also differs."
    )


def test_a_finished_ladder_says_its_verdict(build):
    ladder = LadderFacts("follows", False, Estimate(3.1, 0.7, 1.9, 4.3))
    hint = choose(build.facts(balls=build.balls(15), finished=done(build, BlockKind.LADDER), ladder=ladder, proposed=BRACKET))
    assert hint.numbers == "Height follows ball position."
    undecided = LadderFacts("undecided", False, Estimate(1.5, 1.0, -0.2, 3.2), balls_needed=5)
    hint = choose(build.facts(balls=build.balls(15), finished=done(build, BlockKind.LADDER), ladder=undecided, proposed=BRACKET))
    assert hint.numbers == "Height undecided: 5 more solid at each end."


def confirm(build, fresh, bias=None, *, facts=None, **more):
    state = ConfirmFacts(Setting(0.0, 30.0), fresh, bias=bias, **{"spread_deg": 2.9} | more)
    block = build.block(BlockKind.CONFIRM, planned=20, count=fresh, steady=True, home=Setting(0.0, 30.0))
    return build.facts(balls=build.balls(fresh), block=block, confirm=state, **(facts or {}))


def test_no_verdict_before_the_planned_count(build):
    hint = choose(confirm(build, 13))
    assert (hint.rule, hint.action) == ("confirm_running", "CONFIRM 13/20")
    assert hint.words == "13/20 hit. Keep going, no verdict before 20."


CENTRED = Estimate(0.3, 0.67, -0.8, 1.4)


def test_centred_names_the_spread_that_is_left(build):
    hint = choose(confirm(build, 20, CENTRED))
    assert (hint.rule, hint.action) == ("confirm_end", "CENTRED")
    assert hint.words == "Centred: +0.3 (-0.8..1.4). Your spread 2.9 is what is left."
    assert "stick on" in hint.numbers


def test_an_interval_that_leaves_the_window_is_not_shown_yet(build):
    hint = choose(confirm(build, 20, Estimate(0.9, 0.9, -0.6, 2.4)))
    assert hint.words == "Not shown yet, +-1.5. Second look: 20 more."
    assert hint.action == "20 MORE"


def test_the_second_look_is_the_last(build):
    hint = choose(confirm(build, 40, Estimate(1.2, 0.6, 0.0, 2.4), look=2, planned=40))
    assert hint.words == "Not shown in two looks, +-1.2. Ask coach."


def test_off_the_window_goes_back_to_the_bracket(build):
    hint = choose(confirm(build, 20, Estimate(3.5, 0.7, 2.4, 4.6)))
    assert hint.words == "Not centred: 3.5 right +-1.1. Back to the bracket."
    assert hint.block == "bow bracket"


def test_centred_with_fallen_strike_or_pain_is_not_done(build):
    assert choose(confirm(build, 20, CENTRED, solid_ok=False)).action == "NOT YET"
    sore = {"pains": (Pain(PainSite.WRIST, 3, starting=True),)}
    assert choose(confirm(build, 20, CENTRED, facts=sore)).action == "NOT YET"


def test_the_models_running_verdict_is_never_done(build):
    model = build.model(verdict="centred")
    facts = build.facts(balls=build.balls(12), tried=(build.tried(0.0, 12, 0.1),), model=model)
    assert "Centred" not in choose(facts).words


def test_a_drawn_plan_asks_for_each_ball(build):
    ladder = build.block(
        BlockKind.LADDER, planned=15, count=3, next_step=PlanStep(position_balls=1.0), short="Move the ball.", holds_face=True
    )
    hint = choose(build.facts(balls=build.balls(3), block=ladder))
    assert (hint.rule, hint.action) == ("not_enough", "FORWARD")
    assert hint.words == "Ladder: 3 of 15. Next: ball forward."
    called = build.block(BlockKind.TRAJECTORY, planned=12, count=1, next_step=PlanStep(called=Height.LOW))
    assert choose(build.facts(balls=build.balls(1), block=called)).action == "LOW"
    turn = build.block(BlockKind.CHOOSE, planned=20, count=2, next_step=PlanStep(setting=Setting(1.0, 45.0)), moves=("bow", "grip"))
    hint = choose(build.facts(balls=build.balls(2), block=turn))
    assert (hint.action, hint.setting) == ("BOW 1 GRIP 45", Setting(1.0, 45.0))
    target = build.block(BlockKind.RANDOM, planned=10, count=2, next_step=PlanStep(target="left flag"))
    assert choose(build.facts(balls=build.balls(2), block=target)).action == "LEFT FLAG"
    off = build.block(BlockKind.STICK_OFF, planned=20, count=5, next_step=PlanStep(stick=False))
    assert choose(build.facts(balls=build.balls(5), block=off)).action == "STICK OFF"


def test_a_start_clearly_to_one_side_is_moved_not_hit_again(build):
    hint = choose(confirm(build, 20, Estimate(2.4, 0.6, 1.4, 3.4)))
    assert hint.words == "Starts 2.4 right +-1.0: not shown. Back to the bracket."
    hint = choose(confirm(build, 40, Estimate(1.6, 0.5, 0.6, 2.6), look=2, planned=40))
    assert (hint.action, hint.block) == ("BRACKET", "bow bracket")


def test_all_on_line_shows_a_share_and_no_more(build):
    """6 of 6: Wilson lower bound 0.61."""
    six = TallyFacts(6, Share(6, 6, 0.61, 1.0), 0, 0)
    hint = choose(build.facts(balls=build.balls(6), finished=done(build, BlockKind.BASELINE, tally=six), proposed=BRACKET))
    assert "All 6 on line: true share likely over 61 %." in hint.why


def test_a_second_look_that_does_not_fit_waits(build):
    hint = choose(confirm(build, 20, Estimate(0.9, 0.9, -0.6, 2.4), facts={"rules": {"ball_cap": 30}}))
    assert (hint.words, hint.action) == ("Not shown yet, +-1.5. Second look another day.", "NEXT TIME")
