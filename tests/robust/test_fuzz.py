"""Random keys held against a model of the book; the longer run is `python -m tests.harness.fuzz`."""

from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog.core.flight import Flight
from rangelog.core.words import Height, Side, Strike
from rangelog.logbook import Logbook
from rangelog.tui.desk import Desk
from tests.conftest import Clock
from tests.harness import fuzz


def test_two_thousand_random_keys_leave_the_book_as_the_model_has_it(tmp_path: Path) -> None:
    tally = fuzz.run(tmp_path, keys=2_000, seed=7)
    assert tally.keys == 2_000
    assert tally.balls > 500
    assert tally.acts["ball.undo"] > 50


def test_the_fuzz_sees_a_ball_that_differs(tmp_path: Path) -> None:
    run = fuzz.Fuzz(tmp_path / "book.db", 1, fuzz.Tally())
    try:
        run.book.hit(Flight(Side.LEFT))
        run.model.hit(Flight(Side.LEFT), run.book.view().setup)
        run.compare()
        run.book.amend(strike=Strike.FAT)
        with pytest.raises(AssertionError, match="strike"):
            run.compare()
    finally:
        run.book.close()


def test_after_a_night_undo_refuses_to_reach_into_the_session_that_is_over(open_book: Callable[..., Logbook], clock: Clock) -> None:
    first = open_book()
    first.first_start(code="test", hand="right", club_name="iron", loft_deg=28.0)
    first.start_session()
    first.hit(Flight(Side.RIGHT, Height.MID))
    first.close()
    clock.wait(hours=15)
    again = open_book()
    assert not again.view().can_undo
    reply = Desk(again, lambda: 0.0).do("ball.undo")
    assert reply.echo is not None
    assert reply.echo.text == "Nothing to undo."


def test_the_ball_after_a_ladder_is_stored_with_the_position_on_show(logbook: Logbook) -> None:
    block = logbook.start_block("ladder", 15)
    assert block.kind == "changed"
    for _ in range(15):
        logbook.hit(Flight(Side.RIGHT, Height.MID))
    shown = logbook.view().setup
    assert shown.position_balls == 0.0
    logbook.hit(Flight(Side.RIGHT, Height.MID))
    assert logbook.balls()[-1].setup == shown


def test_a_position_stated_after_a_ladder_is_kept_for_the_next_ball(logbook: Logbook) -> None:
    logbook.start_block("ladder", 15)
    for _ in range(15):
        logbook.hit(Flight(Side.RIGHT, Height.MID))
    logbook.step("position", 1)
    logbook.hit(Flight(Side.RIGHT, Height.MID))
    assert logbook.balls()[-1].setup.position_balls == 0.25
