"""Numbers as they are typed on the tee."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.entry import Entry, EntryKind, clean_note, parse, position_balls
from rangelog.core.errors import OffScale


@pytest.mark.parametrize(
    ("text", "value", "sided"),
    [
        ("-5", -5.0, True),
        ("+5", 5.0, True),
        ("5L", -5.0, True),
        ("L5", -5.0, True),
        ("l 5", -5.0, True),
        ("5,5 left", -5.5, True),
        ("5.5r", 5.5, True),
        ("5", 5.0, False),
        ("0", 0.0, True),
        ("31", 31.0, False),
        (" 3 deg R ", 3.0, True),
    ],
)
def test_a_start_is_read_in_every_way_a_player_writes_it(text: str, value: float, sided: bool) -> None:
    assert parse(text) == Entry(EntryKind.START, value, sided)


def test_an_offset_at_a_distance_becomes_an_angle() -> None:
    """angle = atan(offset / distance); 1.75 m at 100 m is one degree to two digits (plain trigonometry)."""
    found = parse("offset 1.75 m R at 100 m")
    assert found.sided
    assert found.value == pytest.approx(math.degrees(math.atan(0.0175)))
    assert parse("2 yd at 50 yd L").value == pytest.approx(-math.degrees(math.atan(2 / 50)))


def test_launch_and_apex_go_to_their_own_fields() -> None:
    assert parse("launch 14,5") == Entry(EntryKind.LAUNCH, 14.5)
    assert parse("apex 10 yd").value == pytest.approx(9.144)


@pytest.mark.parametrize("text", ["95", "-46", "nan", "inf", "", "  ", "🙂", "5\x1b[2J", "L5R", "-5R", "launch 90", "apex -3 m", "1e3"])
def test_anything_else_is_refused_by_name(text: str) -> None:
    with pytest.raises(OffScale) as refused:
        parse(text)
    assert refused.value.field in {"start", "number", "launch", "apex"}


def test_a_distance_of_nothing_is_refused() -> None:
    with pytest.raises(OffScale, match=r"Distance must be over 0\."):
        parse("2 m at 0 m")


def test_millimetres_become_ball_widths() -> None:
    """85 mm is 1.99 ball widths of 42.67 mm (Rules of Golf 2016, Appendix III: 1.680 in)."""
    assert position_balls("85 mm") == 2.0
    assert position_balls("-0,25") == -0.25
    with pytest.raises(OffScale, match="Ball position runs -3 to 3"):
        position_balls("15")


@given(st.text(max_size=40))
def test_no_text_does_anything_but_parse_or_be_refused(text: str) -> None:
    try:
        found = parse(text)
    except OffScale:
        return
    assert math.isfinite(found.value)


@given(st.text(max_size=80))
def test_a_cleaned_note_holds_nothing_a_terminal_obeys(text: str) -> None:
    cleaned = clean_note(text)
    assert cleaned.isprintable()
    assert not set(cleaned) & {"\x1b", "\u202e", "\u2066", "\x07"}
    assert clean_note(cleaned) == cleaned
