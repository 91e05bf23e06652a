"""Corrections keep the old value, the time and the reason; raw values are never overwritten by a correction of the aim."""

from collections.abc import Callable

import pytest

from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale, RangelogError, Refused
from rangelog.core.flight import Flight
from rangelog.core.words import Height, Side, Strike
from rangelog.logbook import Logbook
from tests.conftest import Clock

Disk = Callable[[], list[Ball]]
RIGHT = Flight(Side.RIGHT, Height.MID)


@pytest.fixture
def three(logbook: Logbook) -> Logbook:
    for _ in range(3):
        logbook.hit(RIGHT)
    return logbook


def test_the_last_balls_are_relabelled_for_a_reason_that_stays(three: Logbook, clock: Clock, on_disk: Disk) -> None:
    clock.wait(minutes=3)
    assert three.relabel(2, grip=45.0, reason="forgot").text == "Last 2 re-labelled: grip 45 (forgot)."
    assert [ball.setup.grip for ball in on_disk()] == [30.0, 45.0, 45.0]
    (edit,) = three.history(on_disk()[-1].id)
    assert (edit.field, edit.old, edit.new, edit.reason, edit.at) == ("grip", "30.0", "45.0", "forgot", "2026-06-02T17:03:00.000+02:00")


@pytest.mark.parametrize(
    ("last", "given", "reason"),
    [
        (2, {"bow": 1.0}, ""),
        (2, {"bow": 1.0}, " \x1b "),
        (4, {"bow": 1.0}, "forgot"),
        (0, {"bow": 1.0}, "forgot"),
        (-1, {"bow": 1.0}, "forgot"),
        (2, {}, "forgot"),
    ],
)
def test_a_relabel_without_reason_value_or_balls_is_refused(
    three: Logbook, on_disk: Disk, last: int, given: dict[str, float], reason: str
) -> None:
    before = on_disk()
    with pytest.raises(Refused):
        three.relabel(last, reason=reason, **given)
    assert on_disk() == before


def test_a_relabel_off_the_scale_is_refused_whole(three: Logbook, on_disk: Disk) -> None:
    before = on_disk()
    with pytest.raises(OffScale, match="Grip runs -15 to 90"):
        three.relabel(2, bow=1.0, grip=120.0, reason="forgot")
    assert on_disk() == before


def test_the_setup_of_the_next_ball_is_no_part_of_a_relabel(three: Logbook) -> None:
    three.relabel(1, bow=3.0, reason="forgot")
    assert three.view().setup.bow == 0.0


def test_any_ball_of_today_can_be_corrected(three: Logbook, on_disk: Disk) -> None:
    first = on_disk()[0]
    three.edit_ball(first.id, "strike", "fat")
    three.edit_ball(first.id, "side", "left", "mis-keyed")
    changed = on_disk()[0]
    assert (changed.strike, changed.side) == (Strike.FAT, Side.LEFT)
    assert [edit.field for edit in three.history(first.id)] == ["strike", "side"]


def test_a_stated_setting_is_corrected_only_for_a_reason(three: Logbook, on_disk: Disk) -> None:
    first = on_disk()[0]
    with pytest.raises(Refused, match="needs a reason"):
        three.edit_ball(first.id, "bow", 2.0)
    three.edit_ball(first.id, "bow", 2.0, "forgot")
    assert on_disk()[0].setup.bow == 2.0


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("side", "up"), ("height", "very high"), ("start_deg", 95.0), ("start_deg", float("nan")), ("seq", 4), ("id", "x"), ("bow", 9.0),
        ("session_id", "x"), ("position_balls", 0.1), ("counted", "yes"), ("touched", 2), ("reason", "interrupted"), ("voided", True),
        ("club_id", "nobody's"), ("note", 7), ("stick", "on"),
    ],
)  # fmt: skip
def test_an_illegal_correction_changes_nothing_and_blocks_nothing(three: Logbook, on_disk: Disk, field: str, value: object) -> None:
    before = on_disk()
    with pytest.raises(RangelogError):
        three.edit_ball(before[0].id, field, value, "for a reason")
    assert on_disk() == before
    assert three.balls() == before
    three.hit(RIGHT)
    assert len(on_disk()) == 4, "the log goes on"
    assert three.view().unsaved == 0


def test_a_ball_of_another_session_is_refused(three: Logbook, on_disk: Disk) -> None:
    old = on_disk()[0].id
    three.start_session()
    with pytest.raises(Refused, match="not in this session"):
        three.edit_ball(old, "side", "left")


def test_the_aim_correction_keeps_raw_values_and_goes_away_with_one_undo(logbook: Logbook, on_disk: Disk) -> None:
    logbook.load_model()
    for typed in ("7R", "8R"):
        logbook.hit(RIGHT)
        logbook.number(typed)
    before, picture, hint = on_disk(), logbook.view().picture, logbook.hint
    echo = logbook.correct_aim(-5.0)
    assert echo.text == "2 balls corrected: the line pointed 5.0 left. Raw values stay."
    after = on_disk()
    assert [ball.start_deg for ball in after] == [7.0, 8.0]
    assert [ball.aim_correction_deg for ball in after] == [5.0, 5.0]
    assert [mark.start_deg for mark in logbook.view().picture.marks] == [2.0, 3.0]
    logbook.undo()
    assert on_disk() == before
    assert logbook.view().picture == picture
    assert logbook.hint == hint


def test_balls_along_a_line_that_was_laid_again_are_corrected_apart(three: Logbook, on_disk: Disk) -> None:
    three.correct_aim(-5.0)
    with pytest.raises(Refused, match="corrected already"):
        three.correct_aim(-4.0)
    three.hit(RIGHT)
    three.correct_aim(2.0)
    assert [ball.aim_correction_deg for ball in on_disk()] == [5.0, 5.0, 5.0, -2.0]


def test_an_aim_correction_off_the_scale_or_without_balls_changes_nothing(logbook: Logbook, on_disk: Disk) -> None:
    with pytest.raises(RangelogError):
        logbook.correct_aim(90.0)
    with pytest.raises(Refused):
        logbook.correct_aim(-5.0)
    assert on_disk() == []
    assert not logbook.view().can_undo
