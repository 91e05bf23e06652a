"""The main states as pictures, spread over sizes and looks. They are looked at when they change, and only then renewed."""

import itertools
from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog.tui import keymap
from rangelog.tui.app import RangelogApp
from tests.tui.conftest import Hand
from tests.tui.states import NOW, STATES, State, bracketed, made, reach

Compare = Callable[..., bool]

SIZES = ((80, 24), (60, 18), (120, 40), (200, 60))
SHOWN = ("dark", "light", "contrast", "colourless")
PAIRS = tuple((SIZES[(at + at // 4) % 4], SHOWN[at % 4]) for at in range(16))
"""Every size with every look, neighbours as unlike as can be."""

ONCE_SEEN = ("tee crowded", "first number", "menu found", "ball", "cautions", "left out", "asked to leave")
"""Close relatives of other states: no pictures of their own."""

PICTURES = [
    (name, *PAIRS[(at + shift) % 16]) for at, name in enumerate(name for name in STATES if name not in ONCE_SEEN) for shift in (0, 9)
]


@pytest.mark.parametrize(
    ("name", "size", "look"), PICTURES, ids=[f"{name.replace(' ', '_')}-{size[0]}x{size[1]}-{look}" for name, size, look in PICTURES]
)
def test_state(snap_compare: Compare, tmp_path: Path, name: str, size: tuple[int, int], look: str) -> None:
    state = STATES[name]
    assert snap_compare(made(state, tmp_path, look), terminal_size=size, run_before=lambda pilot: reach(pilot, state))


def test_every_size_and_look_is_pictured_twice_and_every_state_too() -> None:
    for pair in itertools.product(SIZES, SHOWN):
        assert sum((size, look) == pair for _, size, look in PICTURES) >= 2
    for name in set(STATES) - set(ONCE_SEEN):
        assert len({(size, look) for shown, size, look in PICTURES if shown == name}) == 2


@pytest.mark.parametrize("look", SHOWN)
def test_one_plain_line(snap_compare: Compare, tmp_path: Path, look: str) -> None:
    state = STATES["asked"] if look in ("light", "contrast") else State()
    assert snap_compare(made(state, tmp_path, look), terminal_size=(40, 12), run_before=lambda pilot: reach(pilot, state))


@pytest.mark.parametrize("layout", ["qwertz", "azerty", "dvorak", "colemak"])
def test_help_draws_the_keyboard_that_was_chosen(snap_compare: Compare, layout: str) -> None:
    app = RangelogApp(bracketed(), keys=keymap.ready(layout), clock=Hand(), now=lambda: NOW)
    state = State(keys=("f1",))
    assert snap_compare(app, terminal_size=(80, 24), run_before=lambda pilot: reach(pilot, state))
