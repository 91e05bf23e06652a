"""A laptop that slept, a clock that jumps, a network disk; and every file the log opens for writing, told by the interpreter itself."""

import os
import subprocess
import sys
from collections.abc import Callable
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from rangelog.core.ball import Ball
from rangelog.core.flight import Flight
from rangelog.core.words import Side
from rangelog.logbook import Logbook
from rangelog.store import places
from tests.conftest import Clock
from tests.harness.terminal import ROOT, environment

RIGHT = Flight(Side.RIGHT)
WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
WATCHED = f"""
import os, sys
def watch(event, args):
    if event == "open" and isinstance(args[0], (str, bytes, os.PathLike)) and (args[2] or 0) & {WRITING}:
        os.write(2, b"WROTE " + os.fsencode(os.path.abspath(args[0])) + b"\\n")
    elif event in ("os.mkdir", "os.rename", "os.link", "os.symlink", "sqlite3.connect"):
        name = args[-1] if event == "sqlite3.connect" else args[1] if event in ("os.rename", "os.link", "os.symlink") else args[0]
        text = os.fsdecode(name).removeprefix("file://").partition("?")[0]
        os.write(2, b"WROTE " + os.fsencode(os.path.abspath(text)) + b"\\n")
sys.addaudithook(watch)
from rangelog.cli import main
sys.exit(main(sys.argv[1:]))
"""


def wrote(home: Path, folder: Path, *words: str, typed: str = "") -> set[Path]:
    """Every place a command of the log wrote to, or tried to, run in a working folder of its own."""
    run = subprocess.run(
        [sys.executable, "-B", "-c", WATCHED, *words],
        input=typed, env=environment(home, PYTHONDONTWRITEBYTECODE="1"), cwd=folder, text=True, capture_output=True, timeout=120,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    found = {Path(line.removeprefix("WROTE ")) for line in run.stderr.splitlines() if line.startswith("WROTE ")}
    return {path for path in found if path.parts[:2] not in (("/", "dev"), ("/", "proc")) and path.name != ":memory:"}


def test_all_that_is_written_lies_in_the_folders_of_the_log_or_where_the_player_said(tmp_path: Path) -> None:
    home, work = tmp_path / "home", tmp_path / "work"
    home.mkdir()
    work.mkdir()
    data = home / ".local" / "share" / "rangelog"
    own = (data, home / ".config" / "rangelog", home / ".cache" / "rangelog")
    first = wrote(home, work, "--plain", typed="\n" * 15 + "fj\nbow 2 grip 30\na\nnote windy\nundo\n")
    assert any(path.name == "rangelog.db" for path in first)
    later = [
        wrote(home, work, *words)
        for words in (
            ("report",),
            ("review",),
            ("sessions",),
            ("check",),
            ("backup",),
            ("settings",),
            ("export", "-"),
            ("backup", "--list"),
        )
    ]
    for path in first.union(*later):
        assert any(path == folder or folder in path.parents or path in folder.parents for folder in own), path
    said = wrote(home, work, "export", str(work / "balls.csv")) | wrote(home, work, "report", "--html", str(work / "page.html"))
    assert {path for path in said if data not in path.parents and path not in data.parents and path != data} >= {work / "page.html"}
    assert sorted(path.name for path in work.iterdir()) == ["balls.csv", "page.html"]


def test_the_watch_of_that_test_sees_a_file_elsewhere(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    code = WATCHED.partition("from rangelog")[0] + "open(sys.argv[1], 'w').close()"
    run = subprocess.run([sys.executable, "-c", code, str(elsewhere)], cwd=ROOT, text=True, capture_output=True, timeout=60)
    assert f"WROTE {elsewhere}" in run.stderr


def test_a_laptop_that_slept_a_day_wakes_to_a_log_that_takes_the_next_ball(
    logbook: Logbook, clock: Clock, on_disk: Callable[[], list[Ball]]
) -> None:
    logbook.load_model()
    for _ in range(3):
        logbook.hit(RIGHT)
    clock.wait(days=1)
    assert logbook.view().ball_number == 3
    assert logbook.hit(RIGHT).kind == "saved"
    balls = on_disk()
    assert balls[-1].at.startswith("2026-06-03")
    assert [ball.seq for ball in balls] == sorted(ball.seq for ball in balls)
    assert len(logbook.balls()) == len(balls)


ZONES = {
    "1970": datetime(1970, 1, 1, 0, 0, 5, tzinfo=UTC),
    "far ahead": datetime(2099, 12, 31, 23, 59, tzinfo=UTC),
    "an hour back, winter time": datetime(2026, 6, 2, 16, 0, tzinfo=timezone(timedelta(hours=1))),
    "a flight west": datetime(2026, 6, 2, 7, 5, tzinfo=timezone(timedelta(hours=-8))),
}


@pytest.mark.parametrize("where", ZONES)
def test_a_clock_that_jumps_in_the_midst_of_a_session_costs_no_ball_and_no_order(
    logbook: Logbook, clock: Clock, on_disk: Callable[[], list[Ball]], where: str
) -> None:
    logbook.load_model()
    sides = [Side.RIGHT, Side.LEFT, Side.ON_LINE, Side.FAR_RIGHT, Side.RIGHT]
    began = clock.time
    for number, side in enumerate(sides):
        clock.time = ZONES[where] if number in (2, 3) else began + timedelta(minutes=number)
        assert logbook.hit(Flight(side)).text.startswith(f"Ball {number + 1}: ")
        logbook.why()
        logbook.plan_today()
        assert logbook.view().ball_number == number + 1
    assert [ball.side for ball in on_disk()] == sides
    logbook.undo()
    assert [ball.side for ball in on_disk()] == sides[:-1]


def test_a_network_disk_is_told_on_the_tee(book_path: Path, tmp_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch) -> None:
    table = tmp_path / "mounts"
    table.write_text(f"server:/range {tmp_path} nfs4 rw 0 0\n")
    monkeypatch.setattr(places, "MOUNTS", table)
    monkeypatch.setattr(sys, "platform", "linux")
    with Logbook.open(book_path, now=clock) as book:
        book.first_start(code="test")
        assert "network file system (nfs4)" in book.view().notice
