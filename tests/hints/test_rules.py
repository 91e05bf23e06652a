"""The one ordered list, what it always gives, and what it never proposes."""

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from rangelog.core.player import Player, Prescription
from rangelog.core.results import Alarm, Crossing, Diagnosis, Estimate, Hint, Setting
from rangelog.core.session import Pain
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, CheckAnswer, Hand, Lever, PainSite, Verdict
from rangelog.hints.facts import Facts
from rangelog.hints.parts import BlockFacts, Check, ConfirmFacts, ModelFacts, PlanStep, Proposal, StrikeFacts, Tried
from rangelog.hints.rules import RULES, choose

ORDER = (
    "pain",
    "setup",
    "one_thing",
    "tired",
    "strike_gate",
    "body_gate",
    "block_done",
    "confirm_running",
    "confirm_end",
    "not_enough",
    "wrong_sign",
    "drift",
    "aim",
    "not_bracketed",
    "bracketed",
    "close_call",
    "not_reachable",
)


def test_seventeen_rules_stand_in_their_order():
    assert tuple(rule.id for rule in RULES) == ORDER


def test_the_first_that_applies_speaks_and_the_next_is_kept(build):
    """Piling up reasons from the last rule to the first, each new one takes over from the one before it."""
    now = build.setup(4.0)
    wide = Estimate(0.9, 0.9, -0.6, 2.4)
    tried = (build.tried(0.0, 4, 5.5), build.tried(4.0, 4, -4.5))
    facts = build.facts(setup=now, balls=build.balls(8, setup=now), tried=tried, model=build.model())
    piled: list[tuple[str, Facts]] = [("bracketed", facts)]

    def pile(rule: str, **changes: object) -> None:
        piled.append((rule, replace(piled[-1][1], **changes)))

    pile("drift", model=build.model(diagnosis={"drift_beyond": 0.99, "drift_deg": build.guess(4.0)}))
    pile("wrong_sign", model=build.model(diagnosis={"wrong_sign": 0.99, "drift_beyond": 0.99, "drift_deg": build.guess(4.0)}))
    pile("not_enough", tried=(tried[0], build.tried(4.0, 2, -4.5)))
    confirm = ConfirmFacts(Setting(4.0, 30.0), 20, bias=wide)
    pile("confirm_end", block=build.block(BlockKind.CONFIRM, planned=20, count=20), confirm=confirm)
    pile("confirm_running", confirm=replace(confirm, fresh=13))
    pile("block_done", finished=build.block(BlockKind.BASELINE, planned=10, count=10, done=True))
    pile("body_gate", checks=(Check("nose", "nose behind midline", CheckAnswer.FAIL),))
    pile("strike_gate", strike=StrikeFacts(gate=Alarm(True, 4, 10, 9, 10, 20)))
    pile("tired", strike=StrikeFacts(tired=Alarm(True, 4, 12, 29, 40, 52), gate=Alarm(True, 4, 10, 9, 10, 20)))
    pile("one_thing", setup=build.setup(2.0, 45.0))
    pile("setup", setup=build.setup(None, None))
    pile("pain", pains=(Pain(PainSite.WRIST, 4),))
    assert [choose(facts).rule for _, facts in piled] == [rule for rule, _ in piled]
    names = {rule.id: rule.name for rule in RULES}
    tired = dict(piled)["tired"]
    assert choose(tired).runner_up == f"{names['strike_gate']}: Strike first: 4 of 10 solid. Face hints paused."


def test_there_is_always_a_hint(build):
    hint = choose(build.facts(tried=(build.tried(0.0, 45, 0.0),), balls=build.balls(45)))
    assert isinstance(hint, Hint)
    assert hint.words


BOWS = st.integers(-4, 10).map(lambda half: half / 2)
GRIPS = st.sampled_from([-15.0, 0.0, 30.0, 45.0, 60.0, 90.0])
SETTINGS = st.builds(Setting, BOWS, GRIPS)
MEANS = st.floats(-12, 12)


def guess(mean: float, sd: float) -> Estimate:
    return Estimate(mean, sd, mean - 1.645 * sd, mean + 1.645 * sd)


@st.composite
def any_model(draw: st.DrawFn) -> ModelFacts:
    middle, half = draw(BOWS), draw(st.sampled_from([0.3, 0.6, 1.2, 3.0, float("inf")]))
    chance = st.sampled_from([0.0, 0.5, 0.96, 0.99])
    diagnosis = Diagnosis(
        guess(draw(st.floats(-4, 2)), 0.5),
        guess(-4.0, 2.0),
        guess(2.8, 0.4),
        draw(chance),
        guess(draw(MEANS), 1.0),
        draw(chance),
        (),
        True,
        False,
        draw(st.booleans()),
        draw(chance),
        draw(st.integers(0, 80)),
        draw(st.booleans()),
    )
    return ModelFacts(
        Crossing(middle, middle - half, middle + half),
        diagnosis,
        draw(SETTINGS),
        draw(st.floats(0, 1)),
        bias_there=guess(draw(MEANS), draw(st.sampled_from([0.4, 2.0]))),
        verdict=draw(st.sampled_from(Verdict)),
    )


@st.composite
def any_tried(draw: st.DrawFn) -> tuple[Tried, ...]:
    found = {}
    for setting in draw(st.lists(SETTINGS, max_size=6)):
        n, mean = draw(st.integers(0, 25)), draw(MEANS)
        right, left = (n, 0) if mean > 2 else (0, n) if mean < -2 else (0, 0)
        found[setting] = Tried(setting, n, right, n - right - left, left, n, n, n, guess(mean, 0.8) if draw(st.booleans()) else None, 4.5)
    return tuple(found.values())


@st.composite
def any_block(draw: st.DrawFn) -> BlockFacts | None:
    kind = draw(st.sampled_from([None, *BlockKind]))
    if kind is None:
        return None
    lever = {BlockKind.BOW_BRACKET: Lever.BOW, BlockKind.GRIP_BRACKET: Lever.GRIP}.get(kind)
    step = PlanStep(setting=draw(SETTINGS)) if draw(st.booleans()) else None
    home = draw(SETTINGS) if draw(st.booleans()) else None
    return BlockFacts(kind, kind.value, 20, draw(st.integers(0, 20)), lever, (), False, home is not None, home, step)


@st.composite
def any_facts(draw: st.DrawFn) -> Facts:
    limit = draw(st.none() | BOWS)
    level, bow = draw(st.integers(0, 3)), draw(BOWS)
    pains = (Pain(PainSite.WRIST, 0, starting=True), Pain(PainSite.WRIST, level, after_seq=0, bow=bow)) if draw(st.booleans()) else ()
    rules = Prescription("rx", wrist_limit_bow=limit, pain_history=draw(st.booleans()), first_lever=draw(st.sampled_from(Lever)))
    block = draw(any_block())
    return Facts(
        Player("p", hand=draw(st.sampled_from(Hand)), junior=draw(st.booleans())),
        rules,
        Setup(draw(BOWS), draw(GRIPS)),
        tried=draw(any_tried()),
        pains=pains,
        block=block,
        finished=block if draw(st.booleans()) else None,
        proposed=Proposal(BlockKind.CONFIRM, "Next.", setting=draw(SETTINGS)) if draw(st.booleans()) else None,
        confirm=ConfirmFacts(draw(SETTINGS), draw(st.integers(0, 20)), bias=guess(draw(MEANS), 0.7)),
        previous=draw(st.none() | SETTINGS),
        model=draw(st.none() | any_model()),
    )


@settings(max_examples=150, deadline=None, derandomize=True)
@given(any_facts())
def test_no_rule_ever_proposes_a_bow_above_a_limit(facts: Facts):
    """The wrist limit, a history, age and today's pain cap every rule, spoken or not."""
    low, high = facts.bow_range
    limit = facts.prescription.wrist_limit_bow
    for rule in RULES:
        hint = rule.applies(facts)
        if hint is not None and hint.setting is not None:
            assert low <= hint.setting.bow <= high
            assert limit is None or hint.setting.bow <= limit
            assert -15 <= hint.setting.grip <= 90


@settings(max_examples=120, deadline=None, derandomize=True)
@given(any_facts())
def test_every_hint_is_short_and_complete(facts: Facts):
    """Large letters of at most 17 characters ("BOW -0.5 GRIP -15"), a sentence of at most 16 words, and something that would change it."""
    for rule in RULES:
        hint = rule.applies(facts)
        if hint is not None:
            assert hint.rule == rule.id
            assert 0 < len(hint.action) <= 17
            assert 0 < len(hint.words.split()) <= 16
            assert "\n" not in hint.words + hint.numbers
            assert hint.change
            assert not {"good", "bad"} & set(hint.words.lower().split())


MIRROR = {"right": "left", "left": "right"}


def mirrored(facts: Facts) -> Facts:
    def flip(value: Estimate | None) -> Estimate | None:
        return None if value is None else Estimate(-value.mean, value.sd, -value.high, -value.low)

    tried = tuple(replace(t, right=t.left, left=t.right, bias=flip(t.bias)) for t in facts.tried)
    model = facts.model
    if model is not None:
        d = model.diagnosis
        flipped = replace(
            d, bow_deg_per_notch=flip(d.bow_deg_per_notch), grip_deg_per_ten=flip(d.grip_deg_per_ten), drift_deg=flip(d.drift_deg)
        )
        model = replace(model, diagnosis=flipped, bias_there=flip(model.bias_there))
    confirm = facts.confirm
    if confirm is not None:
        confirm = replace(confirm, bias=flip(confirm.bias))
    hand = facts.player.hand.other
    return replace(facts, player=replace(facts.player, hand=hand), tried=tried, model=model, confirm=confirm)


@settings(max_examples=120, deadline=None, derandomize=True)
@given(any_facts())
def test_a_mirrored_player_gets_mirrored_words_and_the_same_setting(facts: Facts):
    one, other = choose(facts), choose(mirrored(facts))
    if one.rule == "confirm_end":
        assert one.action == other.action
        return
    swapped = " ".join(MIRROR.get(word.strip(".:;,"), word.strip(".:;,")) for word in one.words.split())
    assert swapped == " ".join(word.strip(".:;,") for word in other.words.split())
    assert (one.rule, one.action, one.setting, one.block) == (other.rule, other.action, other.setting, other.block)
