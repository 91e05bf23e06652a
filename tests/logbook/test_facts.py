"""Facts put together from balls, blocks, forms, model answers and evidence, and the stories told end to end through the rules.

All players and balls are invented.
"""

from dataclasses import replace

import pytest

from rangelog.bracketing import Bracket
from rangelog.core.ball import Ball
from rangelog.core.player import Player, Prescription
from rangelog.core.results import Alarm, Estimate, Setting, Share
from rangelog.core.session import Block, Form, Pain
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Hand, Height, Lever, PainSite, Reason, Side, Strike
from rangelog.evidence import ladder
from rangelog.evidence.ladder_result import LadderBall
from rangelog.hints.rules import choose
from rangelog.journey import order
from rangelog.journey.plan import Progress
from rangelog.logbook.block_results import Confirmed
from rangelog.logbook.facts import Evidence, gather

RULES = Prescription("rx", club_id="iron")
Z = 1.645


def setup(bow=0.0, grip=30.0, **more):
    return Setup(bow, grip, club_id=more.pop("club_id", "iron"), **more)


def ball(seq, start=Side.RIGHT, where=None, **more):
    at = f"2026-05-01T10:{seq:02d}:00+00:00"
    known = {"strike": Strike.SOLID} | more
    side, degrees = (None, start) if isinstance(start, float) else (start, None)
    return Ball(f"b{seq}", "s", seq, at, where or setup(), side=side, start_deg=degrees, **known)


def hit(starts, where=None, first=1, **more):
    return [ball(first + k, start, where, **more) for k, start in enumerate(starts)]


def bracket(balls, hand="right", **more):
    model = Bracket(hand=hand, **more)
    for one in balls:
        start = one.start_deg if one.start_deg is not None else one.side.value
        model.add(bow=one.setup.bow, grip=one.setup.grip, start=start, session="s", club="iron", strike="solid")
    return model


def told(balls, where=None, player=None, rules=RULES, **more):
    """Facts for one more ball at the last setup, or at another."""
    return gather(player=player or Player("p"), prescription=rules, setup=where or balls[-1].setup, balls=balls, **more)


def plain_fit(balls):
    """Mean and spread of numbers, for results that need no model."""
    values = [one.start_deg for one in balls if one.start_deg is not None]
    if len(values) < 2:
        return None
    mean = sum(values) / len(values)
    spread = (sum((value - mean) ** 2 for value in values) / (len(values) - 1)) ** 0.5
    error = spread / len(values) ** 0.5
    return Estimate(mean, error, mean - Z * error, mean + Z * error), spread


LEAST, MOST = (6.0, 4.5, 7.5, 4.0), (-3.0, -6.5, -4.0, -4.5)


def extremes(sign=1.0, block_id=""):
    least = hit([sign * value for value in LEAST], setup(0.0), block_id=block_id)
    return [*least, *hit([sign * value for value in MOST], setup(4.0), 5, block_id=block_id)]


@pytest.mark.parametrize(("hand", "sign"), [("right", 1.0), ("left", -1.0)])
def test_two_extremes_are_bracketed_for_either_hand(hand, sign):
    """Bow 0: 6.0, 4.5, 7.5, 4.0 to the open side; bow 4: 3.0, 6.5, 4.0, 4.5 to the closed side."""
    balls = extremes(sign, "b")
    block = Block("b", "s", 1, BlockKind.BOW_BRACKET, 20)
    facts = told(balls, player=Player("p", hand=Hand(hand)), blocks=[block], model=bracket(balls, hand))
    hint = choose(facts)
    assert (hint.words, hint.action, hint.setting) == ("Bracketed 0 to 4. Try 2.", "BOW 2", Setting(2.0, 30.0))
    assert hint.numbers.startswith("crosses at 2.2 +-")
    word = "right" if sign > 0 else "left"
    assert f"{word} 4" in hint.why[0]
    assert facts.model is not None
    assert abs(facts.model.diagnosis.bow_deg_per_notch.mean + sign * 2.5) < 0.5


@pytest.mark.parametrize("n", [5, 6, 7])
def test_no_bracket_after_the_first_balls_of_the_second_extreme(n):
    balls = extremes(block_id="b")[:n]
    block = Block("b", "s", 1, BlockKind.BOW_BRACKET, 20)
    assert "Bracketed" not in choose(told(balls, blocks=[block], model=bracket(balls))).words


def test_a_baseline_is_counted_and_the_extremes_are_next():
    """1 far right, 5 right, 3 on line, 1 left; 7 solid, 2 thin, 1 fat."""
    sides = [
        Side.RIGHT,
        Side.ON_LINE,
        Side.FAR_RIGHT,
        Side.RIGHT,
        Side.LEFT,
        Side.RIGHT,
        Side.ON_LINE,
        Side.RIGHT,
        Side.ON_LINE,
        Side.RIGHT,
    ]
    strikes = [Strike.SOLID] * 7 + [Strike.THIN] * 2 + [Strike.FAT]
    balls = [ball(k + 1, side, block_id="b", strike=strike) for k, (side, strike) in enumerate(zip(sides, strikes, strict=True))]
    block = Block("b", "s", 1, BlockKind.BASELINE, 10)
    progress = Progress(done_today=(BlockKind.WARM_UP,), hit_today=18)
    fit = lambda _: (Estimate(2.4, 1.0, 0.7, 4.1), 3.0)  # noqa: E731 - a stub
    hint = choose(told(balls, blocks=[block], progress=progress, model=bracket(balls), fit=fit))
    assert hint.words == "Baseline done. Extremes first: least bow, 4 balls."
    assert hint.numbers == "10 counted. On line 3 of 10 (11-60 %). Right 6, left 1. Solid 7 of 10."
    assert any("+2.4 +-1.7 (from classes)" in line for line in hint.why)
    assert hint.block == "bow bracket"
    assert hint.setting is None


def test_a_choice_falls_on_strike_and_comfort():
    """A on line 14 of 20, solid 10, comfort 3; B on line 15 of 20, solid 18, comfort 4: exact p .014."""

    def candidate(where, on_line, solid, comfort, first):
        return [
            ball(
                first + k,
                Side.ON_LINE if k < on_line else Side.RIGHT,
                where,
                block_id="b",
                strike=Strike.SOLID if k < solid else Strike.THIN,
                comfort=comfort,
            )
            for k in range(20)
        ]

    balls = [*candidate(setup(2.0, 30.0), 14, 10, 3, 1), *candidate(setup(1.0, 45.0), 15, 18, 4, 21)]
    progress = Progress(done_today=(BlockKind.WARM_UP,), done_before=frozenset({BlockKind.BASELINE}), hit_today=40, crossing_known=True)
    progress = replace(progress, grip_known=True, on_line_settings=2)
    hint = choose(told(balls, blocks=[Block("b", "s", 1, BlockKind.CHOOSE, 40)], progress=progress))
    assert hint.words == "B: bow 1, grip 45 (strike, comfort). Confirm next: 20 fresh balls, one setting."
    assert hint.numbers == "direction no difference shown (14/20 v 15/20); strike B better: 18 v 10 of 20 (p = .014)"
    assert hint.setting == Setting(1.0, 45.0)


def ladder_balls(means, spread=1.6, n=10):
    """n balls a position whose mean and standard deviation are exactly as told."""
    offsets = [k - (n - 1) / 2 for k in range(n)]
    scale = spread / (sum(o * o for o in offsets) / (n - 1)) ** 0.5
    return [
        LadderBall(position, Strike.SOLID, Height.LOW if mean < 13 else Height.MID, mean + scale * o)
        for position, mean in zip((-1.0, 0.0, 1.0), means, strict=True)
        for o in offsets
    ]


def test_same_height_goes_back_to_the_body():
    """Launch means 12.1, 12.3, 12.4 with SD 1.6: difference 0.3 (-0.9..1.5); two-ball change expected 3.4."""
    evidence = Evidence(ladder=ladder.read(ladder_balls((12.1, 12.3, 12.4)), 28.0))
    hint = choose(told(hit([Side.RIGHT] * 4), evidence=evidence))
    assert hint.words == "Height does not follow ball position, and all is low."
    assert hint.numbers == "Body probably moves ahead about as far as the ball. Back to the body check."
    assert hint.why[0] == "Forward minus back +0.3 (-0.9..1.5) deg, expected 3.4."
    assert hint.why[1] == "Body travelled about 78 of 85 mm."
    assert hint.holds_face


def test_height_that_follows_holds_nothing_back():
    """Difference 3.1 (1.9..4.3)."""
    evidence = Evidence(ladder=ladder.read(ladder_balls((15.0, 16.5, 18.1)), 28.0))
    facts = told(hit([Side.RIGHT] * 4), evidence=evidence)
    assert facts.ladder is not None
    assert facts.ladder.verdict == "follows"
    assert choose(facts).rule != "body_gate"


def test_tired_withholds_the_face_hint():
    balls = hit([Side.RIGHT] * 52)
    hint = choose(told(balls, evidence=Evidence(tired=Alarm(True, 4, 12, 29, 40, 52))))
    assert hint.words == "Rest or stop: 4 of 12 solid, was 29 of 40."
    assert hint.setting is None


def test_all_to_one_side_suspects_the_aim_and_a_correction_changes_it():
    """Bows -1 to 3, means 7.4, 6.4, 6.0, 5.6, 4.6; corrected by 5 the mean is 1.0."""
    balls = []
    for bow, mean in zip((-1.0, 0.0, 1.0, 2.0, 3.0), (7.4, 6.4, 6.0, 5.6, 4.6), strict=True):
        balls += hit([mean - 2, mean + 2, mean - 1, mean + 1], setup(bow), len(balls) + 1)
    hint = choose(told(balls, model=bracket(balls)))
    assert hint.words == "All settings start about 6 right; bow moves it little. Check the aim line."
    corrected = [replace(one, aim_correction_deg=5.0) for one in balls]
    facts = told(corrected)
    assert sum(tried.right for tried in facts.tried) < 10
    assert {tried.setting: (tried.right, tried.left) for tried in told(balls).tried}[Setting(0.0, 30.0)] == (4, 0)


def test_a_wrist_limit_and_pain():
    balls = hit([Side.RIGHT] * 9, setup(2.0))
    rules = replace(RULES, wrist_limit_bow=2.0)
    start = Pain(PainSite.WRIST, 1, starting=True)
    stop = choose(told(balls, rules=rules, pains=[start, Pain(PainSite.WRIST, 4, after_seq=9, bow=2.0)]))
    assert stop.words == "Stop for today. Pain 4 (was 1)."
    facts = told(balls, rules=rules, pains=[start, Pain(PainSite.WRIST, 3, after_seq=9, bow=2.0)], model=bracket(balls))
    assert facts.lever is Lever.GRIP
    assert facts.bow_range[1] == 1.0
    assert choose(facts).setting == Setting(1.0, 30.0)


def test_another_club_with_moved_levers_starts_a_new_set():
    before = hit([Side.RIGHT] * 8, setup(2.0, 30.0, club_id="28"))
    after = hit([Side.RIGHT] * 6, setup(3.0, 45.0, club_id="34"), 9)
    facts = told([*before, *after], club_name="34 deg iron")
    assert [(tried.setting, tried.n) for tried in facts.tried] == [(Setting(3.0, 45.0), 6)]
    hint = choose(facts)
    assert hint.words == "Club, bow and grip all changed: these 6 start a new set."
    assert hint.numbers == "34 deg iron: 6 balls, one setting: no effect known"


def test_retention_is_held_against_what_was_confirmed():
    """6 of 10, stick off in random order, a week after 15 of 20 with the stick on: exact p .43."""
    off = setup(2.0, stick=False)
    sides = [Side.ON_LINE] * 6 + [Side.RIGHT] * 4
    balls = [ball(k + 1, side, off, block_id="b") for k, side in enumerate(sides)]
    confirmed = Confirmed(15, 20, Setting(2.0, 30.0), stick=True, club_id="iron")
    hint = choose(told(balls, blocks=[Block("b", "s", 1, BlockKind.RETENTION, 10)], confirmed=confirmed))
    assert hint.words == "6 of 10; not shown to differ from 15 of 20 (p = .43); stick and order also differ."


def confirm(starts, **more):
    balls = hit(starts, setup(2.0), block_id="b", strike=more.pop("strike", Strike.SOLID))
    return told(balls, blocks=[Block("b", "s", 1, BlockKind.CONFIRM, 20)], fit=plain_fit, **more)


NARROW = [(-1.0) ** k * 2.0 + 0.3 for k in range(20)]
WIDE = [(-1.0) ** k * 4.0 + 0.9 for k in range(20)]


def test_a_confirm_runs_to_its_planned_count():
    assert choose(confirm(NARROW[:13])).words == "13/20 hit. Keep going, no verdict before 20."


def test_a_centred_confirm_stays_centred_whatever_is_hit_after():
    hint = choose(confirm(NARROW))
    assert hint.words.startswith("Centred: +0.3 (")
    assert choose(confirm([*NARROW, 12.0, 12.0, 12.0])).words == hint.words


def test_a_centred_confirm_counts_as_confirmed_for_the_next_block():
    progress = Progress(done_today=(BlockKind.WARM_UP,), done_before=frozenset({BlockKind.BASELINE}), hit_today=28)
    facts = confirm(NARROW, progress=progress)
    assert facts.proposed is not None
    assert facts.proposed.kind is BlockKind.LADDER


def test_what_is_not_shown_gets_one_second_look():
    first = confirm(WIDE)
    assert choose(first).words.startswith("Not shown yet, +-1.5.")
    assert choose(confirm([*WIDE, 0.9])).words == "21/40 hit. Keep going, no verdict before 40."
    second = confirm([*WIDE, *WIDE])
    assert second.confirm is not None
    assert second.confirm.look == 2
    assert second.confirm.bias is not None
    assert second.confirm.bias.half_width == pytest.approx(1.96 * second.confirm.bias.sd)


def test_balls_of_another_setting_are_not_fresh():
    balls = [*hit(NARROW[:10], setup(2.0), block_id="b"), *hit(NARROW[:3], setup(3.0), 11, block_id="b")]
    facts = told(balls, blocks=[Block("b", "s", 1, BlockKind.CONFIRM, 20)])
    assert facts.confirm is not None
    assert facts.confirm.fresh == 10


def test_fallen_strike_keeps_a_confirm_from_done():
    baseline = Evidence(baseline=Share(18, 20, 0.7, 0.97))
    hint = choose(confirm(NARROW, strike=Strike.THIN, evidence=baseline))
    assert hint.action == "NOT YET"


def test_stick_off_is_held_against_stick_on_of_the_same_block():
    on = hit([0.5, -0.5, 0.4, -0.4, 0.1], setup(2.0), block_id="b")
    off = hit([3.0, 2.6, 2.8, 3.2, 0.9], setup(2.0, stick=False), 6, block_id="b")
    facts = told([*on, *off], blocks=[Block("b", "s", 1, BlockKind.STICK_OFF, 10)], fit=plain_fit)
    assert facts.comparison is not None
    assert (facts.comparison.hits, facts.comparison.was_hits) == (1, 5)
    assert facts.comparison.shift_deg is not None
    assert facts.comparison.shift_deg.mean == pytest.approx(2.48)


def test_what_does_not_enter_a_fit_is_not_tried():
    balls = [
        ball(1),
        ball(2, counted=False, reason=Reason.INTERRUPTED),
        ball(3, strike=Strike.TOP),
        ball(4, touched=True),
        ball(5, voided=True),
        ball(6, None),
        ball(7, where=setup(position_balls=1.0)),
        ball(8, block_id="w"),
        ball(9, where=setup(stick=False)),
    ]
    facts = told(balls, setup(), blocks=[Block("w", "s", 1, BlockKind.WARM_UP, 8, ended_at="x", outcome="done")])
    assert [(tried.setting, tried.n) for tried in facts.tried] == [(Setting(0.0, 30.0), 1)]
    assert len(facts.balls) == 8


def test_a_drawn_plan_asks_for_the_next_ball_inside_the_limit():
    plan = order.to_text([order.Step(bow=1.0, grip=30.0), order.Step(bow=5.0, grip=30.0)])
    block = Block("b", "s", 1, BlockKind.CHOOSE, 2, plan=plan)
    balls = hit([Side.RIGHT], setup(1.0), block_id="b")
    facts = told(balls, blocks=[block], rules=replace(RULES, wrist_limit_bow=2.0))
    assert facts.block is not None
    assert facts.block.next_step is not None
    assert facts.block.next_step.setting == Setting(2.0, 30.0)


def test_the_latest_answer_to_a_body_check_holds():
    fail = Form("f", "s", "body", "", 0, {"nose": "fail", "pelvis": "pass"})
    later = Form("g", "s", "body", "", 20, {"nose": "not applicable", "pelvis": "pass"})
    half = Form("h", "s", "body", "", 25, {"nose": "fail"}, complete=False)
    balls = hit([Side.RIGHT] * 2)
    assert choose(told(balls, forms=[fail])).words == "Back to the body check: nose behind midline."
    assert choose(told(balls, forms=[fail, later])).rule != "body_gate"
    assert choose(told(balls, forms=[fail, later, half])).rule != "body_gate"


def test_an_ended_block_speaks_until_the_next_ball():
    balls = hit([Side.RIGHT] * 10, block_id="b")
    block = Block("b", "s", 1, BlockKind.BASELINE, 10, ended_at="x", outcome="done")
    assert choose(told(balls, blocks=[block])).rule == "block_done"
    assert choose(told([*balls, ball(11)], blocks=[block])).rule != "block_done"
    abandoned = replace(block, outcome="abandoned")
    assert choose(told(balls, blocks=[abandoned])).rule != "block_done"


def test_no_room_for_another_block_says_why():
    balls = hit([Side.RIGHT] * 10, block_id="b")
    progress = Progress(ball_cap=60, hit_today=57, done_today=(BlockKind.WARM_UP,))
    hint = choose(told(balls, blocks=[Block("b", "s", 1, BlockKind.BASELINE, 10)], progress=progress))
    assert hint.words == "Baseline done. That is the plan for today."
    assert "3 balls to the cap: that is all for today." in hint.why


class Counting:
    """Counts how often each question is asked of a model."""

    def __init__(self, model):
        self._model = model
        self.asked = []

    def __getattr__(self, name):
        answer = getattr(self._model, name)

        def ask(*args, **more):
            self.asked.append((name, args, tuple(sorted(more.items()))))
            return answer(*args, **more)

        return ask


def test_each_question_is_asked_of_the_model_once():
    balls = extremes()
    model = Counting(bracket(balls))
    told(balls, model=model)
    assert len(model.asked) == len(set(model.asked))
    assert len(model.asked) <= 9


def test_an_unreadable_clock_gives_no_pace():
    facts = told([replace(ball(1), at="yesterday"), ball(2)])
    assert facts.at_epoch_s[0] is None
    assert facts.at_epoch_s[1] is not None


def test_classes_of_one_kind_still_get_a_verdict():
    """20 of 20 on line have no largest likelihood; the model bounds them."""
    balls = hit([Side.ON_LINE] * 20, setup(2.0), block_id="b")
    hint = choose(told(balls, blocks=[Block("b", "s", 1, BlockKind.CONFIRM, 20)], fit=plain_fit))
    assert hint.action == "CENTRED"
    right = hit([Side.RIGHT] * 20, setup(2.0), block_id="b")
    hint = choose(told(right, blocks=[Block("b", "s", 1, BlockKind.CONFIRM, 20)], fit=plain_fit))
    assert hint.action == "BRACKET"


def test_ten_balls_as_ever_without_a_block_are_told_as_a_baseline():
    sides = [Side.FAR_RIGHT, *[Side.RIGHT] * 5, *[Side.ON_LINE] * 3, Side.LEFT]
    strikes = [Strike.SOLID] * 7 + [Strike.THIN] * 2 + [Strike.FAT]
    balls = [ball(k + 1, side, strike=strike) for k, (side, strike) in enumerate(zip(sides, strikes, strict=True))]
    hint = choose(told(balls, model=bracket(balls)))
    assert hint.words == "Extremes first: least bow, 4 balls."
    assert hint.numbers == "10 counted. On line 3 of 10 (11-60 %). Right 6, left 1. Solid 7 of 10."
    assert any("(from classes)" in line for line in hint.why)
