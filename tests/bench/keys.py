"""From key to paint, and from start to first paint, through a pseudo-terminal: `python -m tests.bench.keys [--balls 100000]`.

The program runs as a player runs it. A key counts as painted when the screen names the new ball; the ball is then on disk and the
hint is chosen, since both come before the paint. The empty app is the smallest Textual program, started the same way in turn.
"""

import argparse
import datetime
import fcntl
import os
import pty
import re
import select
import signal
import statistics
import struct
import subprocess
import sys
import tempfile
import termios
from collections.abc import Sequence
from pathlib import Path
from time import perf_counter, sleep

from rich.box import HEAVY_HEAD
from rich.console import Console
from rich.table import Table

from rangelog.core.times import local_now
from rangelog.logbook import Logbook
from tests.store.big import make_book

EMPTY = """
from textual.app import App
from textual.widgets import Static
class Empty(App):
    def compose(self):
        yield Static("NEXT")
Empty().run()
"""
ESCAPES = re.compile(rb"\x1b(\[[0-?]*[ -/]*[@-~]|\][^\x07]*\x07|[@-Z\\-_])")
KEYS = "sadfgewrq"
WARM_UP_KEYS = 10
GIVE_UP_S = 30.0


class Terminal:
    """A program in an 80x24 pseudo-terminal."""

    def __init__(self, command: Sequence[str], environment: dict[str, str]) -> None:
        self.started = perf_counter()
        self.pid, self.file = pty.fork()
        if self.pid == 0:
            os.execvpe(command[0], list(command), environment)
        fcntl.ioctl(self.file, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.seen = b""

    def until(self, mark: bytes) -> float:
        """Seconds from now until the mark is on the output. Raises TimeoutError."""
        begun = perf_counter()
        while mark not in ESCAPES.sub(b"", self.seen):
            if perf_counter() - begun > GIVE_UP_S:
                raise TimeoutError(f"{mark!r} never came; last output {self.seen[-400:]!r}")
            if select.select([self.file], [], [], 0.5)[0]:
                self.seen += os.read(self.file, 65536)
        return perf_counter() - begun

    def key(self, key: str, mark: bytes) -> float:
        """Seconds from a key to its mark."""
        self.seen = b""
        begun = perf_counter()
        os.write(self.file, key.encode())
        self.until(mark)
        return perf_counter() - begun

    def close(self) -> None:
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.file)


def first_paint(command: Sequence[str], environment: dict[str, str]) -> float:
    """Seconds from fork to the word NEXT."""
    terminal = Terminal(command, environment)
    try:
        terminal.until(b"NEXT")
        return perf_counter() - terminal.started
    finally:
        terminal.close()


def ready_book(folder: Path, balls: int) -> Path:
    """A large book with a session under way and a setup stated."""
    path = make_book(folder / "big.db", balls=balls, seed=1)
    with Logbook.open(path, now=local_now) as log:
        log.start_session(surface="mat")
        log.set_setup(bow=2, grip=30)
        for name in ("kit", "body"):
            form, _ = log.open_form(name)
            log.save_form(name, {field.name: "pass" for field in form.fields if field.kind == "choice" and "pass" in field.choices})
        log.save_form("pain", {"wrist": 0})
    return path


def key_times(book: Path, environment: dict[str, str], count: int) -> list[float]:
    """Seconds from key to paint of so many balls, after a warm-up."""
    terminal = Terminal([sys.executable, "-m", "rangelog", "--book", str(book)], environment)
    times = []
    try:
        terminal.until(b"NEXT")
        sleep(4.0)  # the model loads after the first paint
        for number in range(1, WARM_UP_KEYS + count + 1):
            taken = terminal.key(KEYS[number % len(KEYS)], f"Ball {number}:".encode())
            if number > WARM_UP_KEYS:
                times.append(taken)
            sleep(0.05)
    finally:
        terminal.close()
    return times


def command_times(book: Path, environment: dict[str, str], runs: int) -> list[tuple[str, list[float]]]:
    """Seconds of whole commands, fresh processes."""
    one_ball = '{"bow": 0, "grip": 30, "start": 6}\n' * 40
    wanted: list[tuple[str, list[str], str]] = [
        ("--version", ["--version"], ""),
        ("--help", ["--help"], ""),
        ("gate", ["gate", "--width", "0.5", "--distance", "3"], ""),
        ("sessions --last 5", ["--book", str(book), "sessions", "--last", "5"], ""),
        ("settings", ["settings"], ""),
        ("hint, 40 balls", ["hint"], one_ball),
    ]
    found = []
    for name, words, given in wanted:
        times = []
        for _ in range(runs):
            begun = perf_counter()
            subprocess.run(
                [sys.executable, "-m", "rangelog", *words], input=given, text=True, capture_output=True, check=True, env=environment
            )
            times.append(perf_counter() - begun)
        found.append((name, times))
    return found


def milliseconds(times: Sequence[float], share: float) -> str:
    """A quantile in milliseconds."""
    ordered = sorted(times)
    return f"{1000 * ordered[min(len(ordered) - 1, int(share * len(ordered)))]:.0f}"


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--balls", type=int, default=100_000)
    options.add_argument("--keys", type=int, default=200)
    options.add_argument("--starts", type=int, default=15)
    chosen = options.parse_args()
    console = Console()
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder) / "home"
        home.mkdir()
        environment = {**os.environ, "HOME": str(home), "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        environment.pop("RANGELOG_BOOK", None)
        book = ready_book(Path(folder), chosen.balls)
        empty, ours = [], []
        for _ in range(chosen.starts):  # in turn, so that a busy machine is busy for both
            empty.append(first_paint([sys.executable, "-c", EMPTY], environment))
            ours.append(first_paint([sys.executable, "-m", "rangelog", "--book", str(book)], environment))
        keys = key_times(book, environment, chosen.keys)
        commands = command_times(book, environment, chosen.starts)
    load = ", ".join(f"{value:.1f}" for value in os.getloadavg())
    table = Table(title=f"{datetime.date.today()}, {os.cpu_count()} cores, load {load}; a book of {chosen.balls} balls", box=HEAVY_HEAD)
    for name in ("what", "runs", "median ms", "95 % ms", "99 % ms"):
        table.add_column(name)
    for name, times in (
        ("empty app, first paint", empty),
        ("the tee, first paint", ours),
        ("key to ball on disk, hint chosen and painted", keys),
        *commands,
    ):
        table.add_row(name, str(len(times)), *(milliseconds(times, share) for share in (0.5, 0.95, 0.99)))
    console.print(table)
    console.print(f"First paint, ratio of medians: {statistics.median(ours) / statistics.median(empty):.2f}")


if __name__ == "__main__":
    main()
