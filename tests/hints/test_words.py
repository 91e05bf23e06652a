"""One number format, physical sides."""

import pytest

from rangelog.core.ball import Ball
from rangelog.core.results import Estimate, Setting, Share
from rangelog.core.words import Side
from rangelog.hints import words


@pytest.mark.parametrize(("bow", "text"), [(2.0, "2"), (2.5, "2.5"), (-2.0, "-2"), (0.0, "0"), (-0.0, "0"), (-0.5, "-0.5")])
def test_a_bow_drops_a_needless_decimal(bow: float, text: str) -> None:
    assert words.notch(bow) == text


@pytest.mark.parametrize(("value", "text"), [(2.44, "+2.4"), (-1.0, "-1.0"), (0.0, "0.0"), (-0.04, "0.0"), (0.04, "0.0")])
def test_degrees_have_one_decimal_and_a_sign(value: float, text: str) -> None:
    assert words.signed(value) == text


@pytest.mark.parametrize(("value", "text"), [(2.44, "2.4 right"), (-5.5, "5.5 left"), (0.01, "on line")])
def test_a_side_is_physical(value: float, text: str) -> None:
    assert words.sided(value) == text


def test_a_sentence_takes_whole_degrees() -> None:
    assert [words.about(value) for value in (6.1, -3.8, 0.2)] == ["6 right", "4 left", "on line"]


def test_an_estimate_shows_its_half_width_or_its_ends() -> None:
    value = Estimate(0.3, 0.67, -0.8, 1.4)
    assert words.estimate(value) == "+0.3 +-1.1"
    assert words.spanned(value) == "+0.3 (-0.8..1.4)"


@pytest.mark.parametrize(
    ("p", "text"), [(0.4345, ".43"), (0.0142, ".014"), (0.0199, ".02"), (0.03, ".03"), (0.0004, "< .001"), (0.0042, ".0042"), (1.0, "1")]
)
def test_a_p_value_has_two_digits_that_count(p: float, text: str) -> None:
    assert words.p_value(p) == text


def test_a_share_shows_its_interval_in_per_cent() -> None:
    assert words.counted_share(Share(3, 10, 0.108, 0.603)) == "3 of 10 (11-60 %)"


def test_a_chance_is_a_count_in_ten() -> None:
    assert [words.in_ten(share) for share in (0.52, 0.0, 1.0)] == ["about 5 in 10", "about 0 in 10", "about 10 in 10"]


def test_the_large_letters_name_only_what_moves() -> None:
    now = Setting(1.0, 30.0)
    assert words.move(now, Setting(2.5, 30.0)) == "BOW 2.5"
    assert words.move(now, Setting(1.0, 45.0)) == "GRIP 45"
    assert words.move(now, Setting(2.0, 45.0)) == "BOW 2 GRIP 45"


def test_a_list_reads_as_a_sentence() -> None:
    assert words.listed(("club", "bow", "grip")) == "club, bow and grip"
    assert words.listed(("grip",)) == "grip"


def test_a_corrected_class_moves_to_its_new_side() -> None:
    """A ball keyed right, on a line that pointed 5 deg left of the target, started near the target line."""
    ball = Ball("b", "s", 1, "", side=Side.RIGHT, aim_correction_deg=5.0)
    assert words.side_of_ball(ball, 2.0, 6.0) == 0
    assert words.side_of_ball(Ball("b", "s", 1, "", side=Side.RIGHT), 2.0, 6.0) == 1
    assert words.side_of_ball(Ball("b", "s", 1, "", start_deg=-2.5), 2.0, 6.0) == -1
