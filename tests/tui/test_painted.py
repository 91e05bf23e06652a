"""What is painted can be read: every pair of colours on the screen, in every main state and look."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from rich.color import ColorType
from rich.segment import Segment
from textual.app import App

from rangelog.tui.looks import LOOKS, contrast
from tests.tui.states import STATES, State, made, reach

LEAST = {"dark": 4.5, "light": 4.5, "contrast": 7.0, "contrast-dark": 7.0}
# WCAG 2.1: 4.5:1 (criterion 1.4.3), 7:1 for the high-contrast looks (criterion 1.4.6).


def pieces(app: App[int]) -> Iterator[Segment]:
    """Every piece of the screen, with the style it is painted in."""
    for strip in app.screen._compositor.render_strips():
        yield from (segment for segment in strip if segment.style is not None)


def painted(app: App[int]) -> Iterator[Segment]:
    """Those that leave a mark."""
    yield from (segment for segment in pieces(app) if segment.text.strip())


def pair(segment: Segment) -> tuple[str, str]:
    """Letter and ground of a piece as it reaches the eye."""
    style = segment.style
    assert style is not None
    assert style.color is not None
    assert style.bgcolor is not None
    letter, ground = (style.color.get_truecolor().hex, style.bgcolor.get_truecolor().hex)
    return (ground, letter) if style.reverse else (letter, ground)


MAIN = ("tee", "menu", "help", "choice", "wrong number", "balls", "gate", "not saved")
EACH = [(name, look) for name in STATES for look in LOOKS if look != "contrast-dark" or name in MAIN]


@pytest.mark.parametrize(("name", "look"), EACH)
async def test_every_pair_of_colours_can_be_read(name: str, look: str, tmp_path: Path) -> None:
    state = STATES[name]
    app = made(state, tmp_path, look)
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, state)
        found = {pair(segment): segment.text.strip() for segment in painted(app)}
        dim = [segment.text for segment in painted(app) if segment.style is not None and segment.style.dim]
    assert {(text, *colours) for colours, text in found.items() if contrast(*colours) < LEAST[look]} == set()
    assert dim == []
    assert found


@pytest.mark.parametrize("state", STATES.values(), ids=list(STATES))
async def test_without_colour_nothing_is_coloured_or_dim(state: State, tmp_path: Path) -> None:
    app = made(state, tmp_path, "colourless")
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, state)
        styles = {(segment.text.strip(), segment.style) for segment in pieces(app)}
    kinds = {
        (text, colour.name)
        for text, style in styles
        if style is not None
        for colour in (style.color, style.bgcolor)
        if colour is not None and colour.type is not ColorType.DEFAULT
    }
    assert kinds == set()
    assert not any(style.dim for _, style in styles if style is not None)
