"""Power cuts at every write and sync of a short book; the harness beside this file does longer ones."""

from pathlib import Path

import pytest

from rangelog.store import opening
from tests.harness.power import cut_everywhere


def test_a_said_ball_is_there_wherever_the_power_was_cut(tmp_path: Path) -> None:
    outcome = cut_everywhere(tmp_path, balls=12, ways=1, seed=5)
    assert outcome.failures == []
    assert outcome.points >= 500
    assert outcome.syncs >= 50


@pytest.mark.parametrize("level", ["OFF", "FULL"])
def test_the_harness_finds_out_a_book_that_syncs_less(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, level: str) -> None:
    less = tuple(f"synchronous = {level}" if pragma.startswith("synchronous") else pragma for pragma in opening._PRAGMAS)
    monkeypatch.setattr(opening, "_PRAGMAS", less)
    assert less != ()
    assert cut_everywhere(tmp_path, balls=4, ways=2, seed=5).failures != []
