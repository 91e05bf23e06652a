"""The menu holds every act, and finds it by its words."""

import pytest

from rangelog.tui.actions import ACTIONS, Action, applies
from rangelog.tui.screens.menu import offered
from tests.tui.fake_book import FakeBook
from tests.tui.states import bracketed, due, that_cannot_save

CLOSES = ("log.menu", "log.back")
"""What the menu itself is, and what closes it."""


def book_for(action: Action) -> FakeBook:
    """A book in which an act applies."""
    if action.id.startswith("log.save"):
        book = that_cannot_save()
        book.unsaved = 1
        return book
    book = due() if action.id == "range.due" else bracketed()
    if action.id == "ball.redo":
        book.undo()
    return book


@pytest.mark.parametrize("action", [action for action in ACTIONS if action.id not in CLOSES], ids=lambda action: action.id)
def test_every_act_is_offered_where_it_applies_and_found_by_its_label(action: Action) -> None:
    view = book_for(action).view()
    assert applies(action, view)
    assert action in offered(view, "")
    assert action in offered(view, action.label)[:4]


def test_what_does_not_apply_is_not_offered() -> None:
    names = {action.id for action in offered(FakeBook(fresh=True).view(), "")}
    assert names.isdisjoint({"ball.undo", "ball.redo", "ball.number", "range.due", "log.save_again"})


def test_what_is_not_saved_comes_first() -> None:
    book = that_cannot_save()
    book.unsaved = 1
    assert offered(book.view(), "")[0].id == "log.save_again"
