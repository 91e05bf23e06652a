"""The laptop dies between two keys: nothing echoed is lost, nothing is doubled; a damaged page costs only itself."""

import shutil
from pathlib import Path

import pytest

from rangelog.cli import main
from rangelog.store import Book
from tests.conftest import Clock
from tests.stories.player import at_the_tee


async def bucket(path: Path, clock: Clock) -> Path:
    """36 whole balls in a block, and the start of one more; the file as the dead laptop left it."""
    async with at_the_tee(path, clock) as player:
        await player.begin()
        await player.state(1, 30)
        await player.block("bow bracket", "60")
        for number in range(36):
            await player.ball(("left", "on line", "right")[number % 3], "solid")
        await player.ball("right")
        dead = path.with_name("dead.db")
        shutil.copy(path, dead)
        return dead


async def test_the_last_ball_is_completed_after_the_battery_died(tmp_path: Path, clock: Clock) -> None:
    dead = await bucket(tmp_path / "book.db", clock)
    clock.wait(minutes=20)
    async with at_the_tee(dead, clock) as player:
        assert player.said() == "37 balls restored; ball 37 has no strike."
        assert "37 balls restored; ball 37 has no strike." in player.screen()
        view = player.view
        assert (view.setup.bow, view.setup.grip, view.block_hit, view.ball_number) == (1.0, 30.0, 37, 37)
        assert view.block is not None
        assert view.block.kind == "bow bracket"
        await player.press("j")
        balls = player.on_disk()
        assert len(balls) == 37
        assert [ball.seq for ball in balls] == list(range(1, 38))
        assert all(ball.strike == "solid" for ball in balls)


async def test_a_damaged_page_costs_only_what_was_on_it(tmp_path: Path, clock: Clock, capsys: pytest.CaptureFixture[str]) -> None:
    dead = await bucket(tmp_path / "book.db", clock)
    with Book.open(dead, read_only=True) as book:
        ids = {ball.id for ball in book.balls(book.sessions()[0].id)}
    raw = bytearray(dead.read_bytes())
    page = int.from_bytes(raw[16:18], "big")
    hurt = max(
        number for number in range(len(raw) // page) if sum(id_.encode() in raw[number * page : (number + 1) * page] for id_ in ids) > 3
    )
    raw[hurt * page : hurt * page + 200] = b"\xff" * 200
    dead.write_bytes(raw)
    before = dead.read_bytes()
    assert main(["--book", str(dead), "check"]) in (1, 2)
    saved = tmp_path / "saved.db"
    assert main(["--book", str(dead), "check", "--salvage", str(saved)]) == 0
    out = capsys.readouterr().out
    assert dead.read_bytes() == before, "the damaged file stays as it is"
    with Book.open(saved, read_only=True) as book:
        kept = [ball for session in book.sessions() for ball in book.balls(session.id)]
    assert len({ball.id for ball in kept}) == len(kept)
    assert {ball.id for ball in kept} <= ids
    assert f"{len(kept)} balls kept" in out
    for missing in ids - {ball.id for ball in kept}:
        assert missing in out, "every ball that could not be read is named"
