"""Undo and redo: as deep as the session, across a restart, and never more than was done."""

from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog.core.ball import Ball
from rangelog.core.errors import NothingToUndo
from rangelog.core.flight import Flight
from rangelog.core.words import Height, Reason, Side, Strike
from rangelog.logbook import Logbook
from rangelog.store import Book

Disk = Callable[[], list[Ball]]
RIGHT = Flight(Side.RIGHT, Height.MID)


def act_a_lot(book: Logbook) -> list[Callable[[], object]]:
    """Ten acts of every kind that undo knows."""
    return [
        lambda: book.hit(RIGHT),
        lambda: book.amend(strike=Strike.SOLID),
        lambda: book.number("4R"),
        lambda: book.hit(Flight(Side.LEFT)),
        lambda: book.uncount(Reason.INTERRUPTED),
        lambda: book.recount(),
        lambda: book.note("wind"),
        lambda: book.felt_bow(1.5),
        lambda: book.relabel(2, bow=2.0, reason="forgot"),
        lambda: book.correct_aim(-5.0),
    ]


def test_nothing_to_undo_leaves_the_file_unchanged(logbook: Logbook, book_path: Path) -> None:
    before = book_path.read_bytes()
    for act in (logbook.undo, logbook.redo):
        with pytest.raises(NothingToUndo, match="Nothing to"):
            act()
    assert book_path.read_bytes() == before


def test_every_step_back_and_forth_shows_on_disk(logbook: Logbook, on_disk: Disk) -> None:
    seen = [on_disk()]
    for act in act_a_lot(logbook):
        act()
        seen.append(on_disk())
    for expected in reversed(seen[:-1]):
        assert logbook.undo().text.startswith("Taken back: ")
        assert on_disk() == expected
    with pytest.raises(NothingToUndo):
        logbook.undo()
    for expected in seen[1:]:
        assert logbook.redo().text.startswith("Brought back: ")
        assert on_disk() == expected


def test_undo_and_redo_go_on_after_a_restart(logbook: Logbook, open_book: Callable[[], Logbook], on_disk: Disk) -> None:
    seen = [on_disk()]
    for act in act_a_lot(logbook):
        act()
        seen.append(on_disk())
    logbook.undo()
    logbook.close()
    again = open_book()
    again.redo()
    assert on_disk() == seen[-1]
    for expected in reversed(seen[:-1]):
        again.undo()
        assert on_disk() == expected


def test_a_new_act_ends_what_could_be_brought_back(logbook: Logbook) -> None:
    logbook.hit(RIGHT)
    logbook.undo()
    assert logbook.view().can_redo
    logbook.hit(RIGHT)
    assert not logbook.view().can_redo
    with pytest.raises(NothingToUndo):
        logbook.redo()


def test_what_was_taken_back_is_said(logbook: Logbook) -> None:
    logbook.hit(RIGHT)
    logbook.amend(strike=Strike.THIN)
    assert logbook.undo().text == "Taken back: thin."
    assert logbook.undo().text == "Taken back: right, mid."


def test_a_ball_taken_back_stays_in_the_file_and_out_of_everything(logbook: Logbook, book_path: Path, on_disk: Disk) -> None:
    logbook.hit(RIGHT)
    logbook.undo()
    assert on_disk() == []
    assert logbook.view().last is None
    assert logbook.view().picture.marks == ()
    session = logbook.session
    assert session is not None
    with Book.open(book_path, read_only=True) as other:
        (kept,) = other.balls(session.id, include_voided=True)
        assert kept.voided
        assert [edit.reason for edit in other.edits(ball_id=kept.id)] == ["undo"]


def test_undo_leaves_the_setup_of_the_next_ball_alone(logbook: Logbook) -> None:
    logbook.hit(RIGHT)
    logbook.step("bow", 1)
    logbook.undo()
    assert logbook.view().setup.bow == 1.0


def test_a_new_session_has_nothing_to_take_back(logbook: Logbook) -> None:
    logbook.hit(RIGHT)
    logbook.start_session()
    with pytest.raises(NothingToUndo):
        logbook.undo()


def test_hundreds_of_balls_can_be_taken_back_one_by_one(logbook: Logbook, on_disk: Disk) -> None:
    for _ in range(120):
        logbook.hit(RIGHT)
    for _ in range(120):
        logbook.undo()
    assert on_disk() == []
