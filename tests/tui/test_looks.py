"""Colours that can be read."""

import itertools

import pytest

from rangelog.core.words import Side
from rangelog.tui import looks
from rangelog.tui.looks import LOOKS, contrast


def test_contrast_of_black_on_white_is_twenty_one() -> None:
    # WCAG 2.1, definition of contrast ratio: 21:1 for black on white, 1:1 for a colour on itself.
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#777777") == pytest.approx(1.0)


def test_contrast_of_mid_grey_on_white_is_just_short_of_the_limit() -> None:
    # WCAG 2.1 success criterion 1.4.3 asks for 4.5:1; #777777 on white gives 4.48 (from memory, a well-known example).
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("name", LOOKS)
def test_every_letter_stands_out_from_every_ground(name: str) -> None:
    look = LOOKS[name]
    # WCAG 2.1: 4.5:1 (criterion 1.4.3), 7:1 for the high-contrast looks (criterion 1.4.6).
    least = 7.0 if name.startswith("contrast") else 4.5
    for (letter, colour), ground in itertools.product(look.letters().items(), (look.ground, look.raised)):
        assert contrast(colour, ground) >= least, f"{letter} on {ground}"


@pytest.mark.parametrize("name", LOOKS)
def test_marked_choices_stand_out_too(name: str) -> None:
    assert contrast(LOOKS[name].ground, LOOKS[name].ink) >= 7.0


def test_sides_have_three_colours_and_far_ones_share_theirs() -> None:
    look = looks.look("dark")
    assert look.side(Side.LEFT) == look.side(Side.FAR_LEFT) != look.side(Side.RIGHT) == look.side(Side.FAR_RIGHT)
    assert look.side(Side.ON_LINE) not in (look.left, look.right)


def test_the_look_of_the_terminal_has_no_colour_at_all() -> None:
    assert set(looks.TERMINAL.letters().values()) == {"default"}
