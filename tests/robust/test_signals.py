"""Signals, a closed window and sizes: the terminal is given back, nothing is lost, the exit code says what happened."""

import os
import re
import select
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog.core.ball import Ball
from rangelog.store import Book
from rangelog.tui import leaving
from tests.harness.terminal import PUT_BACK, ROOT, Terminal, environment, tee_command

Stored = Callable[[], list[Ball]]
Tee = Callable[..., Terminal]
SIZES = ((1, 1), (400, 200), (40, 12), (39, 11), (2, 50), (300, 3), (80, 24), (1, 200), (400, 1), (60, 18))


def a_ball(tee: Tee) -> Terminal:
    """The log with one ball echoed."""
    terminal = tee()
    terminal.send("f")
    terminal.until("Ball 1: right, mid.")
    assert terminal.modes() == {"alternate screen": True, "mouse": True, "cursor": False}
    return terminal


def echoed(terminal: Terminal) -> list[int]:
    """Numbers of the balls that were echoed; several keys may come to one paint."""
    return [int(found) for found in re.findall(r"Ball (\d+):", terminal.text)]


@pytest.mark.parametrize(
    ("number", "code"),
    [(signal.SIGTERM, 143), (signal.SIGHUP, 129), (signal.SIGQUIT, 131), (signal.SIGINT, 0)],
    ids=["ended", "hung up", "quit", "interrupted"],
)
def test_a_signal_gives_the_terminal_back(tee: Tee, stored: Stored, number: signal.Signals, code: int) -> None:
    terminal = a_ball(tee)
    terminal.signal(number)
    assert terminal.finish() == code
    assert terminal.modes() == PUT_BACK
    assert [ball.side for ball in stored()] == ["right"]


def test_ctrl_c_leaves_with_the_terminal_given_back(tee: Tee, stored: Stored) -> None:
    terminal = a_ball(tee)
    terminal.send("\x03")
    assert terminal.finish() == 0
    assert terminal.modes() == PUT_BACK
    assert len(stored()) == 1


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP, signal.SIGQUIT, signal.SIGINT])
def test_a_signal_in_the_midst_of_keys_loses_no_echoed_ball(tee: Tee, stored: Stored, number: signal.Signals) -> None:
    terminal = a_ball(tee)
    terminal.send("asdfgqwert" * 3)
    end = time.monotonic() + 60
    while max(echoed(terminal)) == 1 and time.monotonic() < end:
        terminal.read_some(end)
    terminal.signal(number)
    terminal.finish()
    assert terminal.modes() == PUT_BACK
    assert len(stored()) >= max(echoed(terminal)) > 1


def test_the_keys_of_a_quit_signal_do_not_end_the_log(tee: Tee, stored: Stored) -> None:
    terminal = a_ball(tee)
    terminal.send("\x1c")
    terminal.send("a")
    terminal.until("Ball 2: far left, mid.")
    terminal.send("\x03")
    assert terminal.finish() == 0
    assert len(stored()) == 2


def test_a_closed_window_ends_the_program_and_frees_the_book(tee: Tee, begun: Path) -> None:
    terminal = a_ball(tee)
    terminal.send("asdfg")
    terminal.hang_up()
    assert terminal.finish() == 129
    with Book.open(begun) as book:
        assert not book.read_only
        assert book.check().whole
        assert book.total_balls() >= 1


def test_a_window_closed_on_a_program_that_does_not_own_it_ends_it_too(begun: Path, tmp_path: Path) -> None:
    leader, follower = os.openpty()
    process = subprocess.Popen(
        tee_command(begun), stdin=follower, stdout=follower, stderr=follower, env=environment(tmp_path), cwd=ROOT, start_new_session=True
    )
    try:
        os.close(follower)
        seen, end = b"", time.monotonic() + 60
        while b"0 of 300" not in seen and time.monotonic() < end:
            if select.select([leader], [], [], 0.5)[0]:
                seen += os.read(leader, 65536)
        assert b"0 of 300" in seen
        os.close(leader)
        assert process.wait(60) == leaving.HUNG_UP
    finally:
        process.kill()
        process.wait()


@pytest.mark.parametrize("how", ["key", "signal"])
def test_a_suspended_log_gives_the_terminal_back_and_goes_on(tee: Tee, stored: Stored, how: str) -> None:
    terminal = a_ball(tee)
    if how == "key":
        terminal.send("\x1a")
    else:
        terminal.signal(signal.SIGTSTP)
    end = time.monotonic() + 60
    while terminal.modes() != PUT_BACK and time.monotonic() < end:
        terminal.read(0.05)
    assert terminal.modes() == PUT_BACK
    os.waitid(os.P_PID, terminal.process.pid, os.WSTOPPED | os.WNOWAIT)
    terminal.signal(signal.SIGCONT)
    since = len(terminal.seen)
    terminal.until("NEXT", since)
    terminal.send("a")
    terminal.until("Ball 2: far left, mid.")
    terminal.send("\x03")
    assert terminal.finish() == 0
    assert terminal.modes() == PUT_BACK
    assert len(stored()) == 2


def test_a_storm_of_sizes_loses_no_ball(tee: Tee, stored: Stored) -> None:
    terminal = a_ball(tee)
    keys = "asdfgqwert" * 3
    for turn, key in enumerate(keys):
        terminal.resize(*SIZES[turn % len(SIZES)])
        terminal.send(key)
        terminal.read(0.01)
    terminal.resize(80, 24)
    terminal.until(f"{1 + len(keys)} of 300")
    terminal.send("\x03")
    assert terminal.finish() == 0
    assert terminal.modes() == PUT_BACK
    assert len(stored()) == 1 + len(keys)


def test_an_end_that_was_ordered_comes_though_the_program_hangs() -> None:
    code = "import threading; from rangelog.tui.leaving import end_within; end_within(143, 0.1); threading.Event().wait()"
    ended = subprocess.run([sys.executable, "-c", code], env=environment(Path("/nowhere")), cwd=ROOT, timeout=60)
    assert ended.returncode == 143


def test_an_open_terminal_is_not_gone() -> None:
    leader, follower = os.openpty()
    try:
        assert not leaving.gone(follower)
        os.close(leader)
        assert leaving.gone(follower)
    finally:
        os.close(follower)
