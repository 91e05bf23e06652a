"""Balls: stored before they are echoed, completed afterwards, read again through a second connection."""

from collections.abc import Callable

import pytest

from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale, Refused
from rangelog.core.flight import Flight
from rangelog.core.words import Curve, Height, Reason, Side, Strike
from rangelog.logbook import Logbook
from tests.conftest import Clock

Disk = Callable[[], list[Ball]]
RIGHT = Flight(Side.RIGHT, Height.MID)


def test_a_ball_is_on_disk_with_setup_prescription_and_time(logbook: Logbook, on_disk: Disk) -> None:
    echo = logbook.hit(RIGHT)
    (ball,) = on_disk()
    assert echo.text == "Ball 1: right, mid."
    assert echo.kind == "saved"
    assert (ball.side, ball.height, ball.strike, ball.seq) == (Side.RIGHT, Height.MID, None, 1)
    assert (ball.setup.bow, ball.setup.grip, ball.setup.stick) == (0.0, 30.0, True)
    assert ball.prescription_id == logbook.view().prescription.id  # type: ignore[union-attr]
    assert ball.at == "2026-06-02T17:00:00.000+02:00"
    assert ball.counted


def test_a_ball_before_any_setup_is_kept_uncounted_and_the_setup_is_asked_for(book: Logbook, on_disk: Disk) -> None:
    echo = book.hit(RIGHT)
    (ball,) = on_disk()
    assert (ball.counted, ball.reason) == (False, Reason.SETUP_UNKNOWN)
    assert echo.question == "setup"
    assert "Setup unknown" in echo.text
    assert book.hint is not None
    assert book.hint.rule == "setup"


def test_the_setup_of_the_last_session_is_offered_shown_and_taken_with_one_key(logbook: Logbook, clock: Clock) -> None:
    logbook.set_setup(bow=1.0, grip=45.0)
    clock.wait(days=1)
    echo = logbook.start_session()
    assert "Last time: bow 1, grip 45, centre." in echo.text
    assert not logbook.view().stated
    logbook.take_hint()
    assert (logbook.view().setup.bow, logbook.view().setup.grip) == (1.0, 45.0)


def test_a_ball_of_unknown_setup_counts_once_its_levers_are_stated_for_a_reason(book: Logbook, on_disk: Disk) -> None:
    book.hit(RIGHT)
    with pytest.raises(Refused):
        book.recount()
    book.relabel(1, bow=1.0, grip=30.0, reason="forgot")
    (ball,) = on_disk()
    assert (ball.counted, ball.reason, ball.setup.bow) == (True, None, 1.0)


def test_one_lever_alone_does_not_make_an_unknown_setup_known(book: Logbook, on_disk: Disk) -> None:
    book.hit(RIGHT)
    book.relabel(1, bow=1.0, reason="forgot")
    (ball,) = on_disk()
    assert (ball.counted, ball.reason) == (False, Reason.SETUP_UNKNOWN)


def test_strike_curve_and_touch_complete_the_last_ball(logbook: Logbook, on_disk: Disk) -> None:
    logbook.hit(RIGHT)
    logbook.hit(Flight(Side.LEFT))
    logbook.amend(strike=Strike.THIN)
    logbook.amend(curve=Curve.RIGHT)
    assert logbook.amend(touched=True).text == "Ball 2: left, thin, curved right, stick touched."
    first, second = on_disk()
    assert (first.strike, first.curve, first.touched) == (None, None, False)
    assert (second.strike, second.curve, second.touched) == (Strike.THIN, Curve.RIGHT, True)


def test_a_strike_before_the_first_ball_is_refused(logbook: Logbook, on_disk: Disk) -> None:
    with pytest.raises(Refused, match="No ball yet"):
        logbook.amend(strike=Strike.SOLID)
    assert on_disk() == []


def test_an_unseen_ball_uses_up_the_bucket_and_enters_no_fit(logbook: Logbook, on_disk: Disk) -> None:
    logbook.hit(Flight())
    (ball,) = on_disk()
    assert (ball.counted, ball.reason, ball.seen) == (False, Reason.NOT_SEEN, False)
    assert logbook.view().ball_number == 1
    with pytest.raises(Refused, match="not seen"):
        logbook.recount()


def test_a_number_makes_an_unseen_ball_seen(logbook: Logbook, on_disk: Disk) -> None:
    logbook.hit(Flight())
    logbook.number("3R")
    (ball,) = on_disk()
    assert (ball.side, ball.start_deg, ball.counted, ball.reason) == (Side.RIGHT, 3.0, True, None)


def test_a_ball_before_any_session_starts_one(open_book: Callable[[], Logbook], on_disk: Disk) -> None:
    book = open_book()
    book.first_start()
    book.hit(RIGHT)
    assert len(on_disk()) == 1
    assert not book.needs_session


def test_the_stated_bow_stays_whatever_it_felt_like(logbook: Logbook, on_disk: Disk) -> None:
    logbook.hit(RIGHT)
    logbook.felt_bow(2.5)
    (ball,) = on_disk()
    assert (ball.setup.bow, ball.felt_bow) == (0.0, 2.5)
    with pytest.raises(OffScale, match="Bow runs -2 to 5"):
        logbook.felt_bow(6)
    assert on_disk() == [ball]


def test_comfort_runs_from_one_to_five(logbook: Logbook, on_disk: Disk) -> None:
    logbook.hit(RIGHT)
    logbook.comfort(4)
    with pytest.raises(OffScale, match="Comfort runs 1 to 5"):
        logbook.comfort(6)
    assert on_disk()[0].comfort == 4


def test_notes_are_added_and_stripped_of_what_could_steer_a_terminal(logbook: Logbook, on_disk: Disk) -> None:
    logbook.hit(RIGHT)
    logbook.note("wind \x1b[2J up\x07")
    logbook.note("mat slid\u202e")
    assert on_disk()[0].note == "wind [2J up; mat slid"
    with pytest.raises(OffScale, match="note"):
        logbook.note("\x00 \x1b")


def test_the_clock_of_a_ball_never_orders_it(logbook: Logbook, clock: Clock, on_disk: Disk) -> None:
    logbook.hit(RIGHT)
    clock.set(2026, 6, 2, 9, 0)
    logbook.hit(Flight(Side.LEFT))
    clock.set(1970, 1, 1)
    logbook.hit(Flight(Side.ON_LINE))
    assert [ball.side for ball in on_disk()] == [Side.RIGHT, Side.LEFT, Side.ON_LINE]
    assert [ball.seq for ball in on_disk()] == [1, 2, 3]
