"""Forms as data, and their filling in."""

import pytest

from rangelog.core.errors import OffScale
from rangelog.journey.forms import FORMS
from rangelog.tui import questions, visit_questions
from rangelog.tui.forms import Field, Filling, Form, from_kind
from tests.tui.fake_book import FakeBook

CHOICE = Field("swing", "Swing", "choice", (("short", "short"), ("half", "half"), ("full", "full")), default="half")
LOFT = Field("loft", "Loft", "number", low=5, high=70, unit="deg", default_word="unknown")


@pytest.mark.parametrize(("typed", "value"), [("", "half"), ("3", "full"), ("full", "full"), ("F", "full"), ("s", "short")])
def test_a_choice_is_read_from_number_word_or_first_letters(typed: str, value: str) -> None:
    assert CHOICE.read(typed) == value


def test_a_choice_names_what_is_legal() -> None:
    with pytest.raises(OffScale, match="Swing: short, half, full"):
        CHOICE.read("long")


@pytest.mark.parametrize(("typed", "value"), [("", None), ("unknown", None), ("28", 28.0), ("28,5", 28.5), (" 60 ", 60.0)])
def test_a_number_takes_commas_and_may_be_unknown(typed: str, value: float | None) -> None:
    assert LOFT.read(typed) == value


@pytest.mark.parametrize("typed", ["3", "300", "nan", "inf", "-28", "1e9", "iron", "🏌", "\x1b[2J"])
def test_a_number_that_is_none_or_off_its_scale_is_refused_by_name(typed: str) -> None:
    with pytest.raises(OffScale, match="Loft: 5 to 70 deg"):
        LOFT.read(typed)


def test_text_loses_what_could_steer_a_terminal() -> None:
    assert Field("note", "Note").read("wind\x1b[2J \x07left") == "wind[2J left"


def test_an_answer_that_is_needed_is_asked_for() -> None:
    with pytest.raises(OffScale, match="an answer is needed"):
        Field("note", "Note", required=True).read("  ")


def test_enter_through_the_first_start_takes_every_default() -> None:
    filling = Filling(visit_questions.first_start(()))
    while not filling.complete:
        assert filling.enter("")
    assert filling.answers == {
        "code": "player", "hand": "right", "lead_hand": "left", "club_name": "iron", "loft_deg": None, "window_deg": 2.0,
        "wrist_history": False, "wrist_limit_bow": None, "junior": False, "ball_cap": 60,
    }  # fmt: skip


def test_the_lead_hand_is_asked_and_its_default_follows_the_hand() -> None:
    filling = Filling(visit_questions.first_start(()))
    filling.enter("")
    filling.enter("left-handed")
    assert filling.field is not None
    assert (filling.field.name, filling.field.default_shown) == ("lead_hand", "right hand")


def test_a_wrong_answer_keeps_the_question_and_the_answers_before_it() -> None:
    filling = Filling(Form("f", "F", (CHOICE, LOFT)))
    filling.enter("full")
    assert not filling.enter("300")
    assert filling.error == "Loft: 5 to 70 deg."
    assert filling.answers == {"swing": "full"}


def test_going_back_opens_the_question_before() -> None:
    filling = Filling(Form("f", "F", (CHOICE, LOFT)))
    filling.enter("full")
    assert filling.back()
    assert filling.field == CHOICE
    assert filling.answers == {}
    assert not filling.back()


def test_a_full_swing_is_not_asked_about_the_grip_stick() -> None:
    filling = Filling(visit_questions.session_start(FakeBook().view(), ()))
    for typed in ("mat", "yes", "full"):
        filling.enter(typed)
    assert filling.complete
    assert "stick" not in filling.answers


def test_a_quarter_notch_of_felt_bow_is_refused() -> None:
    filling = Filling(questions.felt(FakeBook().view()))
    assert not filling.enter("2.25")
    assert filling.error == "Bow runs -2 to 5 in half notches."


def test_where_the_ball_went_is_no_reason_to_leave_it_out() -> None:
    field = questions.uncount().fields[0]
    assert [word for _, word in field.options] == ["interrupted", "whiff or shank", "wrong setup", "not a real try"]
    with pytest.raises(OffScale):
        field.read("went left")


@pytest.mark.parametrize("name", FORMS)
def test_every_form_of_the_journey_can_be_asked(name: str) -> None:
    filling = Filling(from_kind(FORMS[name], {}))
    while filling.field is not None:
        field = filling.field
        assert filling.enter("" if not field.required else "1")
    assert set(filling.answers) == {field.name for field in FORMS[name].fields}
    FORMS[name].check(filling.answers, complete=True)


def test_a_half_filled_form_is_taken_up_where_it_was_left() -> None:
    form = from_kind(FORMS["body"], {"pelvis": "pass"})
    assert form.fields[0].name == "nose"
