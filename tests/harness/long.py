"""A long life in one process: memory and time of a key, first and last.

    python -m tests.harness.long --balls 5000               many balls in one session through the desk, with the model
    python -m tests.harness.long --balls 5000 --no-model    the same with its code loaded and never asked
    python -m tests.harness.long --idle-hours 24            a day of nothing on the screen: every tick of its timers, on a clock that jumps

The command ends with 1 where memory has grown by more than a tenth since the first part.
"""

import argparse
import asyncio
import gc
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from importlib import import_module
from pathlib import Path

from rangelog.logbook import Logbook
from rangelog.tui import keymap
from rangelog.tui.app import RangelogApp
from rangelog.tui.desk import Desk
from rangelog.tui.leaving import gone
from rangelog.tui.widgets.lines import HeaderLine
from tests.harness.beginning import begin, tell

WINDOW = 500
KEYS = "sadfgewrq"
STATUS = Path("/proc/self/status")


@dataclass(slots=True)
class Life:
    """Seconds of every ball with its strike, and memory in KiB at every window's end."""

    ball_s: list[float] = field(default_factory=list)
    memory_kib: list[int] = field(default_factory=list)

    def window(self, at: int) -> tuple[float, float]:
        """Median and 95 % of a window's times in milliseconds."""
        times = sorted(self.ball_s[at * WINDOW :][:WINDOW] if at >= 0 else self.ball_s[-WINDOW:])
        return 1000 * statistics.median(times), 1000 * times[int(0.95 * len(times))]

    def __str__(self) -> str:
        first, last = self.window(0), self.window(-1)
        return (
            f"{len(self.ball_s)} balls; a ball with strike, hint chosen and view made: first {WINDOW} median {first[0]:.1f} ms, 95 % "
            f"{first[1]:.1f} ms; last {WINDOW} median {last[0]:.1f} ms, 95 % {last[1]:.1f} ms; memory after each {WINDOW}: "
            f"{', '.join(f'{kib / 1024:.1f}' for kib in self.memory_kib)} MiB"
        )


def resident_kib() -> int:
    """Memory of this process that is in use now."""
    gc.collect()
    line = next(line for line in STATUS.read_text(encoding="ascii").splitlines() if line.startswith("VmRSS"))
    return int(line.split()[1])


def grown(memory_kib: list[int]) -> float:
    """Memory at the end in shares of what it was after the first part."""
    return memory_kib[-1] / memory_kib[0]


def live(path: Path, balls: int, tell: Callable[[str], None] = lambda _: None, *, with_model: bool = True) -> Life:
    """So many balls in one session of one process."""
    at_s, life, layout = 0.0, Life(), keymap.ready()
    with Logbook.open(path) as book:
        begin(book)
        if with_model:
            book.load_model()
        else:
            # its code is in memory as on any day, only its answers are left out
            import_module("rangelog.bracketing")
        desk = Desk(book, lambda: at_s)
        for number in range(balls):
            at_s += 5.0
            if number % 6 == 5:
                book.set_setup(bow=float(number % 7 - 2), grip=30.0)
            begun = time.perf_counter()
            for key in (KEYS[number % len(KEYS)], "jum"[number % 3]):
                desk.press(layout.action(key, "tee"), key)
                book.view()
            life.ball_s.append(time.perf_counter() - begun)
            if number % WINDOW == WINDOW - 1:
                life.memory_kib.append(resident_kib())
                tell(str(life))
    return life


TICK_S, LOOKS_A_TICK = 10, 5
"""The line of the clock tells the time every ten seconds, and the terminal is looked after every two."""
JUMPS = {3: timedelta(hours=1), 9: timedelta(days=-20_000), 11: timedelta(days=20_000), 15: timedelta(days=1), 20: timedelta(hours=-1)}
"""What the clock does in some hours: summer time, 1971 and back, a day asleep, winter time."""


@dataclass(slots=True)
class Day:
    """Memory in KiB after each idle hour, and what the clock showed."""

    ticks: int = 0
    memory_kib: list[int] = field(default_factory=list)
    shown: set[str] = field(default_factory=set)
    balls: int = 0

    def __str__(self) -> str:
        told = ", ".join(f"{kib / 1024:.1f}" for kib in self.memory_kib)
        return (
            f"{self.ticks} ticks in {len(self.memory_kib)} idle hours, {len(self.shown)} times of day shown; memory after each: {told} MiB"
        )


async def idle(path: Path, hours: int, tell: Callable[[str], None] = lambda _: None) -> Day:
    """So many hours of the screen's own ticks, each painted, as fast as they go; a ball before and a ball after."""
    day, at = Day(), datetime(2026, 6, 2, 8, 0, tzinfo=timezone(timedelta(hours=2)))
    with Logbook.open(path, now=lambda: at) as book:
        begin(book)
        app = RangelogApp(book, now=lambda: at)
        async with app.run_test() as pilot:
            await app.model_loaded.wait()
            await pilot.press("f")
            for hour in range(hours):
                at += JUMPS.get(hour, timedelta())
                for _ in range(3600 // TICK_S):
                    at += timedelta(seconds=TICK_S)
                    header = app.screen.query_one(HeaderLine)
                    header.tell_time()
                    day.shown.add(header.minute)
                    for _ in range(LOOKS_A_TICK):
                        gone(1)
                    day.ticks += 1
                    await pilot.pause()
                day.memory_kib.append(resident_kib())
                tell(str(day))
            await pilot.press("a")
            await pilot.pause()
        day.balls = len(book.balls())
    return day


def main() -> int:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--balls", type=int, default=5_000)
    parser.add_argument("--no-model", action="store_true")
    parser.add_argument("--idle-hours", type=int, default=0)
    chosen = parser.parse_args()

    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "book.db"
        if chosen.idle_hours:
            done: Day | Life = asyncio.run(idle(path, chosen.idle_hours, tell))
        else:
            done = live(path, chosen.balls, tell, with_model=not chosen.no_model)
    print(f"{done}; {grown(done.memory_kib):.3f} of the first")
    return 0 if grown(done.memory_kib) <= 1.1 else 1


if __name__ == "__main__":
    sys.exit(main())
