"""Leaving a ball out of the fits: for a reason, never for where it went, and never in silence."""

from collections.abc import Callable

import pytest

from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale
from rangelog.core.flight import Flight
from rangelog.core.words import Reason, Side
from rangelog.logbook import Logbook

Disk = Callable[[], list[Ball]]
LEFT = Flight(Side.LEFT)


@pytest.mark.parametrize("reason", Reason.choices())
def test_every_class_of_reason_is_kept_and_can_be_taken_back(logbook: Logbook, on_disk: Disk, reason: Reason) -> None:
    logbook.hit(LEFT)
    assert logbook.uncount(reason.value).text == f"Ball 1 not counted: {reason}."
    assert (on_disk()[0].counted, on_disk()[0].reason) == (False, reason)
    logbook.recount()
    assert (on_disk()[0].counted, on_disk()[0].reason) == (True, None)


@pytest.mark.parametrize("reason", ["went left", "left", "missed", "", "setup unknown", "not seen", "ugly"])
def test_where_it_went_is_no_reason(logbook: Logbook, on_disk: Disk, reason: str) -> None:
    logbook.hit(LEFT)
    before = on_disk()
    with pytest.raises(OffScale, match=r"Where the ball went is no reason\. Reason is one of: interrupted"):
        logbook.uncount(reason)
    assert on_disk() == before


def test_eight_of_ten_are_allowed_with_a_warning(logbook: Logbook, on_disk: Disk) -> None:
    warned = []
    for number in range(10):
        logbook.hit(LEFT)
        if number >= 2:
            warned.append(logbook.uncount(Reason.INTERRUPTED).doubtful)
    assert sum(not ball.counted for ball in on_disk()) == 8
    assert warned == [False] * 7 + [True], "the share is spoken of from ten balls on"


def test_two_of_ten_need_no_warning(logbook: Logbook) -> None:
    for _ in range(10):
        logbook.hit(LEFT)
    assert not logbook.uncount(Reason.INTERRUPTED).doubtful


def test_an_uncounted_ball_leaves_the_hint_and_comes_back_to_it(logbook: Logbook) -> None:
    logbook.load_model()
    for _ in range(3):
        logbook.hit(LEFT)
    before = logbook.hint
    logbook.hit(LEFT)
    logbook.uncount(Reason.INTERRUPTED)
    assert logbook.hint == before
    assert logbook.view().picture.marks[-1].counted is False
