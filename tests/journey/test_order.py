"""Drawn orders, and plans as text."""

import json
from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rangelog.core.results import Setting
from rangelog.core.setup import Setup
from rangelog.core.words import Height
from rangelog.journey import order


@settings(max_examples=150, deadline=None, derandomize=True)
@given(st.integers(2, 5), st.integers(0, 40), st.integers(0, 10_000))
def test_a_drawn_order_is_balanced_without_silent_repeats(kinds, count, seed):
    items = tuple(f"target {k}" for k in range(kinds))
    drawn = order.drawn(items, count, seed)
    assert len(drawn) == count
    assert all(one != other for one, other in pairwise(drawn))
    counts = Counter(dict.fromkeys(items, 0) | Counter(drawn))
    assert max(counts.values()) - min(counts.values()) <= 1


def test_the_seed_is_the_order():
    assert order.drawn("abc", 12, 7) == order.drawn("abc", 12, 7)
    assert len({order.drawn("abc", 12, seed) for seed in range(20)}) > 5


def test_one_item_repeats_since_there_is_no_other():
    assert order.drawn(("flag",), 3, 1) == ("flag", "flag", "flag")


def test_an_order_needs_items():
    with pytest.raises(ValueError, match="needs items"):
        order.drawn((), 3, 1)
    with pytest.raises(ValueError, match="needs items"):
        order.drawn("ab", -1, 1)


def test_candidates_come_in_turn():
    a, b = Setting(2.0, 30.0), Setting(1.0, 45.0)
    assert [step.setting for step in order.in_turn((a, b), 2)] == [a, b, a, b]


def test_a_ladder_has_each_place_as_often():
    steps = order.ladder(5, 3)
    assert Counter(step.position_balls for step in steps) == {-1.0: 5, 0.0: 5, 1.0: 5}


def test_a_trajectory_calls_each_height_as_often():
    assert Counter(step.called for step in order.trajectory(4, 3)) == dict.fromkeys(Height, 4)


def test_the_stick_changes_in_fives():
    assert [step.stick for step in order.stick_blocks(12)] == [True] * 5 + [False] * 5 + [True] * 2


PRINTED = st.text(max_size=8).map(lambda text: "".join(sign for sign in text if sign.isprintable()))
STEPS = st.builds(
    order.Step,
    bow=st.none() | st.integers(-4, 10).map(lambda half: half / 2),
    grip=st.none() | st.sampled_from([0.0, 30.0, 90.0]),
    position_balls=st.none() | st.sampled_from([-1.0, 0.0, 1.0]),
    stick=st.none() | st.booleans(),
    club_id=PRINTED,
    called=st.none() | st.sampled_from(Height),
    target=PRINTED,
)


@settings(max_examples=100, deadline=None, derandomize=True)
@given(st.lists(STEPS, max_size=8))
def test_a_plan_survives_the_book(steps):
    assert order.from_text(order.to_text(steps)) == tuple(steps)


@pytest.mark.parametrize(
    "text",
    [
        "nonsense",
        "{}",
        "[" * 100_000,
        *(
            f'{{"steps":{steps}}}'
            for steps in (
                '[{"no_such":1}]', '[{"called":"sideways"}]', '[{"bow":9}]', '[{"bow":NaN,"grip":30}]', '[{"grip":"30"}]', '[{"stick":1}]',
                '[{"position_balls":0.1}]', '[{"target":["mark"]}]', '[{"club_id":null}]', '{"0":{}}', '"steps"', "[[]]", "7", "null",
                '[{"target":"\\ud800"}]',
            )
        ),
    ],
    ids=lambda text: text[:40],
)  # fmt: skip
def test_a_plan_that_cannot_be_read_is_said(text):
    with pytest.raises(ValueError, match="plan of the block cannot be read"):
        order.from_text(text)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=4) | st.sampled_from(["low", "left mark"]),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(["steps", "bow", "grip", "position_balls", "stick", "club_id", "called", "target"]), inner, max_size=4
        )
    ),
    max_leaves=12,
)


@settings(max_examples=300, deadline=None, derandomize=True)
@given(st.text(max_size=40) | JSON.map(json.dumps) | JSON.map(lambda steps: json.dumps({"steps": [steps]})))
def test_any_text_is_read_as_steps_a_ball_can_be_hit_with_or_as_none(text):
    steps = order.readable(text)
    for step in steps:
        assert Setup().at(step.setting) if step.setting else step.bow is None or step.grip is None
        assert Setup(position_balls=step.position_balls or 0.0)
        assert (step.target + step.club_id).isprintable()
    assert order.from_text(order.to_text(steps)) == steps


def test_past_its_end_a_plan_asks_nothing():
    steps = order.targets(("left", "right"), 2, 1, stick=False)
    assert order.next_step(steps, 1) == steps[1]
    assert order.next_step(steps, 2) is None
    assert order.next_step((), 0) is None
