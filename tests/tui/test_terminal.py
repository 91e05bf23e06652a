"""The app in a real pseudo-terminal: colours, mouse, signals, and what is left behind."""

import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from rangelog.logbook import Logbook

PROGRAM = """
import sys
from pathlib import Path
from rangelog import tui
from rangelog.settings import Settings
raise SystemExit(tui.run(Path(sys.argv[1]), settings=Settings(look=sys.argv[2], mouse=sys.argv[3] == "mouse")))
"""
COLOUR = re.compile(rb"\x1b\[[0-9;]*\b(?:3[0-8]|4[0-8]|9[0-7]|10[0-7])(?:;[0-9;]*)?m")
MOUSE = b"\x1b[?1000h"
LEFT_ALTERNATE = b"\x1b[?1049l"


class Terminal:
    """One run of the log in a pseudo-terminal of 80 by 24."""

    def __init__(self, book: Path, look: str, mouse: str, environment: dict[str, str]) -> None:
        self.leader, follower = pty.openpty()
        fcntl.ioctl(follower, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        environment = {key: value for key, value in os.environ.items() if key != "NO_COLOR"} | {"TERM": "xterm-256color"} | environment
        self.process = subprocess.Popen(
            [sys.executable, "-c", PROGRAM, str(book), look, mouse],
            stdin=follower,
            stdout=follower,
            stderr=follower,
            env=environment,
            close_fds=True,
        )
        os.close(follower)
        self.seen = b""

    def until(self, sought: bytes, within_s: float = 60.0) -> bytes:
        """Everything written so far, once it holds what is sought."""
        end = time.monotonic() + within_s
        while sought not in self.seen and time.monotonic() < end:
            ready, _, _ = select.select([self.leader], [], [], 0.2)
            if ready and not self._read():
                break
        assert sought in self.seen, self.seen[-2000:]
        return self.seen

    def _read(self) -> bool:
        try:
            chunk = os.read(self.leader, 65536)
        except OSError:
            return False
        self.seen += chunk
        return bool(chunk)

    def finish(self) -> int:
        """The exit code, with everything that was still written."""
        end = time.monotonic() + 60
        while time.monotonic() < end:
            ready, _, _ = select.select([self.leader], [], [], 0.2)
            if (ready and not self._read()) or (not ready and self.process.poll() is not None):
                break
        return self.process.wait(60)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A book of an invented player in the middle of a session."""
    path = tmp_path / "book.db"
    with Logbook.open(path) as opened:
        opened.first_start(code="test", hand="right", club_name="iron", loft_deg=28.0)
        opened.start_session()
        opened.set_setup(bow=0.0, grip=30.0)
    return path


@pytest.fixture
def terminal(book: Path) -> Iterator[Callable[..., Terminal]]:
    opened: list[Terminal] = []

    def open_one(look: str = "dark", mouse: str = "mouse", **environment: str) -> Terminal:
        opened.append(Terminal(book, look, mouse, environment))
        return opened[-1]

    yield open_one
    for one in opened:
        if one.process.poll() is None:
            one.process.kill()
            one.process.wait()
        os.close(one.leader)


def test_a_ball_is_stored_and_leaving_gives_the_terminal_back(terminal: Callable[..., Terminal], book: Path) -> None:
    run = terminal()
    run.until(b"NEXT")
    os.write(run.leader, b"fj")
    run.until(b"solid")
    os.write(run.leader, b"\x11")
    assert run.finish() == 0
    assert LEFT_ALTERNATE in run.seen
    with Logbook.open(book) as opened:
        assert [(ball.side, ball.strike) for ball in opened.balls()] == [("right", "solid")]


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_a_signal_gives_the_terminal_back_and_loses_no_ball(terminal: Callable[..., Terminal], book: Path, number: signal.Signals) -> None:
    run = terminal()
    run.until(b"NEXT")
    os.write(run.leader, b"f")
    run.until(b"Ball 1")
    run.process.send_signal(number)
    assert run.finish() == 128 + number
    assert LEFT_ALTERNATE in run.seen
    with Logbook.open(book) as opened:
        assert len(opened.balls()) == 1


def test_no_color_is_honoured_to_the_last_code(terminal: Callable[..., Terminal]) -> None:
    run = terminal(NO_COLOR="1")
    run.until(b"HINT")
    run.process.send_signal(signal.SIGTERM)
    run.finish()
    assert COLOUR.findall(run.seen) == []


def test_the_look_of_the_terminal_sends_no_colour_and_no_mouse_where_it_is_off(terminal: Callable[..., Terminal]) -> None:
    run = terminal(look="terminal", mouse="no mouse")
    run.until(b"HINT")
    run.process.send_signal(signal.SIGTERM)
    run.finish()
    assert COLOUR.findall(run.seen) == []
    assert MOUSE not in run.seen


def test_other_looks_do_send_colours(terminal: Callable[..., Terminal]) -> None:
    run = terminal()
    run.until(b"HINT")
    run.process.send_signal(signal.SIGTERM)
    run.finish()
    assert COLOUR.findall(run.seen)
    assert MOUSE in run.seen
