"""Short forms that survive a crash half-filled, and pain, which ends hints and diagnoses nothing."""

from collections.abc import Callable

import pytest

from rangelog.core.errors import OffScale, Refused
from rangelog.core.flight import Flight
from rangelog.core.words import Side
from rangelog.logbook import Logbook
from rangelog.store import Book

Open = Callable[[], Logbook]
RIGHT = Flight(Side.RIGHT)
KIT = {"aim_line": "pass", "ball_mark": "pass", "grip_marks": "not sure", "stick": "pass", "mark_ahead": "not applicable"}
BODY = {"pelvis": "pass", "nose": "pass", "side_tilt": "pass", "hands": "pass"}


def test_a_half_filled_form_is_taken_up_after_a_crash(logbook: Logbook, open_book: Open) -> None:
    logbook.save_form("kit", {"aim_line": "pass", "ball_mark": "fail"}, complete=False)
    logbook.close()
    again = open_book()
    kind, given = again.open_form("kit")
    assert given == {"aim_line": "pass", "ball_mark": "fail"}
    assert [field.name for field in kind.missing(given)] == ["grip_marks", "stick", "mark_ahead"]
    assert again.view().due == "kit"
    again.save_form("kit", {name: answer for name, answer in KIT.items() if name not in given})
    assert again.open_form("kit")[1] == {}, "a whole form is begun anew"
    assert again.view().due == "pain"


def test_a_form_filled_in_two_goes_is_one_row(logbook: Logbook, book_path: object) -> None:
    logbook.save_form("body", {"pelvis": "pass"}, complete=False)
    logbook.save_form("body", {name: answer for name, answer in BODY.items() if name != "pelvis"})
    with Book.open(str(book_path), read_only=True) as other:
        (form,) = other.forms()
    assert form.complete
    assert {name: form.answers[name] for name in BODY} == BODY


@pytest.mark.parametrize(
    ("name", "answers"),
    [
        ("kit", {"aim_line": "perhaps"}),
        ("kit", {"shoes": "pass"}),
        ("body", {"nose_mm": 2286.0}),
        ("body", {"nose_mm": "90"}),
        ("pain", {"wrist": 11}),
        ("pain", {"wrist": float("nan")}),
        ("tea", {}),
    ],
)
def test_an_illegal_answer_is_refused_whole(logbook: Logbook, book_path: object, name: str, answers: dict[str, object]) -> None:
    with pytest.raises(OffScale):
        logbook.save_form(name, answers, complete=False)  # type: ignore[arg-type]
    with Book.open(str(book_path), read_only=True) as other:
        assert other.forms() == []


def test_a_form_needs_a_session(open_book: Open) -> None:
    book = open_book()
    book.first_start()
    with pytest.raises(Refused, match="No session runs"):
        book.save_form("kit", KIT)


def test_not_applicable_is_legal_and_blocks_nothing(logbook: Logbook) -> None:
    logbook.load_model()
    logbook.save_form("body", dict.fromkeys(BODY, "not applicable"))
    logbook.hit(RIGHT)
    assert logbook.hint is not None
    assert logbook.hint.rule == "not_enough"


def test_a_failed_body_check_holds_face_hints_and_balls_go_on(logbook: Logbook) -> None:
    logbook.load_model()
    logbook.save_form("body", BODY | {"nose": "fail"})
    for _ in range(4):
        logbook.hit(RIGHT)
    hint = logbook.hint
    assert hint is not None
    assert (hint.rule, hint.holds_face) == ("body_gate", True)
    assert "nose behind midline" in hint.words
    assert len(logbook.balls()) == 4
    logbook.save_form("body", BODY)
    assert logbook.hint is not None
    assert logbook.hint.rule != "body_gate"


def test_checks_are_asked_in_the_order_of_the_journey(logbook: Logbook) -> None:
    assert logbook.view().due == "kit"
    logbook.save_form("kit", KIT)
    assert logbook.view().due == "pain"
    logbook.save_form("pain", {})
    assert logbook.view().due == "body"
    logbook.save_form("body", BODY)
    assert logbook.view().due == ""


def test_pain_is_asked_again_after_an_extreme_and_every_twenty_balls(logbook: Logbook) -> None:
    for name, answers in (("kit", KIT), ("pain", {}), ("body", BODY)):
        logbook.save_form(name, answers)  # type: ignore[arg-type]
    logbook.set_setup(bow=4.0)
    asked = []
    for _ in range(4):
        logbook.hit(RIGHT)
        asked.append(logbook.view().due)
    assert asked == ["", "", "", "pain"]
    logbook.save_form("pain", {})
    logbook.set_setup(bow=2.0)
    for _ in range(19):
        logbook.hit(RIGHT)
        assert logbook.view().due == ""
    logbook.hit(RIGHT)
    assert logbook.view().due == "pain"


def test_pain_of_four_stops_hints_and_blocks_for_the_day(logbook: Logbook) -> None:
    logbook.load_model()
    logbook.pain("wrist", 1)
    logbook.hit(RIGHT)
    echo = logbook.pain("wrist", 4)
    assert echo.text.startswith("Pain 4 at the wrist.")
    hint = logbook.hint
    assert hint is not None
    assert (hint.action, hint.words) == ("STOP", "Stop for today. Pain 4 (was 1).")
    assert "physician" in " ".join(logbook.why())
    for _ in range(3):
        logbook.hit(RIGHT)
        assert logbook.hint is not None
        assert logbook.hint.words == "Stop for today. Pain 4 (was 1)."
    with pytest.raises(Refused, match="Pain: no block today"):
        logbook.start_block("baseline")


def test_sharp_pain_stops_at_any_level(logbook: Logbook) -> None:
    logbook.pain("elbow", 1, sharp=True)
    assert logbook.hint is not None
    assert logbook.hint.words == "Stop for today. Sharp pain 1."


def test_a_rise_of_two_caps_the_bow_one_below_the_one_that_hurt(logbook: Logbook) -> None:
    logbook.load_model()
    logbook.pain("wrist", 1)
    logbook.set_setup(bow=2.0)
    logbook.hit(RIGHT)
    logbook.pain("wrist", 3)
    hint = logbook.hint
    assert hint is not None
    assert hint.rule == "pain"
    assert hint.setting is not None
    assert hint.setting.bow == 1.0
    assert "Nothing above bow 1" in hint.words
    with pytest.raises(Refused, match="Extremes of bow are off today"):
        logbook.start_block("bow bracket")
    logbook.start_block("grip bracket")


@pytest.mark.parametrize(("site", "level"), [("knee", 1), ("wrist", 11), ("wrist", -1)])
def test_an_illegal_pain_answer_is_refused(logbook: Logbook, site: str, level: int) -> None:
    with pytest.raises(OffScale):
        logbook.pain(site, level)
    assert logbook.view().due == "kit"


def test_yesterday_s_pain_is_asked_anew(logbook: Logbook) -> None:
    logbook.load_model()
    logbook.pain("wrist", 6)
    logbook.start_session()
    assert logbook.hint is not None
    assert logbook.hint.rule != "pain"
