"""First start, visits, resuming, and prescriptions whose old versions stay with the balls hit under them."""

from collections.abc import Callable

import pytest

from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale, RangelogError, Refused
from rangelog.core.flight import Flight
from rangelog.core.words import Lever, Side, Strike
from rangelog.logbook import Logbook
from tests.conftest import Clock

Disk = Callable[[], list[Ball]]
Open = Callable[[], Logbook]
RIGHT = Flight(Side.RIGHT)


def test_a_new_book_asks_who_plays_and_stores_every_answer(open_book: Open) -> None:
    book = open_book()
    assert book.needs_first_start
    book.first_start(
        code="robin", hand="left", lead_hand="right", club_name="mid iron", loft_deg=30, window_deg=3, wrist_history=True, wrist_limit_bow=2
    )
    book.close()
    view = open_book().view()
    assert (view.player.code, view.player.hand, view.player.lead_hand) == ("robin", "left", "right")  # type: ignore[union-attr]
    rules = view.prescription
    assert rules is not None
    assert (rules.window_deg, rules.wrist_limit_bow, rules.pain_history, rules.first_lever) == (3, 2, True, Lever.GRIP)
    assert view.club is not None, "also where the log was left before its first session"
    assert view.club.name == "mid iron"


@pytest.mark.parametrize(
    "wrong",
    [
        {"hand": "both"},
        {"loft_deg": 300},
        {"loft_deg": 3},
        {"window_deg": float("nan")},
        {"wrist_limit_bow": 9},
        {"ball_cap": 0.5},
        {"swing": "wild"},
    ],
)
def test_a_wrong_answer_at_the_first_start_stores_nothing(open_book: Open, wrong: dict[str, object]) -> None:
    book = open_book()
    with pytest.raises(OffScale):
        book.first_start(**wrong)
    assert book.needs_first_start
    book.close()
    assert open_book().needs_first_start


def test_nothing_is_logged_before_the_first_start(open_book: Open) -> None:
    with pytest.raises(Refused, match="first questions"):
        open_book().hit(RIGHT)


def test_a_junior_has_a_smaller_cap(open_book: Open) -> None:
    book = open_book()
    book.first_start(junior=True)
    assert book.view().prescription.ball_cap == 40  # type: ignore[union-attr]


def test_a_visit_is_taken_up_with_what_is_missing_said(logbook: Logbook, open_book: Open) -> None:
    for number in range(37):
        logbook.hit(RIGHT)
        if number < 36:
            logbook.amend(strike=Strike.SOLID)
    logbook.close()
    assert open_book().resume_text == "37 balls restored; ball 37 has no strike."


def test_one_whole_ball_is_taken_up_without_a_complaint(logbook: Logbook, open_book: Open) -> None:
    logbook.hit(RIGHT)
    logbook.amend(strike=Strike.SOLID)
    logbook.close()
    assert open_book().resume_text == "1 ball restored."


def test_a_visit_goes_on_for_four_hours_and_not_longer(logbook: Logbook, open_book: Open, clock: Clock) -> None:
    logbook.hit(RIGHT)
    session = logbook.session
    logbook.close()
    clock.wait(hours=3, minutes=59)
    again = open_book()
    assert again.session == session
    again.close()
    clock.wait(minutes=2)
    later = open_book()
    assert later.needs_session
    assert later.resume_text == ""
    (counted,) = later.sessions()
    assert counted.session.ended_at == "2026-06-02T17:00:00.000+02:00", "it ended with its last ball"


def test_a_visit_that_was_ended_is_not_taken_up(logbook: Logbook, open_book: Open) -> None:
    logbook.hit(RIGHT)
    assert logbook.end_session().text == "Session ended: 1 balls."
    logbook.close()
    assert open_book().needs_session


def test_a_clock_that_fell_back_marks_the_date_uncertain_and_keeps_the_order(logbook: Logbook, clock: Clock) -> None:
    logbook.hit(RIGHT)
    first = logbook.session
    clock.set(1970, 1, 1)
    echo = logbook.start_session()
    assert "the date is marked uncertain" in echo.text
    assert echo.doubtful
    logbook.set_setup(bow=1.0, grip=30.0)
    logbook.hit(RIGHT)
    second = logbook.session
    clock.set(2026, 6, 3, 10, 0)
    logbook.start_session()
    third = logbook.session
    assert second is not None
    assert second.date_uncertain
    assert third is not None
    assert not third.date_uncertain
    assert [counted.session.id for counted in logbook.sessions()] == [session.id for session in (third, second, first) if session]


def test_a_time_zone_trip_does_not_end_the_visit(logbook: Logbook, open_book: Open, clock: Clock) -> None:
    logbook.hit(RIGHT)
    logbook.close()
    from datetime import timedelta, timezone

    clock.time = clock.time.astimezone(timezone(timedelta(hours=-5)))
    again = open_book()
    again.hit(RIGHT)
    assert [ball.seq for ball in again.balls()] == [1, 2]
    assert again.balls()[-1].at.endswith("-05:00")


def test_a_refused_session_start_leaves_the_running_block_open(logbook: Logbook) -> None:
    logbook.start_block("baseline")
    for wrong in ({"surface": "sand"}, {"swing": "wild"}, {"club_id": "nobody's"}):
        with pytest.raises(RangelogError):
            logbook.start_session(**wrong)
    block = logbook.view().block
    assert block is not None
    assert not block.ended_at


def test_a_full_swing_session_starts_with_the_stick_off(book: Logbook) -> None:
    book.start_session(swing="full", stick=True)
    assert book.view().setup.stick is False


def test_a_revision_is_a_new_version_and_old_balls_keep_the_old(logbook: Logbook, on_disk: Disk) -> None:
    old = logbook.view().prescription
    logbook.hit(RIGHT)
    logbook.revise_prescription(window_deg=3.0, wrist_limit_bow=2.0, set_by="coach", text="Hands ahead, then the face.")
    logbook.hit(RIGHT)
    new = logbook.view().prescription
    assert old is not None
    assert new is not None
    assert (old.version, new.version, new.set_by) == (1, 2, "coach")
    assert [ball.prescription_id for ball in on_disk()] == [old.id, new.id]


def test_a_wrong_revision_leaves_the_old_version_in_force(logbook: Logbook) -> None:
    old = logbook.view().prescription
    for wrong in ({"window_deg": 0.0}, {"wide_deg": 1.5}, {"ball_cap": 1000}, {"wrist_limit_bow": 9.0}):
        with pytest.raises(OffScale):
            logbook.revise_prescription(**wrong)
    assert logbook.view().prescription == old


def test_a_wrist_limit_caps_the_hint_from_the_next_ball_on(logbook: Logbook) -> None:
    logbook.load_model()
    for bow in (0.0, 1.0):
        logbook.set_setup(bow=bow)
        for _ in range(4):
            logbook.hit(RIGHT)
    logbook.revise_prescription(wrist_limit_bow=2.0)
    assert logbook.view().picture.bow_range == (-2.0, 2.0)
    hint = logbook.hint
    assert hint is not None
    assert hint.setting is None or hint.setting.bow <= 2.0
