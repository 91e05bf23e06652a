"""Forms: legal answers, half-filled ones, and when each is due."""

import pytest

from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale
from rangelog.core.session import Form
from rangelog.core.words import CheckAnswer
from rangelog.journey import forms


def balls(n):
    return [Ball(f"b{seq}", "s", seq, "") for seq in range(1, n + 1)]


def answered(name, after=0, complete=True):
    return Form(name, "s", name, "", after, {}, complete)


DONE = [answered("kit"), answered("pain"), answered("body")]


def test_not_applicable_is_legal_for_every_check():
    for kind in (forms.KIT, forms.BODY):
        for entry in kind.fields:
            if entry.choices and CheckAnswer.PASS.value in entry.choices:
                assert entry.accepts("not applicable") == "not applicable"


def test_an_answer_off_its_words_names_the_field():
    with pytest.raises(OffScale, match="Nose behind midline at impact: one of pass, not sure, fail, not applicable"):
        forms.BODY.field("nose").accepts("maybe")


def test_a_number_off_its_range_names_the_range():
    with pytest.raises(OffScale, match="Wrist runs 0 to 10"):
        forms.PAIN.field("wrist").accepts(11)
    with pytest.raises(OffScale):
        forms.PAIN.field("wrist").accepts(float("nan"))


def test_a_half_filled_form_checks_only_what_is_there():
    assert forms.PAIN.check({"wrist": 2}, complete=False) == {"wrist": 2.0}
    assert [entry.name for entry in forms.BODY.missing({"nose": "pass"})] == ["pelvis", "side_tilt", "hands"]


def test_a_complete_form_takes_its_defaults():
    assert forms.PAIN.check({"wrist": 2}, complete=True) == {"wrist": 2.0, "elbow": 0, "back": 0, "other": 0, "sharp": False}


def test_a_complete_form_wants_its_answers():
    with pytest.raises(OffScale, match="an answer is needed"):
        forms.BODY.check({"nose": "pass"}, complete=True)


def test_an_unknown_field_is_refused():
    with pytest.raises(OffScale, match="no field knee"):
        forms.PAIN.check({"knee": 2}, complete=False)


def test_text_keeps_what_can_be_printed():
    assert forms.PRESCRIPTION.field("text").accepts("more\x1b[31m lean\n") == "more[31m lean"


def test_yes_or_no_takes_nothing_else():
    with pytest.raises(OffScale, match="yes or no"):
        forms.PAIN.field("sharp").accepts("perhaps")


def test_every_failed_check_has_a_remedy():
    checks = {entry.name for entry in forms.BODY.fields if CheckAnswer.FAIL.value in entry.choices}
    assert checks == set(forms.BODY_REMEDIES)


def test_a_session_asks_kit_then_pain_then_body():
    assert forms.due([], []) == "kit"
    assert forms.due(DONE[:1], []) == "pain"
    assert forms.due(DONE[:2], []) == "body"
    assert forms.due(DONE, []) is None


def test_pain_is_asked_every_twenty_balls_and_after_each_extreme():
    assert forms.due(DONE, balls(19)) is None
    assert forms.due(DONE, balls(20)) == "pain"
    assert forms.due(DONE, balls(8), extreme_done=True) == "pain"
    again = [*DONE, answered("pain", 8)]
    assert forms.due(again, balls(8), extreme_done=True) is None


def test_the_body_is_checked_every_twenty_five_balls():
    asked = [*DONE, answered("pain", 20)]
    assert forms.due(asked, balls(24)) is None
    assert forms.due(asked, balls(25)) == "body"


def test_a_long_pause_asks_for_the_kit_again():
    assert forms.due(DONE, balls(5), gap_s=301) == "kit"
    assert forms.due([*DONE, answered("kit", 5)], balls(5), gap_s=301) is None


def test_a_half_filled_form_is_taken_up_first():
    assert forms.due([*DONE, answered("body", 3, complete=False)], balls(3)) == "body"


def test_the_forms_stand_by_name():
    assert tuple(forms.FORMS) == ("prescription", "kit", "pain", "body", "comfort")
    assert all(forms.FORMS[name].name == name for name in forms.FORMS)
