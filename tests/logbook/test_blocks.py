"""Blocks: planned counts, drawn orders that the setup follows, ends that keep every ball."""

import itertools
from collections.abc import Callable

import pytest

from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale, Refused
from rangelog.core.flight import Flight
from rangelog.core.words import Height, Side, Strike
from rangelog.journey import order
from rangelog.logbook import Logbook
from tests.conftest import Clock

Disk = Callable[[], list[Ball]]
RIGHT = Flight(Side.RIGHT, Height.MID)


def steps_of(book: Logbook) -> tuple[order.Step, ...]:
    block = book.view().block
    assert block is not None
    return order.from_text(block.plan)


def test_a_block_counts_its_balls_to_its_planned_end(logbook: Logbook, on_disk: Disk) -> None:
    assert logbook.start_block("baseline").text == "Baseline, 10 balls. Change nothing."
    for _ in range(10):
        logbook.hit(RIGHT)
    view = logbook.view()
    assert view.block is not None
    assert (view.block.planned, view.block_hit) == (10, 10)
    assert {ball.block_id for ball in on_disk()} == {view.block.id}
    assert logbook.end_block().text == "Baseline done. Its balls are kept."


def test_an_abandoned_block_keeps_its_balls(logbook: Logbook, on_disk: Disk) -> None:
    logbook.start_block("baseline")
    logbook.hit(RIGHT)
    block = logbook.view().block
    assert block is not None
    assert logbook.end_block().text == "Baseline abandoned. Its balls are kept."
    assert logbook.view().block is None
    assert [ball.block_id for ball in on_disk()] == [block.id]
    with pytest.raises(Refused, match="No block is running"):
        logbook.end_block()


def test_the_next_block_ends_the_one_that_runs(logbook: Logbook, open_book: Callable[[], Logbook]) -> None:
    logbook.start_block("baseline")
    logbook.hit(RIGHT)
    logbook.start_block("bow bracket", planned=12)
    logbook.hit(RIGHT)
    logbook.close()
    view = open_book().view()
    assert view.block is not None
    assert (view.block.kind, view.block.planned, view.block.seq, view.block_hit) == ("bow bracket", 12, 2, 1)


@pytest.mark.parametrize(("kind", "planned"), [("nine holes", None), ("baseline", 0), ("baseline", 201), ("baseline", -1)])
def test_an_illegal_block_is_refused_and_the_running_one_goes_on(logbook: Logbook, kind: str, planned: int | None) -> None:
    logbook.start_block("warm-up")
    with pytest.raises(OffScale):
        logbook.start_block(kind, planned)
    block = logbook.view().block
    assert block is not None
    assert block.kind == "warm-up"


def test_there_is_nothing_to_choose_between_before_two_settings_start_on_line(logbook: Logbook) -> None:
    logbook.start_block("baseline")
    with pytest.raises(Refused, match="Nothing to choose between"):
        logbook.start_block("choose")
    block = logbook.view().block
    assert block is not None
    assert block.kind == "baseline", "the running one goes on"


def test_the_setup_follows_the_drawn_order_of_a_ladder(logbook: Logbook, on_disk: Disk) -> None:
    logbook.start_block("ladder")
    steps = steps_of(logbook)
    for step in steps:
        assert logbook.view().setup.position_balls == step.position_balls
        logbook.hit(RIGHT)
    assert [ball.setup.position_balls for ball in on_disk()] == [step.position_balls for step in steps]
    assert sorted(step.position_balls or 0.0 for step in steps) == [-1.0] * 5 + [0.0] * 5 + [1.0] * 5
    logbook.end_block()
    assert logbook.view().setup.position_balls == 0.0, "the ball goes back to its stock position"


def test_a_ball_taken_back_takes_the_drawn_order_back_too(logbook: Logbook, on_disk: Disk) -> None:
    logbook.start_block("ladder")
    steps = steps_of(logbook)
    for _ in range(3):
        logbook.hit(RIGHT)
    logbook.undo()
    logbook.undo()
    assert logbook.view().setup.position_balls == steps[1].position_balls
    logbook.redo()
    assert logbook.view().setup.position_balls == steps[2].position_balls
    logbook.undo()
    for _ in steps[1:]:
        logbook.hit(RIGHT)
    assert [ball.setup.position_balls for ball in on_disk()] == [step.position_balls for step in steps]


def test_called_heights_and_targets_are_stored_with_their_balls(logbook: Logbook, on_disk: Disk) -> None:
    logbook.start_block("trajectory")
    called = [step.called for step in steps_of(logbook)]
    for _ in called:
        assert logbook.planned_ball()["called"] == called[len(on_disk())]
        logbook.hit(RIGHT)
    assert [ball.called for ball in on_disk()] == called
    logbook.start_block("random", planned=9)
    targets = [step.target for step in steps_of(logbook)]
    assert all(now != after for now, after in itertools.pairwise(targets)), "no silent repeats"
    for _ in targets:
        logbook.hit(RIGHT)
    assert [ball.target for ball in on_disk()][-9:] == targets


def test_stick_blocks_put_the_stick_on_and_off_in_fives(logbook: Logbook, on_disk: Disk) -> None:
    logbook.start_block("stick off")
    for _ in range(20):
        logbook.hit(RIGHT)
    assert [ball.setup.stick for ball in on_disk()] == ([True] * 5 + [False] * 5) * 2


def test_a_full_swing_never_puts_the_stick_on(logbook: Logbook, on_disk: Disk) -> None:
    logbook.set_setup(swing="full", stick=False)
    logbook.start_block("stick off")
    for _ in range(6):
        logbook.hit(RIGHT)
    assert not any(ball.setup.stick for ball in on_disk())


def test_the_drawn_order_is_drawn_from_a_stored_seed_and_goes_on_after_a_restart(
    logbook: Logbook, open_book: Callable[[], Logbook], on_disk: Disk
) -> None:
    logbook.start_block("ladder")
    steps = steps_of(logbook)
    block = logbook.view().block
    assert block is not None
    assert block.seed is not None
    assert steps == order.ladder(5, block.seed)
    for _ in range(4):
        logbook.hit(RIGHT)
    logbook.close()
    again = open_book()
    assert again.view().setup.position_balls == steps[4].position_balls
    for _ in steps[4:]:
        again.hit(RIGHT)
    assert [ball.setup.position_balls for ball in on_disk()] == [step.position_balls for step in steps]


def test_warm_up_balls_are_stored_and_enter_no_fit(logbook: Logbook) -> None:
    logbook.load_model()
    logbook.start_block("warm-up")
    for _ in range(8):
        logbook.hit(Flight(Side.FAR_LEFT))
    logbook.end_block()
    crossing = logbook.view().picture.crossing
    fresh = logbook.view()
    logbook.hit(RIGHT)
    assert crossing is not None
    assert fresh.ball_number == 8
    assert "FAR" not in str(logbook.hint), "what was hit to warm up is held against nobody"
    assert logbook.hint is not None
    assert logbook.hint.words == "1 ball - hit 3 more, same setting."


def test_the_log_proposes_a_block_with_its_reason_and_a_plan_that_fits_the_cap(logbook: Logbook) -> None:
    kind, reason = logbook.proposed_block()
    assert kind == "warm-up"
    assert reason
    plan = logbook.plan_today()
    assert any("Baseline" in line or "baseline" in line for line in plan)


def test_the_plan_and_the_hint_name_the_next_block_when_one_is_done(logbook: Logbook, clock: Clock) -> None:
    logbook.load_model()
    logbook.start_block("baseline")
    for number in range(10):
        clock.wait(seconds=40)
        logbook.hit(RIGHT)
        logbook.amend(strike=Strike.SOLID if number < 7 else Strike.THIN)
    hint = logbook.hint
    assert hint is not None
    assert (hint.rule, hint.block) == ("block_done", "bow bracket")
    logbook.take_hint()
    view = logbook.view()
    assert view.block is not None
    assert view.block.kind == "bow bracket"
    assert view.setup.bow == 0.0, "the least bow is where the baseline was"
