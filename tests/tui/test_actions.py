"""The one list of acts."""

from rangelog.core.flight import Flight
from rangelog.core.words import Curve, Height, Side, Strike
from rangelog.logbook.view import TeeView
from rangelog.tui.actions import ACTIONS, BY_ID, CURVES, FLIGHTS, GROUPS, STRIKES, applies
from tests.tui.fake_book import FakeBook


def test_ids_and_labels_are_one_to_one() -> None:
    assert len({action.id for action in ACTIONS}) == len({action.label for action in ACTIONS}) == len(ACTIONS)


def test_every_act_stands_under_a_heading_and_says_a_sentence() -> None:
    assert {action.group for action in ACTIONS} == set(GROUPS)
    assert all(action.help.endswith(".") and action.help[0].isupper() for action in ACTIONS)


def test_the_flight_block_holds_every_side_at_every_height_and_none() -> None:
    expected = {Flight(side, height) for side in Side for height in (None, *Height)} | {Flight()}
    assert set(FLIGHTS.values()) == expected
    assert set(STRIKES.values()) == set(Strike)
    assert set(CURVES.values()) == set(Curve)


def test_acts_on_the_last_ball_wait_for_one() -> None:
    book = FakeBook()
    assert not applies(BY_ID["ball.note"], book.view())
    book.hit(Flight(Side.LEFT))
    assert applies(BY_ID["ball.note"], book.view())


def test_a_book_that_is_read_only_offers_nothing_that_changes_it() -> None:
    book = FakeBook()
    book.hit(Flight(Side.LEFT))
    book.read_only = True
    view: TeeView = book.view()
    for action_id in ("ball.note", "setup.bow_more", "range.pain", "strike.solid", "setup.club"):
        assert not applies(BY_ID[action_id], view)
    assert applies(BY_ID["log.why"], view)
