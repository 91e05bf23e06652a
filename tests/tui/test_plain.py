"""The log in plain lines, told as text."""

import io
from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog import tui
from rangelog.logbook import Logbook
from rangelog.logbook.review_names import QUESTIONS
from rangelog.settings import Settings
from rangelog.tui import keymap
from rangelog.tui.actions import ACTIONS, Action, applies
from rangelog.tui.phrases import BY_WORD
from rangelog.tui.plain import PlainLog
from tests.tui.fake_book import FakeBook
from tests.tui.states import bracketed, due, that_cannot_save


def plain(book: FakeBook | None = None, layout: str = "qwerty") -> PlainLog:
    log = PlainLog(book or FakeBook(), keymap.ready(layout), clock=lambda: 0.0)
    log.start()
    return log


def say(log: PlainLog, *typed: str) -> list[str]:
    """Everything said in answer to the lines."""
    return [said for line in typed for said in log.line(line)]


def test_keys_and_words_store_the_same_ball() -> None:
    by_key, by_word = FakeBook(), FakeBook()
    say(plain(by_key), "fj")
    say(plain(by_word), "right mid solid")
    assert by_key.calls == by_word.calls == ["hit right mid", "amend solid"]


@pytest.mark.parametrize(
    ("typed", "call"),
    [
        ("far left low", "hit far left low"),
        ("on line", "hit on line None"),
        ("Right, high", "hit right high"),
        ("F", "hit right mid"),
        ("0", "hit None None"),
    ],
)
def test_a_ball_in_words(typed: str, call: str) -> None:
    book = FakeBook()
    say(plain(book), typed)
    assert book.calls == [call]


@pytest.mark.parametrize("typed", ["mid", "left right solid", "far", "fx~", "hello", "\x1b[A"])
def test_what_is_not_understood_does_nothing(typed: str) -> None:
    book = FakeBook()
    assert say(plain(book), typed)
    assert book.calls == []


def test_letters_leaned_on_make_one_ball_and_a_question() -> None:
    book = FakeBook()
    assert say(plain(book), "dddddd")[-1] == "Same key: another ball? Type yes or no."
    assert book.calls == ["hit on line mid"]


def test_yes_answers_the_question() -> None:
    book = FakeBook()
    say(plain(book), "dd", "yes")
    assert book.calls == ["hit on line mid"] * 2


def test_the_same_key_on_the_next_line_is_another_ball() -> None:
    book = FakeBook()
    say(plain(book), "d", "d")
    assert book.calls == ["hit on line mid"] * 2


def test_a_hint_is_said_when_it_changes_and_not_again() -> None:
    said = say(plain(), "f", "f")
    assert sum(line.startswith("Hint: bow 2.") for line in said) == 1


def test_forms_are_asked_line_by_line() -> None:
    book = FakeBook()
    said = say(plain(book), "f", "pain", "wrist", "4", "no")
    assert book.calls[-1] == "pain wrist 4 False"
    assert "How much, 0 none to 10 the worst: Enter takes 0." in said


def test_a_form_can_be_dropped() -> None:
    book = FakeBook()
    assert say(plain(book), "f", "note", "esc")[-1] == "Dropped."
    assert book.calls == ["hit right mid"]


def test_a_note_and_a_number_on_one_line() -> None:
    book = FakeBook()
    say(plain(book), "f", "note wind [/b] from left", "number -5")
    assert book.calls[1:] == ["note wind [/b] from left", "number -5"]


def test_setup_in_words() -> None:
    book = FakeBook()
    say(plain(book), "bow 2,5 grip 45", "more bow")
    assert (book.setup.bow, book.setup.grip) == (3.5, 45.0)


def test_a_bow_off_its_scale_is_refused_and_nothing_changes() -> None:
    book = FakeBook()
    assert "runs -2 to 5" in say(plain(book), "bow 9")[0]
    assert book.setup.bow == 1.0


def test_an_empty_line_says_where_one_stands() -> None:
    said = say(plain(), "f", "")
    assert "Next: bow 1, grip 30. Last: right, mid. Hint: bow 2." in said


def test_history_is_a_list_of_sentences() -> None:
    said = say(plain(), "fj", "0", "balls")
    assert said[-2:] == ["Ball 1: right, mid, solid; bow 1 grip 30.", "Ball 2: not seen; bow 1 grip 30; not counted."]


def test_no_line_has_a_drawing_or_a_control_character() -> None:
    log = plain()
    said = say(log, "fj", "help", "keys", "why", "words", "cautions", "plan", "balls", "")
    assert said
    allowed = set("±°↑↓←→")
    assert [
        line
        for line in said
        if not all(character.isprintable() and (ord(character) < 0x2500 or character in allowed) for character in line)
    ] == []


def test_every_act_has_a_word_of_its_own() -> None:
    assert set(BY_WORD.values()) >= {action.id for action in ACTIONS}


def unsaved() -> FakeBook:
    book = that_cannot_save()
    book.unsaved = 1
    return book


APPLIES: dict[str, Callable[[], FakeBook]] = {"range.due": due, "log.save_again": unsaved, "log.save_elsewhere": unsaved}
"""Books in which an act applies that the usual one has no use for."""


def ready(action: Action) -> PlainLog:
    """Plain lines in a state in which an act applies."""
    log = plain(APPLIES.get(action.id, bracketed)())
    if action.id == "ball.redo":
        say(log, "undo")
    return log


@pytest.mark.parametrize("action", ACTIONS, ids=lambda action: action.id)
def test_every_act_answers_to_its_name_its_id_and_its_key(action: Action) -> None:
    for typed in (action.label, action.id, *(key for key in action.keys if len(key) == 1)):
        log = ready(action)
        assert applies(action, log.book.view()), typed
        answer = say(log, typed)
        assert answer, typed
        assert not any("nothing is called that" in line or "read-only" in line for line in answer), typed
        assert all(line.strip() and line == line.strip() for line in answer), typed


def test_a_strike_said_again_is_not_passed_over_in_silence() -> None:
    book = FakeBook()
    assert say(plain(book), "fj", "j", "solid")[-2:] == ["Ball 1: solid already."] * 2


def test_a_question_is_answered_by_yes_no_or_an_empty_line() -> None:
    assert say(plain(), "back", "yes")[-1] == "Left. Every ball is in the book."
    assert say(plain(), "back", "no")[-1] == "Staying."
    assert say(plain(), "back", "")[-1] == "Staying."


def test_a_pause_stores_nothing_until_an_empty_line() -> None:
    book = FakeBook()
    said = say(plain(book), "pause", "f", "undo")
    assert said == ["Paused. Every ball is in the book. An empty line goes on.", *["Paused. An empty line goes on."] * 2]
    assert book.calls == []
    say(plain(book), "pause", "", "f")
    assert book.calls == ["hit right mid"]


def test_units_change_on_the_way() -> None:
    log = plain(bracketed())
    assert "apex 9.5 m" in say(log, "ball 8")[3]
    assert "apex 10.4 yd" in say(log, "units", "ball 8")[4]


def test_one_ball_is_told_whole_and_can_be_corrected() -> None:
    book = bracketed()
    log = plain(book)
    assert say(log, "ball 8") == [
        "Ball 8, 17:42.",
        "Setup bow 2.5, grip 30, ball at centre.",
        "With 28 deg iron, half swing, stick on, mat, aim line.",
        "It did on line, 0.5 right, mid, launch 17.5, apex 9.5 m, solid.",
        "Counted yes.",
        "CHANGES SINCE ITS FIRST KEY.",
        "None: it stands as it was keyed.",
    ]
    say(log, "correct 3", "height", "low", "")
    assert book.calls == ["edit x3 height low mis-keyed"]
    assert say(log, "correct 99") == ["There is no ball 99 in this session."]


def test_signs_are_said_as_words() -> None:
    said = " ".join(say(plain(bracketed()), "f", "why", "", "gate"))
    assert "plus or minus 1.7" in said
    assert "+-" not in said


@pytest.fixture
def kept(logbook: Logbook) -> PlainLog:
    """Plain lines on a real book with 25 balls, a note on the last."""
    log = PlainLog(logbook, keymap.ready(), clock=lambda: 0.0)
    log.start()
    say(log, *["right mid solid"] * 25, "note wind from the left")
    return log


def test_the_whole_book_is_a_list_in_pages(kept: PlainLog) -> None:
    first, second = say(kept, "balls"), say(kept, "balls 2")
    assert first[0] == "Page 1 of 2: 25 balls, counted or not."
    assert first[2].startswith("Ball 25: right, mid, solid; bow 0, grip 30, centre")
    assert first[2].endswith("Note: wind from the left")
    assert first[-1].startswith("balls 2 goes on.")
    assert second[-1].startswith("Ball 1: right, mid, solid")


def test_the_list_finds_notes_dates_and_what_does_not_count(kept: PlainLog) -> None:
    assert say(kept, "balls wind")[0] == "Page 1 of 1: 1 ball, counted or not, note holds wind."
    assert say(kept, "balls not counted")[0] == "Page 1 of 1: 0 balls, not counted."
    assert say(kept, "balls 2020")[0].startswith("Page 1 of 2")
    assert say(kept, "balls 2026-99-99-9")[0].startswith("A date is written")


def test_every_review_is_told_in_lines(kept: PlainLog) -> None:
    names = [line.split(":")[0] for line in say(kept, "review")[:-1]]
    assert len(names) == len(QUESTIONS)
    for name in names:
        answer = say(kept, name)
        assert answer[0] == QUESTIONS[name.removeprefix("review ")]
        assert "balls" in answer[1]


def test_a_review_takes_its_number_and_a_filter(kept: PlainLog) -> None:
    assert say(kept, "review 5, turf")[0] == QUESTIONS["strike"]
    assert "is no part of a filter" in say(kept, "review strike, moon")[0]
    assert say(kept, "review moon")[0] == "There is no review moon."


def test_balls_that_are_not_saved_are_said_to_be_so() -> None:
    book = FakeBook()
    book.failing = True
    log = PlainLog(book, keymap.ready(), clock=lambda: 0.0)
    target = io.StringIO()
    assert log.run(io.StringIO("f\n"), target) == 1
    lines = target.getvalue().splitlines()
    assert "NOT SAVED. The disk is full. The ball is kept in memory." in lines
    assert lines[-1] == "NOT SAVED: 1 ball in memory only."


def test_the_end_of_the_lines_ends_the_log() -> None:
    assert PlainLog(FakeBook(), keymap.ready(), clock=lambda: 0.0).run(io.StringIO(""), io.StringIO()) == 0


def test_leaving_the_first_start_begins_nothing() -> None:
    book = FakeBook(fresh=True)
    log = PlainLog(book, keymap.ready(), clock=lambda: 0.0)
    assert log.run(io.StringIO("esc\n"), io.StringIO()) == 0
    assert book.calls == []


def test_a_pipe_opens_plain_lines_on_a_real_book(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "book.db"
    monkeypatch.setattr("sys.stdin", io.StringIO("\n" * 15 + "bow 0 grip 30\nright mid solid\nleft\nundo\nleave\n"))
    assert tui.run(path, settings=Settings()) == 0
    said = capsys.readouterr().out
    assert "Ball 1: right, mid, solid." in said
    assert said.rstrip().endswith("Left. Every ball is in the book.")
    with Logbook.open(path) as book:
        assert [(ball.side, ball.strike) for ball in book.balls()] == [("right", "solid")]
