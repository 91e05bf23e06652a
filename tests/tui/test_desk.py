"""What an act does, and what it asks first: no terminal here."""

from pathlib import Path

import pytest

from rangelog.core.flight import Flight
from rangelog.core.words import Reason, Side
from rangelog.logbook import Logbook
from rangelog.tui.actions import ACTIONS
from rangelog.tui.desk import Desk
from rangelog.tui.forms import Filling
from rangelog.tui.keymap import KeyMap, fold, ready
from tests.tui.fake_book import FakeBook


def test_a_new_session_that_is_dropped_leaves_the_running_one_as_it_was() -> None:
    book = FakeBook()
    desk = Desk(book, clock=lambda: 0.0)
    before = book.view()
    form = desk.do("range.new_session").form
    assert form is not None
    assert book.view() == before
    desk.answer(form, {"surface": "turf", "aim_line": True, "swing": "half", "stick": True})
    assert book.calls == ["end_session", "start_session turf True"]


class Keyboard:
    """Presses keys on a desk at chosen times."""

    def __init__(self, book: FakeBook | None = None, keys: KeyMap | None = None) -> None:
        self.book = book or FakeBook()
        self.at_s = 0.0
        self.desk = Desk(self.book, lambda: self.at_s)
        self.keys = keys or ready()

    def press(self, key: str, after_s: float = 5.0) -> str:
        """What is said after a key; the form or screen it opens, in brackets."""
        self.at_s += after_s
        action_id = self.keys.action(key, "tee")
        reply = self.desk.press(action_id, fold(key))
        opened = reply.form.id if reply.form else reply.open
        return (reply.echo.text if reply.echo else "") + (f"[{opened}]" if opened else "")


def test_one_key_is_a_ball_and_two_are_a_full_one() -> None:
    keyboard = Keyboard()
    keyboard.press("f")
    keyboard.press("j")
    assert keyboard.book.calls == ["hit right mid", "amend solid"]


def test_a_held_key_makes_one_ball_and_a_question() -> None:
    keyboard = Keyboard()
    keyboard.press("d")
    said = {keyboard.press("d", 0.03) for _ in range(100)}
    assert keyboard.book.calls == ["hit on line mid"]
    assert said == {"Same key: another ball? Space yes, other keys no."}


def test_space_answers_the_question_with_another_ball() -> None:
    keyboard = Keyboard()
    keyboard.press("d")
    keyboard.press("d", 0.3)
    keyboard.press("space")
    assert keyboard.book.calls == ["hit on line mid"] * 2


def test_another_key_answers_no_and_does_its_own_act() -> None:
    keyboard = Keyboard()
    keyboard.press("d")
    keyboard.press("d", 0.3)
    keyboard.press("j")
    keyboard.press("space")
    assert keyboard.book.calls == ["hit on line mid", "amend solid", "take_hint"]


def test_a_key_that_means_nothing_only_closes_the_question() -> None:
    keyboard = Keyboard()
    keyboard.press("d")
    keyboard.press("d", 0.3)
    assert keyboard.press("ctrl+z") == "One ball."
    assert keyboard.press("ctrl+z") == ""


def test_the_same_key_after_a_pause_is_another_ball() -> None:
    keyboard = Keyboard()
    keyboard.press("d")
    keyboard.press("d", 0.8)
    assert keyboard.book.calls == ["hit on line mid"] * 2


def test_leaning_on_undo_takes_back_one_act() -> None:
    keyboard = Keyboard()
    for key in "fds":
        keyboard.press(key)
    for _ in range(50):
        keyboard.press("backspace", 0.03)
    assert len(keyboard.book.stored) == 2


def test_undo_with_nothing_to_undo_says_so_and_changes_nothing() -> None:
    keyboard = Keyboard()
    assert keyboard.press("backspace") == "Nothing to undo."
    assert keyboard.book.calls == []


def test_the_same_strike_again_writes_nothing() -> None:
    keyboard = Keyboard()
    for key in "fjj":
        keyboard.press(key)
    assert keyboard.book.calls == ["hit right mid", "amend solid"]


def test_keys_for_the_last_ball_before_any_say_so() -> None:
    assert [Keyboard().press(key) for key in ("j", "o", "n", "enter", "9")] == ["No ball yet."] * 5


def test_leaving_a_ball_out_asks_a_reason_and_again_counts_it() -> None:
    keyboard = Keyboard()
    keyboard.press("f")
    reply = keyboard.desk.do("ball.uncount")
    assert reply.form is not None
    keyboard.desk.answer(reply.form, {"reason": "interrupted"})
    assert keyboard.book.stored[-1].reason is Reason.INTERRUPTED
    assert keyboard.press("o") == "Counted again."


def test_a_number_without_a_side_asks_it() -> None:
    keyboard = Keyboard()
    keyboard.press("0")
    number = keyboard.desk.do("ball.number").form
    assert number is not None
    side = keyboard.desk.answer(number, {"text": "5"}).form
    assert side is not None
    keyboard.desk.answer(side, {"side": "L"})
    assert keyboard.book.calls[-1] == "number 5 L"


def test_a_number_off_its_scale_is_refused_in_words() -> None:
    keyboard = Keyboard()
    keyboard.press("f")
    form = keyboard.desk.do("ball.number").form
    assert form is not None
    echo = keyboard.desk.answer(form, {"text": "95 R"}).echo
    assert echo is not None
    assert (echo.kind, echo.text) == ("refused", "Start runs -45 to 45 deg.")


def test_the_end_of_a_scale_is_refused_and_keeps_the_setup() -> None:
    keyboard = Keyboard(FakeBook(bow=5.0))
    assert keyboard.press("up") == "Bow runs -2 to 5. Kept 5."
    assert keyboard.book.setup.bow == 5.0


def test_escape_on_the_tee_asks_before_leaving() -> None:
    keyboard = Keyboard()
    assert keyboard.press("escape") == "Leave the log? Enter leaves, any other key stays."
    assert keyboard.press("enter") == "[quit]"


def test_any_other_key_stays() -> None:
    keyboard = Keyboard()
    keyboard.press("escape")
    keyboard.press("f")
    keyboard.press("enter")
    assert keyboard.book.calls == ["hit right mid"]


def test_leaving_with_balls_that_are_not_saved_asks_twice() -> None:
    keyboard = Keyboard()
    keyboard.book.failing = True
    keyboard.press("f")
    assert keyboard.press("ctrl+q") == "Leave the log? 1 NOT SAVED would be lost. Enter leaves, any other key stays."
    assert keyboard.press("ctrl+q") == "[quit]"


def test_a_book_that_is_read_only_stores_no_ball() -> None:
    book = FakeBook()
    book.read_only = True
    assert Keyboard(book).press("f") == "This book is open read-only: the ball is not stored."
    assert book.calls == []


def test_an_aim_line_that_pointed_left_is_a_correction_to_the_left() -> None:
    keyboard = Keyboard()
    keyboard.press("f")
    form = keyboard.desk.do("range.aim").form
    assert form is not None
    keyboard.desk.answer(form, {"size": 5.0, "side": "left"})
    assert keyboard.book.calls[-1] == "correct_aim -5"


def test_a_full_swing_takes_the_grip_stick_off() -> None:
    book = FakeBook(fresh=True)
    desk = Desk(book, lambda: 0.0)
    form = desk.opening()
    assert form is not None
    reply = desk.answer(form, {"code": "x", "hand": "left", "lead_hand": "left", "club_name": "iron", "loft_deg": None})
    assert reply.form is not None
    desk.answer(reply.form, {"surface": "turf", "aim_line": True, "swing": "full"})
    assert book.calls[-1] == "start_session turf False"


def test_another_club_is_added_and_taken() -> None:
    keyboard = Keyboard()
    form = keyboard.desk.do("setup.club").form
    assert form is not None
    keyboard.desk.answer(form, {"club_id": "", "name": "wedge", "loft_deg": 54.0})
    assert keyboard.book.setup.club_id == "c2"


@pytest.mark.parametrize("due", ["kit", "body", "pain"])
def test_what_is_due_is_asked_first_thing_in_the_menu(due: str) -> None:
    keyboard = Keyboard()
    keyboard.book.due = due
    form = keyboard.desk.do("range.due").form
    assert form is not None
    assert form.id == f"kind.{due}"


def test_every_act_can_be_done_without_a_crash() -> None:
    for action in ACTIONS:
        book = FakeBook()
        book.hit(Flight(Side.LEFT))
        Desk(book, lambda: 0.0).do(action.id)
        Desk(FakeBook(fresh=True), lambda: 0.0).do(action.id)


SAMPLES = {
    "text": "-5", "reason": "1", "value": "1", "size": "3", "name": "wedge", "aim_line": "1", "ball_mark": "1", "grip_marks": "1",
    "stick": "1", "mark_ahead": "1", "pelvis": "1", "nose": "1", "side_tilt": "1", "hands": "1",
}  # fmt: skip
"""An answer for every question that has no default."""


@pytest.mark.parametrize("action_id", [action.id for action in ACTIONS if action.group not in ("flight", "strike")])
def test_every_act_of_setup_ball_and_range_works_on_a_real_book(action_id: str, logbook: Logbook, tmp_path: Path) -> None:
    with logbook:
        desk = Desk(logbook, lambda: 0.0)
        logbook.hit(Flight(Side.LEFT))
        reply = desk.do(action_id)
        while reply.form is not None:
            filling = Filling(reply.form)
            while filling.field is not None:
                answer = str(tmp_path / "copy.db") if filling.field.name == "path" else SAMPLES.get(filling.field.name, "")
                assert filling.enter(answer if filling.field.required and filling.field.default is None else ""), filling.error
            reply = desk.answer(reply.form, filling.answers)
        echo = reply.echo
        refusals = {
            "The hint proposes no setup.",
            "Nothing to bring back.",
            "No block is running.",
            "Nothing is due.",
            "Everything is saved.",
        }
        assert echo is None or echo.kind != "refused" or echo.text in refusals, echo
        assert echo is not None or reply.open or action_id == "log.back"


def test_a_keymap_that_gives_space_and_enter_other_acts_still_answers_questions() -> None:
    from rangelog.tui import keymap

    keys, problems = keymap.own(ready(), {"setup.take_hint": ("insert",), "ball.number": ("home",)})
    assert problems == ()
    keyboard = Keyboard(keys=keys)
    keyboard.press("d")
    keyboard.press("d", 0.3)
    keyboard.press("space")
    assert keyboard.book.calls == ["hit on line mid"] * 2
    keyboard.press("escape")
    assert keyboard.press("enter") == "[quit]"
