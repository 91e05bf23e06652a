"""Numbers for the last ball: accepted, doubted, asked about or rejected, and never a guessed side."""

from collections.abc import Callable

import pytest

from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale
from rangelog.core.flight import Flight
from rangelog.core.words import Side
from rangelog.logbook import Logbook

Disk = Callable[[], list[Ball]]


@pytest.fixture
def ball(logbook: Logbook) -> Logbook:
    logbook.hit(Flight(Side.RIGHT))
    return logbook


def test_ninety_five_degrees_are_rejected_and_nothing_is_changed(ball: Logbook, on_disk: Disk) -> None:
    before = on_disk()
    with pytest.raises(OffScale, match="Start runs -45 to 45 deg"):
        ball.number("95R")
    assert on_disk() == before


def test_thirty_one_degrees_are_kept_with_a_doubt(ball: Logbook, on_disk: Disk) -> None:
    echo = ball.number("31R")
    assert echo.text == "31 deg - shank? mark strike"
    assert echo.doubtful
    assert on_disk()[0].start_deg == 31.0


@pytest.mark.parametrize(("typed", "degrees"), [("-5", -5.0), ("5L", -5.0), ("L5", -5.0), ("l 5,5", -5.5), ("5.5 left", -5.5), ("+4", 4.0)])
def test_every_way_of_saying_a_side_is_understood(logbook: Logbook, on_disk: Disk, typed: str, degrees: float) -> None:
    logbook.hit(Flight(Side.LEFT if degrees < 0 else Side.RIGHT))
    logbook.number(typed)
    assert on_disk()[0].start_deg == degrees


def test_a_comma_number_is_echoed_with_its_side(logbook: Logbook) -> None:
    logbook.hit(Flight(Side.LEFT))
    assert "5.5 left" in logbook.number("5,5L").text


def test_a_number_without_a_side_takes_the_one_that_was_keyed(ball: Logbook, on_disk: Disk) -> None:
    ball.number("5")
    assert on_disk()[0].start_deg == 5.0


@pytest.mark.parametrize("side", [Side.ON_LINE, None])
def test_a_number_is_asked_for_its_side_where_no_class_tells_it(logbook: Logbook, on_disk: Disk, side: Side | None) -> None:
    logbook.hit(Flight(side))
    before = on_disk()
    echo = logbook.number("5")
    assert (echo.kind, echo.question) == ("asked", "side")
    assert on_disk() == before


def test_number_and_class_that_differ_are_both_kept_and_flagged_once(ball: Logbook, on_disk: Disk) -> None:
    ball.hit(Flight(Side.ON_LINE))
    echo = ball.number("5.1R")
    assert echo.text.startswith("5.1 right but keyed on line")
    assert echo.doubtful
    stored = on_disk()[-1]
    assert (stored.side, stored.start_deg) == (Side.ON_LINE, 5.1)
    assert not ball.number("5.2R").doubtful


@pytest.mark.parametrize("typed", ["nan", "inf", "-inf", "", "  ", "\N{GOLFER}", "\x1b5", "5LR", "-5R", "1e999", "five"])
def test_what_is_no_number_is_rejected_by_name(ball: Logbook, on_disk: Disk, typed: str) -> None:
    before = on_disk()
    with pytest.raises(OffScale) as told:
        ball.number(typed)
    assert told.value.field in {"number", "start"}
    assert "\x1b" not in str(told.value)
    assert on_disk() == before


@pytest.mark.parametrize("typed", ["2 m at 0 m R", "2 m at -5 m R"])
def test_an_offset_needs_a_distance_over_nothing(ball: Logbook, typed: str) -> None:
    with pytest.raises(OffScale, match="Distance must be over 0"):
        ball.number(typed)


def test_an_offset_at_a_distance_becomes_an_angle(ball: Logbook, on_disk: Disk) -> None:
    ball.number("1.75 m at 50 m R")
    # atan(1.75 / 50) by trigonometry
    assert on_disk()[0].start_deg == pytest.approx(2.0045, abs=1e-3)


def test_launch_and_apex_are_kept_beside_the_start(ball: Logbook, on_disk: Disk) -> None:
    ball.number("launch 14")
    ball.number("apex 9 m")
    stored = on_disk()[0]
    assert (stored.launch_deg, stored.apex_m, stored.start_deg) == (14.0, 9.0, None)
    with pytest.raises(OffScale, match="Launch runs 0 to 75"):
        ball.number("launch 80")
