"""The setup of the next ball: one step a key, never past the scale, never touching a ball that is stored."""

from collections.abc import Callable

import pytest

from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale, Refused
from rangelog.core.flight import Flight
from rangelog.core.words import Side
from rangelog.logbook import Logbook

Disk = Callable[[], list[Ball]]
RIGHT = Flight(Side.RIGHT)


def test_a_setup_changed_after_the_ball_belongs_to_the_next(logbook: Logbook, on_disk: Disk) -> None:
    logbook.hit(RIGHT)
    logbook.step("bow", 1)
    logbook.step("grip", 1)
    logbook.step("position", -1)
    logbook.hit(RIGHT)
    first, second = on_disk()
    assert (first.setup.bow, first.setup.grip, first.setup.position_balls) == (0.0, 30.0, 0.0)
    assert (second.setup.bow, second.setup.grip, second.setup.position_balls) == (1.0, 45.0, -0.25)


def test_a_bow_off_the_scale_keeps_the_one_before(logbook: Logbook) -> None:
    logbook.set_setup(bow=2.0)
    with pytest.raises(OffScale, match=r"Bow runs -2 to 5\. Kept 2\."):
        logbook.set_setup(bow=9.0)
    assert logbook.view().setup.bow == 2.0


@pytest.mark.parametrize(
    ("lever", "ends", "said"),
    [
        ("bow", (5.0, 1), "Bow runs -2 to 5. Kept 5."),
        ("bow", (-2.0, -1), "Bow runs -2 to 5. Kept -2."),
        ("grip", (90.0, 1), "Grip runs -15 to 90. Kept 90."),
        ("grip", (-15.0, -1), "Grip runs -15 to 90. Kept -15."),
    ],
)
def test_a_step_over_the_end_of_the_scale_is_refused(logbook: Logbook, lever: str, ends: tuple[float, int], said: str) -> None:
    end, direction = ends
    logbook.set_setup(**{lever: end})
    echo = logbook.step(lever, direction)
    assert (echo.text, echo.kind) == (said, "refused")
    assert getattr(logbook.view().setup, lever) == end


def test_ball_position_runs_three_balls_either_way(logbook: Logbook) -> None:
    logbook.set_setup(position_balls=3.0)
    assert logbook.step("position", 1).text == "Ball position runs -3 to 3. Kept 3 forward."
    with pytest.raises(OffScale, match="Ball position runs -3 to 3"):
        logbook.set_setup(position_balls=15.0)


@pytest.mark.parametrize("value", [120.0, "strong", float("nan"), -16.0])
def test_a_grip_off_its_scale_is_refused(logbook: Logbook, value: object) -> None:
    with pytest.raises(OffScale, match="Grip runs -15 to 90 deg"):
        logbook.set_setup(grip=value)
    assert logbook.view().setup.grip == 30.0


def test_half_notches_are_steps_of_their_own(logbook: Logbook) -> None:
    logbook.step("bow", 1, half=True)
    assert logbook.view().setup.bow == 0.5
    with pytest.raises(OffScale, match="half notches"):
        logbook.set_setup(bow=0.25)


def test_the_first_step_states_what_is_offered_and_moves_it(book: Logbook) -> None:
    book.step("bow", 1)
    assert (book.view().setup.bow, book.view().setup.grip) == (1.0, 30.0)


def test_a_stated_setup_survives_a_restart(logbook: Logbook, open_book: Callable[[], Logbook]) -> None:
    logbook.set_setup(bow=2.5, grip=45.0, stick=False, swing="short", surface="turf", aim_line=False)
    logbook.hit(RIGHT)
    before = logbook.view().setup
    logbook.close()
    assert open_book().view().setup == before


def test_the_grip_stick_comes_off_for_full_swings(logbook: Logbook) -> None:
    echo = logbook.set_setup(swing="full")
    assert "Stick off for full swings." in echo.text
    assert echo.doubtful
    assert logbook.hint is not None
    assert logbook.hint.words.startswith("Stick off for full swings")


def test_a_club_is_added_once_by_name(logbook: Logbook) -> None:
    logbook.add_club("wedge", 54.0)
    assert [club.label for club in logbook.clubs()] == ["28 deg iron", "54 deg wedge"]
    with pytest.raises(Refused, match="in the bag"):
        logbook.add_club(" Wedge ", 56.0)
    with pytest.raises(OffScale, match="needs a name"):
        logbook.add_club("\x1b ", 30.0)
    for loft in (3.0, 300.0):
        with pytest.raises(OffScale, match="Loft runs 5 to 70 deg"):
            logbook.add_club("long", loft)
    assert len(logbook.clubs()) == 2


def test_only_clubs_of_the_bag_are_taken(logbook: Logbook) -> None:
    with pytest.raises(Refused, match="not in the bag"):
        logbook.set_setup(club_id="nobody's")


def test_a_club_of_unknown_loft_is_legal(logbook: Logbook, open_book: Callable[[], Logbook]) -> None:
    logbook.add_club("old blade", None)
    logbook.close()
    assert open_book().clubs()[-1].loft_deg is None


def test_stating_the_same_setup_writes_nothing(logbook: Logbook) -> None:
    assert logbook.set_setup(bow=0.0).text == "Next: bow 0, grip 30, centre."


def test_the_hint_s_setting_is_taken_with_one_key(logbook: Logbook) -> None:
    logbook.load_model()
    logbook.start_block("bow bracket")
    for _ in range(4):
        logbook.hit(RIGHT)
    assert logbook.hint is not None
    proposed = logbook.hint.setting
    assert proposed is not None
    logbook.take_hint()
    assert logbook.view().setup.setting == proposed
