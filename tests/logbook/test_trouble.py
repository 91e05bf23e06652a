"""Books that cannot take what they are given: read-only, held by another, a full disk. Nothing is called saved that is not."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from rangelog.core.ball import Ball
from rangelog.core.errors import RangelogError, Refused
from rangelog.core.flight import Flight
from rangelog.core.words import Side, Strike
from rangelog.logbook import Logbook
from rangelog.store import BackupRefused, Book, NotSaved
from rangelog.store.desk import Desk
from rangelog.store.tee_book import TeeBook

Disk = Callable[[], list[Ball]]
Open = Callable[..., Logbook]
RIGHT = Flight(Side.RIGHT)
CHANGES: list[Callable[[Logbook], object]] = [
    lambda book: book.hit(RIGHT),
    lambda book: book.amend(strike=Strike.SOLID),
    lambda book: book.number("5R"),
    lambda book: book.uncount("interrupted"),
    lambda book: book.note("wind"),
    lambda book: book.felt_bow(1.0),
    lambda book: book.undo(),
    lambda book: book.relabel(1, bow=1.0, reason="forgot"),
    lambda book: book.correct_aim(-5.0),
    lambda book: book.step("bow", 1),
    lambda book: book.set_setup(grip=45.0),
    lambda book: book.add_club("wedge", 54.0),
    lambda book: book.start_block("baseline"),
    lambda book: book.save_form("kit", {"aim_line": "pass"}, complete=False),
    lambda book: book.pain("wrist", 5),
    lambda book: book.start_session(),
    lambda book: book.end_session(),
    lambda book: book.revise_prescription(window_deg=3.0),
]


class Full:
    """A disk that can be full: every commit of the book fails as long as it is."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.full = False
        write = Desk._write

        def writing(book: Desk, work: Callable[..., object]) -> object:
            if self.full:
                raise NotSaved("disk full", "Not saved: the disk is full.", "Make room and try again, or choose another path.")
            return write(book, work)

        monkeypatch.setattr(Desk, "_write", writing)


@pytest.fixture
def disk(monkeypatch: pytest.MonkeyPatch) -> Full:
    return Full(monkeypatch)


@pytest.mark.parametrize("act", CHANGES)
def test_a_book_open_for_reading_refuses_every_change_and_shows_none(
    logbook: Logbook, open_book: Open, book_path: Path, act: Callable[[Logbook], object]
) -> None:
    logbook.hit(RIGHT)
    logbook.close()
    before = book_path.read_bytes()
    book = open_book(read_only=True)
    view, clubs = book.view(), list(book.clubs())
    assert view.read_only
    assert view.notice.startswith("Reading only: ")
    with pytest.raises(Refused, match="Not saved: the book was opened for reading only"):
        act(book)
    assert replace(book.view(), due="") == replace(view, due="")
    assert list(book.clubs()) == clubs
    book.close()
    assert book_path.read_bytes() == before


def test_a_second_program_reads_and_is_told_who_holds_the_book(logbook: Logbook, open_book: Open) -> None:
    logbook.hit(RIGHT)
    second = open_book()
    assert second.view().read_only
    assert "holds the book" in second.view().notice
    assert [ball.side for ball in second.balls()] == [Side.RIGHT]
    with pytest.raises(Refused, match="holds the book"):
        second.hit(RIGHT)
    logbook.hit(RIGHT)
    assert len(logbook.balls()) == 2


def test_a_full_disk_keeps_balls_in_memory_and_says_so_until_they_are_saved(logbook: Logbook, disk: Full, on_disk: Disk) -> None:
    logbook.hit(RIGHT)
    disk.full = True
    echo = logbook.hit(Flight(Side.LEFT))
    assert echo.kind == "not saved"
    assert echo.text.startswith("NOT SAVED YET. Ball 2: left")
    assert logbook.amend(strike=Strike.SOLID).kind == "not saved"
    view = logbook.view()
    assert view.unsaved > 0
    assert view.notice.startswith("NOT SAVED YET: ")
    assert "the disk is full" in view.notice
    assert (view.ball_number, view.last.strike) == (2, Strike.SOLID)  # type: ignore[union-attr]
    assert len(on_disk()) == 1
    assert logbook.retry_unsaved().kind == "not saved"
    disk.full = False
    assert logbook.retry_unsaved().text.startswith("Saved: ")
    assert logbook.view().unsaved == 0
    assert logbook.view().notice == ""
    assert on_disk() == logbook.balls()


def test_the_next_key_saves_what_waits_in_its_order(logbook: Logbook, disk: Full, on_disk: Disk) -> None:
    disk.full = True
    for side in (Side.LEFT, Side.ON_LINE):
        logbook.hit(Flight(side))
    disk.full = False
    assert logbook.hit(RIGHT).kind == "saved"
    assert [ball.side for ball in on_disk()] == [Side.LEFT, Side.ON_LINE, Side.RIGHT]


def test_undo_works_on_what_is_not_yet_saved(logbook: Logbook, disk: Full, on_disk: Disk) -> None:
    disk.full = True
    logbook.hit(RIGHT)
    logbook.undo()
    assert logbook.balls() == []
    disk.full = False
    logbook.retry_unsaved()
    assert on_disk() == []


def test_the_log_goes_on_in_a_copy_elsewhere_with_nothing_lost(logbook: Logbook, disk: Full, tmp_path: Path, book_path: Path) -> None:
    logbook.hit(RIGHT)
    disk.full = True
    logbook.hit(Flight(Side.LEFT))
    other = tmp_path / "other" / "stick.db"
    other.parent.mkdir()
    echo = logbook.save_elsewhere(other)
    assert str(other) in echo.text
    disk.full = False
    logbook.hit(Flight(Side.ON_LINE))
    session = logbook.session
    assert session is not None
    with Book.open(other, read_only=True) as book:
        assert [ball.side for ball in book.balls(session.id)] == [Side.RIGHT, Side.LEFT, Side.ON_LINE]
    with Book.open(book_path, read_only=True) as book:
        assert [ball.side for ball in book.balls(session.id)] == [Side.RIGHT], "the old file stands as it was"


def test_a_path_that_is_taken_loses_nothing(logbook: Logbook, disk: Full, tmp_path: Path, on_disk: Disk) -> None:
    taken = tmp_path / "taken.db"
    taken.write_text("mine")
    disk.full = True
    logbook.hit(RIGHT)
    with pytest.raises(RangelogError):
        logbook.save_elsewhere(taken)
    assert taken.read_text() == "mine"
    assert logbook.view().unsaved > 0
    disk.full = False
    logbook.retry_unsaved()
    assert len(on_disk()) == 1


def test_a_first_start_on_a_disk_that_fills_up_is_saved_when_there_is_room(open_book: Open, disk: Full) -> None:
    book = open_book()
    disk.full = True
    assert book.first_start(code="robin").kind == "not saved"
    book.start_session()
    book.set_setup(bow=0.0, grip=30.0)
    book.hit(RIGHT)
    disk.full = False
    book.retry_unsaved()
    book.close()
    again = open_book()
    assert again.view().player.code == "robin"  # type: ignore[union-attr]
    assert again.resume_text == "1 ball restored; ball 1 has no strike."


def test_the_old_line_tells_what_is_wrong_while_the_hint_goes_on(logbook: Logbook, disk: Full) -> None:
    logbook.load_model()
    disk.full = True
    for _ in range(4):
        logbook.hit(RIGHT)
    assert logbook.hint is not None
    assert logbook.hint.rule != "setup"
    assert "1 MORE" not in logbook.hint.action, "the model has learned from balls that wait"


def replaced(path: Path, content: bytes) -> None:
    """Another content in the very file, as a synced folder may lay it."""
    with path.open("r+b") as file:
        file.write(content)
        file.truncate()


@pytest.mark.parametrize("how", ["another book", "an older copy", "half"])
def test_a_book_overwritten_in_place_loses_no_ball_and_goes_on_elsewhere(
    logbook: Logbook, book_path: Path, tmp_path: Path, new_id: Callable[[], str], clock: object, how: str
) -> None:
    old = book_path.read_bytes()
    logbook.start_block("ladder", 15)
    logbook.hit(RIGHT)
    logbook.revise_prescription(window_deg=3.0)
    logbook.amend(strike=Strike.SOLID)
    logbook.revise_prescription(window_deg=2.5)
    logbook.pain("wrist", 1)
    with Logbook.open(tmp_path / "other.db", now=clock, new_id=lambda: "f" + new_id()[1:]) as other:  # type: ignore[arg-type]
        other.first_start(code="other")
    content = {"another book": (tmp_path / "other.db").read_bytes(), "an older copy": old, "half": book_path.read_bytes()[:20480]}[how]
    replaced(book_path, content)
    echo = logbook.hit(Flight(Side.LEFT))
    assert (echo.kind, echo.text[:28]) == ("not saved", "NOT SAVED YET. Ball 2: left.")
    assert "the book was replaced by another program. Choose another path" in logbook.view().notice
    assert book_path.read_bytes() == content
    with pytest.raises(RangelogError, match="is there already"):
        logbook.save_elsewhere(tmp_path / "other.db")
    echo = logbook.save_elsewhere(tmp_path / "visit.db")
    assert echo.kind == "saved"
    assert echo.text.endswith("visit.db with this visit: merge them later.")
    assert logbook.hit(Flight(Side.ON_LINE)).kind == "saved"
    balls, session, view = logbook.balls(), logbook.session, logbook.view()
    logbook.close()
    assert session is not None
    with Book.open(tmp_path / "visit.db", read_only=True) as book:
        assert book.check().whole
        assert book.balls(session.id) == balls
        assert [ball.side for ball in balls] == [Side.RIGHT, Side.LEFT, Side.ON_LINE]
        assert balls[0].strike == Strike.SOLID
        assert [edit.field for edit in book.edits(session_id=session.id)] == ["strike"]
        assert len(book.prescriptions()) == 3
        assert [form.answers["wrist"] for form in book.forms(session.id)] == [1]
    again = Logbook.open(tmp_path / "visit.db", now=clock, new_id=new_id)  # type: ignore[arg-type]
    assert again.view().setup == view.setup
    assert again.view().block is not None
    assert again.view().block_hit == 3
    again.close()


def test_a_book_that_cannot_be_read_any_more_is_left_for_a_new_one(
    logbook: Logbook, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def damaged(*_: object) -> None:
        raise NotSaved("damaged", "Not saved: book.db is damaged.")

    def uncopied(*_: object) -> None:
        raise BackupRefused("The copy could not be made.")

    logbook.hit(RIGHT)
    with monkeypatch.context() as patch:
        patch.setattr(Desk, "_write", damaged)
        assert logbook.hit(Flight(Side.LEFT)).kind == "not saved"
    monkeypatch.setattr(TeeBook, "save_copy", uncopied)
    logbook.save_elsewhere(tmp_path / "visit.db")
    session = logbook.session
    assert session is not None
    with Book.open(tmp_path / "visit.db", read_only=True) as book:
        assert [ball.side for ball in book.balls(session.id)] == [Side.RIGHT, Side.LEFT]
