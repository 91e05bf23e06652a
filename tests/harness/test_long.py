"""An hour of nothing and a short session in one process; the harness beside this file does a day and thousands of balls."""

import asyncio
from pathlib import Path

import pytest

from tests.harness import long


def test_idle_hours_and_a_jumping_clock_leave_the_log_ready_for_a_ball(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(long, "TICK_S", 120)
    monkeypatch.setattr(long, "JUMPS", dict(enumerate(long.JUMPS.values())))
    day = asyncio.run(long.idle(tmp_path / "book.db", len(long.JUMPS) + 1))
    assert day.ticks == 30 * (len(long.JUMPS) + 1)
    assert day.balls == 2, "the ball before and the ball after stand in one session"
    assert len(day.shown) > 100
    assert long.grown(day.memory_kib) < 1.1


def test_a_session_stays_within_a_tenth_of_its_memory(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(long, "WINDOW", 50)
    life = long.live(tmp_path / "book.db", 150, with_model=False)
    assert len(life.memory_kib) == 3
    assert long.grown(life.memory_kib) < 1.1
