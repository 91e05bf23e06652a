"""The log in plain lines, told as text."""

import io
from pathlib import Path

import pytest

from rangelog import tui
from rangelog.logbook import Logbook
from rangelog.settings import Settings
from rangelog.tui import keymap
from rangelog.tui.actions import ACTIONS
from rangelog.tui.phrases import BY_WORD
from rangelog.tui.plain import PlainLog
from tests.tui.fake_book import FakeBook


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
    assert say(plain(book), "dddddd")[-1] == "Same key: another ball? Space yes, other keys no."
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


def test_every_act_can_be_typed() -> None:
    for action in ACTIONS:
        log = plain()
        say(log, "f")
        assert say(log, action.label) or action.group in ("flight", "strike") or action.id == "log.back"


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
