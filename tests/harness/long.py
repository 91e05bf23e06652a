"""A long life in one process: many balls through the desk with the model loaded; memory and time of a key, first and last.

python -m tests.harness.long --balls 5000
"""

import argparse
import gc
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from rangelog.logbook import Logbook
from rangelog.tui import keymap
from rangelog.tui.desk import Desk

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


def live(path: Path, balls: int, tell: Callable[[str], None] = lambda _: None) -> Life:
    """So many balls in one session of one process."""
    at_s, life, layout = 0.0, Life(), keymap.ready()
    with Logbook.open(path) as book:
        book.first_start(code="test", hand="right", club_name="iron", loft_deg=28.0, ball_cap=300)
        book.start_session()
        book.set_setup(bow=0.0, grip=30.0)
        book.load_model()
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


def main() -> int:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--balls", type=int, default=5_000)
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        print(live(Path(folder) / "book.db", chosen.balls, tell=lambda line: print(line, flush=True)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
