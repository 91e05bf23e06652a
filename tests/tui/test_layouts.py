"""The places of the keys on the common keyboards."""

import pytest

from rangelog.tui import layouts


@pytest.mark.parametrize("layout", layouts.LAYOUTS)
@pytest.mark.parametrize("swapped", [False, True])
def test_every_place_sends_a_character_of_its_own(layout: str, swapped: bool) -> None:
    sends = layouts.place_to_character(layout, swapped)
    assert len(sends) == len(set(sends.values())) == 40


@pytest.mark.parametrize(
    ("layout", "row"),
    [("qwerty", "qwert"), ("qwertz", "qwert"), ("azerty", "azert"), ("dvorak", "',.py"), ("colemak", "qwfpg")],
)
def test_the_row_of_high_balls_keeps_its_place(layout: str, row: str) -> None:
    # Letters of the national layouts and of Dvorak and Colemak: as printed on keyboards, from memory.
    sends = layouts.place_to_character(layout)
    assert "".join(sends[place] for place in "qwert") == row


def test_swapped_blocks_change_hands_and_keep_left_to_the_left() -> None:
    sends = layouts.place_to_character("qwerty", swapped=True)
    assert "".join(sends[place] for place in "asdfg") == "hjkl;"
    assert sends["j"] == "f"


@pytest.mark.parametrize(("typed", "digit"), list(zip("&é\"'(è_çà", "123457890", strict=True)))
def test_the_azerty_number_row_counts_as_digits(typed: str, digit: str) -> None:
    assert layouts.fold_digit("azerty", typed, "") == digit


def test_a_minus_sign_opens_a_number_and_is_six_within_one_on_azerty() -> None:
    assert layouts.fold_digit("azerty", "-", "") == "-"
    assert layouts.fold_digit("azerty", "-", "1") == "6"


@pytest.mark.parametrize("layout", ["qwerty", "qwertz", "dvorak", "colemak"])
def test_other_keyboards_leave_characters_alone(layout: str) -> None:
    assert layouts.fold_digit(layout, "(", "1") == "("
