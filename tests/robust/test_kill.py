"""The whole program killed while keys stream in; the longer run is `python -m tests.harness.kill_tee`."""

from pathlib import Path

from rangelog.core.ball import Ball
from rangelog.core.session import Edit
from tests.harness import kill_tee


def test_a_killed_screen_has_lost_nothing_it_echoed(tmp_path: Path) -> None:
    tally = kill_tee.run(tmp_path, count=4, seed=11, plain=False)
    assert tally.failures == []
    assert tally.echoed > 0


def test_killed_plain_lines_have_lost_nothing_they_said(tmp_path: Path) -> None:
    tally = kill_tee.run(tmp_path, count=3, seed=12, plain=True)
    assert tally.failures == []
    assert tally.echoed > 0


def test_the_harness_sees_a_ball_that_is_missing_and_a_ball_that_is_another(tmp_path: Path) -> None:
    path = tmp_path / "book.db"
    kill_tee.begin(path)
    fault, _ = kill_tee.look(path, "Ball 1: right, mid.  ", "", kill_tee.Tally())
    assert "not in the book" in fault
    fault, _ = kill_tee.look(path, "", "bow 3, grip 30, centre", kill_tee.Tally())
    assert "kept is 'bow 0, grip 30, centre'" in fault


def test_a_ball_is_known_by_what_it_was_before_its_corrections() -> None:
    ball = Ball("b", "s", 1, "2026-06-02T17:00:00+02:00", strike=None)
    edit = Edit("e", "b", "strike", '"solid"', "null", ball.at, "", "g")
    assert kill_tee.stood_as(ball, [(edit.field, edit.old)]) == {"hit, not seen", "hit, not seen, solid"}
