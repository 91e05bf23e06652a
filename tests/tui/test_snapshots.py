"""A few states as pictures. They are looked at when they change, and only then renewed."""

import asyncio
from collections.abc import Callable

import pytest
from textual.pilot import Pilot

from rangelog.tui.app import RangelogApp
from tests.tui.conftest import press
from tests.tui.fake_book import FakeBook

Tee = Callable[..., RangelogApp]
Compare = Callable[..., bool]


def pressed(*keys: str) -> Callable[[Pilot[int]], object]:
    async def before(pilot: Pilot[int]) -> None:
        for typed in pilot.app.screen.query("#typed"):
            typed.cursor_blink = False  # type: ignore[attr-defined]
        await press(pilot, *keys)
        await asyncio.sleep(0)
        for typed in pilot.app.screen.query("#typed"):
            typed.cursor_blink = False  # type: ignore[attr-defined]

    return before


@pytest.mark.parametrize("size", [(80, 24), (60, 18)], ids=["80x24", "60x18"])
@pytest.mark.parametrize("look", ["light", "dark", "contrast"])
def test_a_bracket_that_is_closing(snap_compare: Compare, tee: Tee, bracketed: FakeBook, look: str, size: tuple[int, int]) -> None:
    assert snap_compare(tee(bracketed, look=look), terminal_size=size)


@pytest.mark.parametrize("size", [(120, 40), (200, 60)], ids=["120x40", "200x60"])
def test_a_large_terminal_is_used(snap_compare: Compare, tee: Tee, bracketed: FakeBook, size: tuple[int, int]) -> None:
    assert snap_compare(tee(bracketed, look="light"), terminal_size=size)


def test_without_colour(snap_compare: Compare, tee: Tee, bracketed: FakeBook) -> None:
    assert snap_compare(tee(bracketed, colourless=True), terminal_size=(80, 24))


def test_before_the_first_ball(snap_compare: Compare, tee: Tee) -> None:
    assert snap_compare(tee(FakeBook(bow=None, grip=None)), terminal_size=(80, 24))


@pytest.mark.parametrize(
    ("name", "keys"),
    [
        ("help", ("question_mark",)),
        ("menu", ("semicolon",)),
        ("left out", ("o", "1")),
        ("not seen", ("0",)),
        ("key hints", ("semicolon", *"hints", "enter")),
        ("balls", ("tab",)),
        ("gate", ("semicolon", *"gate", "enter", *"0.5")),
        ("lean beyond the loft", ("semicolon", *"loft", "enter", "down", *"40")),
    ],
    ids=lambda value: value.replace(" ", "_") if isinstance(value, str) else "",
)
def test_states_of_the_tee(snap_compare: Compare, tee: Tee, bracketed: FakeBook, name: str, keys: tuple[str, ...]) -> None:
    assert snap_compare(tee(bracketed), terminal_size=(80, 24), run_before=pressed(*keys))


@pytest.mark.parametrize("layout", ["azerty", "dvorak"])
def test_help_draws_the_keyboard_that_was_chosen(snap_compare: Compare, tee: Tee, bracketed: FakeBook, layout: str) -> None:
    assert snap_compare(tee(bracketed, layout=layout), terminal_size=(80, 24), run_before=pressed("f1"))


def test_balls_that_are_not_saved(snap_compare: Compare, tee: Tee, bracketed: FakeBook) -> None:
    bracketed.failing = True
    assert snap_compare(tee(bracketed), terminal_size=(80, 24), run_before=pressed("f"))
