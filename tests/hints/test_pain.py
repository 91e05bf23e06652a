"""Pain first."""

from rangelog.core.results import Setting
from rangelog.core.session import Pain
from rangelog.core.words import Lever, PainSite
from rangelog.hints.rules import choose


def wrist(level, **more):
    return Pain(PainSite.WRIST, level, **more)


START = wrist(1, starting=True)


def test_pain_four_after_one_stops_for_today(build):
    """Wrist limit bow 2, pain 1 at the start, at bow 2 the player flags pain 4."""
    facts = build.facts(
        rules={"wrist_limit_bow": 2.0}, setup=build.setup(2.0), balls=build.balls(9), pains=(START, wrist(4, after_seq=9, bow=2.0))
    )
    hint = choose(facts)
    assert (hint.rule, hint.action, hint.words) == ("pain", "STOP", "Stop for today. Pain 4 (was 1).")
    assert hint.setting is None
    assert hint.block is None
    assert hint.runner_up == ""
    assert hint.holds_face


def test_pain_four_without_an_earlier_answer(build):
    assert choose(build.facts(pains=(wrist(4),))).words == "Stop for today. Pain 4."


def test_the_stop_holds_for_the_rest_of_the_session(build):
    pains = (START, wrist(4, after_seq=9, bow=2.0), wrist(0, after_seq=20, bow=0.0))
    assert choose(build.facts(balls=build.balls(25), pains=pains)).action == "STOP"


def test_pain_three_stops_bow_hints_and_caps_one_below(build):
    facts = build.facts(
        rules={"wrist_limit_bow": 2.0}, setup=build.setup(2.0), balls=build.balls(9), pains=(START, wrist(3, after_seq=9, bow=2.0))
    )
    hint = choose(facts)
    assert hint.words == "Bow hints stop. Nothing above bow 1."
    assert (hint.action, hint.setting) == ("BOW 1", Setting(1.0, 30.0))
    assert "Pain 3 (was 1) at bow 2" in hint.numbers
    assert any("physician" in line for line in hint.why)


def test_after_a_rise_the_grip_lever_stays(build):
    balls = build.balls(14, setup=build.setup(1.0))
    facts = build.facts(
        setup=build.setup(1.0), balls=balls, pains=(START, wrist(3, after_seq=9, bow=2.0)), tried=(build.tried(1.0, 5, 5.0),)
    )
    hint = choose(facts)
    assert facts.lever is Lever.GRIP
    assert hint.rule == "not_bracketed"
    assert hint.action == "GRIP 0"
    assert hint.setting is not None
    assert hint.setting.bow == 1.0


def test_a_rise_is_said_even_when_the_bow_is_already_low(build):
    facts = build.facts(setup=build.setup(0.0), balls=build.balls(9), pains=(START, wrist(3, after_seq=9, bow=2.0)))
    assert choose(facts).action == "BOW STOPS"
