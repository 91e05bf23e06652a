"""Every review of one book, through every step of the filter."""

from pathlib import Path

import pytest

from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.session import Block, Form, Session
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Height, Side, Strike, Swing
from rangelog.logbook.archive import Archive
from rangelog.logbook.review_filter import Filter
from rangelog.logbook.review_names import QUESTIONS
from rangelog.logbook.review_room import VIEWS, ReviewRoom, filter_from, steps
from rangelog.logbook.showing import Showing

KINDS = (BlockKind.BASELINE, BlockKind.CONFIRM, BlockKind.LADDER, BlockKind.RETENTION)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """Two invented sessions with a block of every kind that a review asks for."""
    path = tmp_path / "anna.book"
    with Archive.take(path, daily_backup=False) as archive:
        archive.save_player(Player("p", "anna"))
        archive.add_club(Club("c", "iron", 28.0))
        archive.add_prescription(Prescription("rx", club_id="c"))
        for day in (4, 25):
            session, at = f"s{day}", f"2026-05-{day:02d}T17:00:00+02:00"
            archive.start_session(Session(session, at))
            archive.add_form(Form(f"{session}f", session, "pain", at, 0, {"wrist": day % 3, "sharp": False}))
            balls: list[Ball] = []
            for number, kind in enumerate(KINDS, start=1):
                block = f"{session}-{number}"
                archive.start_block(Block(block, session, number, kind, started_at=at))
                for place, side in enumerate((Side.RIGHT, Side.ON_LINE, Side.ON_LINE, Side.LEFT, Side.ON_LINE, Side.FAR_RIGHT)):
                    position = float(place % 3 - 1) if kind is BlockKind.LADDER else 0.0
                    setup = Setup(float(number), 30.0, position, "c", stick=kind is not BlockKind.RETENTION)
                    seq = len(balls) + 1
                    height = tuple(Height)[place % 3]
                    balls.append(Ball(f"{session}.{seq}", session, seq, at, setup, block, "rx", side, height=height, strike=Strike.SOLID))
            archive.add_balls(balls)
    return path


def test_every_view_answers_every_step_of_the_filter_with_n_and_words(book: Path) -> None:
    room = ReviewRoom.open(book)
    room.think()
    for choices in steps(room).values():
        for _, chosen in choices:
            for view in VIEWS:
                answer = room.answer(view, chosen)
                assert answer.first_line.startswith((f"{answer.n} ball:", f"{answer.n} balls:"))
                assert answer.question.endswith("?")
                assert answer.sentence.endswith(".")
                assert all(len(row) == len(answer.columns) for row in answer.rows)


def test_the_views_speak_of_the_balls_they_say(book: Path) -> None:
    room = ReviewRoom.open(book)
    everything = Filter()
    assert room.answer("map", everything).n == 40
    assert room.answer("tests", everything).sentence.startswith("6 of 12; not shown to differ from 6 of 12 (p = 1)")
    assert room.answer("height", everything).chosen == "counted, ladder, 2026-05-25"
    assert room.answer("course", everything).n == 24
    assert room.answer("days", everything).chosen == "counted, grip 30, bow 4"
    assert room.answer("stick", everything).sentence == "No setting was hit both with the stick on and with it off."
    assert room.answer("asked", everything).rows[-1] == ("pain", "none stated", "highest 1")
    assert room.answer("left out", everything).sentence == "All 48 balls counted."


def test_dates_count_back_from_the_last_session(book: Path) -> None:
    room = ReviewRoom.open(book)
    assert room.span("last session") == Filter(session_id="s25")
    assert room.span("4 weeks") == Filter(since="2026-04-27")
    assert room.span("") == Filter()


def test_older_balls_are_read_when_they_are_asked_for(book: Path) -> None:
    with Archive.take(book, daily_backup=False) as archive:
        archive.start_session(Session("old", "2025-01-10T17:00:00+01:00"))
        archive.add_balls([Ball("o1", "old", 1, "2025-01-10T17:00:00+01:00", Setup(0.0, 30.0, club_id="c"), side=Side.RIGHT)])
    room = ReviewRoom.open(book)
    assert room.answer("left out", room.span("26 weeks")).n == 48
    assert room.answer("left out", Filter(session_id="old")).n == 1
    room = ReviewRoom.open(book)
    assert len(room.table) == 48
    assert room.answer("left out", Filter()).n == 49
    assert room.since == ""


def test_an_empty_book_answers_too(tmp_path: Path) -> None:
    Archive.take(tmp_path / "empty.book", daily_backup=False).close()
    room = ReviewRoom.open(tmp_path / "empty.book")
    room.think()
    assert room.model is None
    for view in VIEWS:
        assert room.answer(view, Filter()).n == 0


def test_reading_a_book_for_review_changes_no_byte(book: Path) -> None:
    before = book.read_bytes()
    room = ReviewRoom.open(book)
    room.think()
    for view in VIEWS:
        room.answer(view, Filter())
    assert book.read_bytes() == before


def test_every_question_is_listed_by_the_words_it_asks(book: Path) -> None:
    room = ReviewRoom.open(book)
    assert {view: room.answer(view, Filter()).question for view in VIEWS} == QUESTIONS
    assert tuple(QUESTIONS) == VIEWS


def test_a_view_is_spoken_with_the_players_decimals(book: Path) -> None:
    room = ReviewRoom.open(book)
    plain, comma = room.spoken("map", Filter()), room.spoken("map", Filter(), Showing(comma=True))
    assert plain[:2] == ("Where did each setting start the ball?", "40 balls: counted.")
    assert plain[3].startswith("grip 30; bow 1; balls 12; mean start +1.4 plus or minus ")
    assert comma[3].startswith("grip 30; bow 1; balls 12; mean start +1,4 plus or minus ")
    assert len(plain) == len(comma) == 3 + 4 + len(("grip never moved",))


def test_a_filter_is_said_in_words(book: Path) -> None:
    room = ReviewRoom.open(book)
    assert filter_from(room, "") == room.span("26 weeks")
    assert filter_from(room, " Stick  OFF, 28 deg iron,uncounted") == Filter(
        since=room.span("26 weeks").since, stick=False, clubs=frozenset({"c"}), counted=False
    )
    assert filter_from(room, "last session, half swing") == Filter(session_id="s25", swing=Swing.HALF)
    assert filter_from(room, "all dates, stick off block") == Filter(blocks=frozenset({BlockKind.STICK_OFF}))
    for choices in steps(room).values():
        for word, _ in choices:
            filter_from(room, word)
    with pytest.raises(OffScale, match=r"'dusk' is no part of a filter.*stick off"):
        filter_from(room, "turf, dusk")
