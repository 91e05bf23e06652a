"""What is worked out of each ball is made once, and anew where a ball was corrected."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.ball import Ball
from rangelog.logbook.growing import Growing


def ball(number: int) -> Ball:
    return Ball(id=f"b{number}", session_id="s", seq=number, at="2026-05-02T17:00:00+00:00")


def test_only_new_balls_are_made() -> None:
    made: list[int] = []

    def make(one: Ball) -> int:
        made.append(one.seq)
        return one.seq

    growing, balls = Growing[int](), [ball(1), ball(2)]
    assert growing.of(balls, "a", make) == [1, 2]
    balls.append(ball(3))
    assert growing.of(balls, "a", make) == [1, 2, 3]
    assert growing.of(balls, "a", make) == [1, 2, 3]
    assert made == [1, 2, 3]
    balls[-1] = replace(balls[-1], note="x")
    assert growing.of(balls, "a", make) == [1, 2, 3]
    assert made == [1, 2, 3, 3]
    assert growing.of(balls, "b", make) == [1, 2, 3]
    assert made == [1, 2, 3, 3, 1, 2, 3]


@given(st.lists(st.tuples(st.sampled_from(["hit", "fix", "undo"]), st.integers(0, 9), st.sampled_from("ab")), max_size=30))
def test_it_always_answers_as_if_all_were_made_now(acts: list[tuple[str, int, str]]) -> None:
    growing: Growing[str] = Growing()
    balls: list[Ball] = []
    for number, (act, place, asked) in enumerate(acts):
        if act == "hit" or not balls:
            balls.append(ball(number))
        elif act == "fix":
            balls[place % len(balls)] = replace(balls[place % len(balls)], note=str(number))
        else:
            balls.pop()
        assert growing.of(balls, asked, lambda one: one.id + one.note + asked) == [one.id + one.note + asked for one in balls]  # noqa: B023
