"""A key paints again what it changed and nothing else."""

from collections import Counter
from pathlib import Path

import pytest

from rangelog.tui.widgets.panel import Panel
from tests.tui.conftest import press
from tests.tui.states import STATES, made, reach
from tests.tui.test_painted import pieces


async def test_a_ball_leaves_the_setup_and_most_of_the_picture_as_painted(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    painted: Counter[str] = Counter()
    render_line = Panel.render_line

    def counted(panel: Panel, y: int) -> object:
        painted[type(panel).__name__] += 1
        return render_line(panel, y)

    state = STATES["tee"]
    app = made(state, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, state)
        monkeypatch.setattr(Panel, "render_line", counted)
        await press(pilot, "s")
    assert painted["NextPanel"] == 0
    assert painted["LastPanel"] > 0
    assert 0 < painted["BracketPanel"] <= 4


@pytest.mark.parametrize("name", ["tee", "tee check due", "large letters", "read only"])
async def test_what_is_painted_bit_by_bit_is_what_is_painted_at_once(name: str, tmp_path: Path) -> None:
    state = STATES[name]
    app = made(state, tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        await reach(pilot, state)
        await press(pilot, "s", "j", "up", "d", "backspace", "0", "left", "b", "space")
        by_bits = [(piece.text, piece.style) for piece in pieces(app)]
        for panel in app.tee.query(Panel):
            panel.refresh()
        await pilot.pause()
        at_once = [(piece.text, piece.style) for piece in pieces(app)]
    assert by_bits == at_once
