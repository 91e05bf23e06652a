"""Large books: export, import, reviews, the list, the page and the check, each in a process of its own: `python -m tests.bench.books`.

    python -m tests.bench.books [--balls 100000] [--runs 3] [--only WORD]

The book is invented (tests/store/big.py). Shown are the medians of wall and processor time, without the start of Python, and the
largest peak of memory, with it. How busy the machine was stands beside: the time of a fixed loop over its best in this run, so
that processor time divided by it is about what a quiet machine takes.
"""

import argparse
import json
import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from statistics import mean, median
from time import perf_counter, process_time

from rich.box import HEAVY_HEAD
from rich.console import Console
from rich.table import Table

from tests.store.big import make_book


@dataclass(frozen=True, slots=True)
class Took:
    """One part of one run: seconds of wall and of processor, and what kept the machine busy."""

    part: str
    wall_s: float
    cpu_s: float


class Watch:
    """Notes how long each part takes."""

    def __init__(self) -> None:
        self.parts: list[Took] = []

    def __call__(self, part: str, work: Callable[[], object]) -> None:
        wall, cpu = perf_counter(), process_time()
        work()
        self.parts.append(Took(part, perf_counter() - wall, process_time() - cpu))


def _make(book: Path, folder: Path, watch: Watch, balls: int) -> None:
    watch("make the book", lambda: make_book(book, balls=balls, years=max(5.0, balls / 20_000)))


def _export(book: Path, folder: Path, watch: Watch) -> None:
    from rangelog.exchange.csv_out import export_csv
    from rangelog.exchange.jsonl import export_jsonl
    from rangelog.logbook.archive import Archive

    with Archive.look(book) as archive:
        watch("export CSV", lambda: export_csv(archive, folder / "out.csv"))
        watch("export JSON Lines", lambda: export_jsonl(archive, folder / "out.jsonl"))


def _import_csv(book: Path, folder: Path, watch: Watch) -> None:
    from rangelog.exchange.csv_in import import_csv
    from rangelog.logbook.archive import Archive

    _fresh(folder / "in.db")
    with Archive.take(folder / "in.db", daily_backup=False) as archive:
        watch("import CSV", lambda: import_csv(archive, folder / "out.csv"))
        watch("import the same CSV again", lambda: import_csv(archive, folder / "out.csv"))


def _import_jsonl(book: Path, folder: Path, watch: Watch) -> None:
    from rangelog.exchange.jsonl import import_jsonl
    from rangelog.logbook.archive import Archive

    _fresh(folder / "in.db")
    with Archive.take(folder / "in.db", daily_backup=False) as archive:
        watch("import JSON Lines", lambda: import_jsonl(archive, folder / "out.jsonl"))


def _fresh(path: Path) -> None:
    for each in path.parent.glob(f"{path.name}*"):
        each.unlink()


def _review(book: Path, folder: Path, watch: Watch) -> None:
    from rangelog.logbook.review_filter import Filter
    from rangelog.logbook.review_room import VIEWS, ReviewRoom

    rooms: list[ReviewRoom] = []
    watch("review: open, last 26 weeks", lambda: rooms.append(ReviewRoom.open(book)))
    room = rooms[0]
    watch("review: first view", lambda: room.answer("map", room.span("26 weeks")))
    watch("review: filter to all dates", lambda: room.answer("map", Filter()))
    for view in VIEWS:
        watch(f"review: {view}, all dates", lambda view=view: room.answer(view, Filter()))  # type: ignore[misc]
    watch("review: counted or not", lambda: room.answer("map", Filter(counted=None)))
    watch("review: ask the model", room.think)


def _list(book: Path, folder: Path, watch: Watch) -> None:
    from rangelog.logbook.ball_list import BallList

    def step(counted: bool | None, words: str, at: int) -> None:
        listed.counted, listed.words = counted, words
        listed.refresh()
        listed.line(at if at >= 0 else len(listed) - 1)

    lists: list[BallList] = []
    watch("list: open", lambda: lists.append(BallList(book)))
    with closing(lists[0]) as listed:
        watch("list: counted", lambda: step(True, "", 1))
        watch("list: not counted", lambda: step(False, "", 1))
        watch("list: last line", lambda: step(None, "", -1))
        watch("list: find in notes", lambda: step(None, "glove", 1))


def _page(book: Path, folder: Path, watch: Watch) -> None:
    from rangelog.logbook.archive import Archive
    from rangelog.report.collect import collect
    from rangelog.report.html import html
    from rangelog.report.text import text

    def page(since: str) -> None:
        made = collect(archive, since)
        html(made)
        text(made)

    with Archive.look(book) as archive:
        watch("page: first, with what it loads", lambda: page(""))
        watch("page: last 26 weeks", lambda: page(""))
        watch("page: all dates", lambda: page("2000-01-01"))


def _check(book: Path, folder: Path, watch: Watch) -> None:
    from rangelog.store.check import check

    watch("check", lambda: check(book))


def _salvage(book: Path, folder: Path, watch: Watch) -> None:
    from rangelog.core.times import local_now
    from rangelog.store.salvage import salvage

    _fresh(folder / "saved.db")
    watch("salvage", lambda: salvage(book, folder / "saved.db", local_now()))


MAKE = "make"
JOBS: dict[str, Callable[[Path, Path, Watch], None]] = {
    "export": _export,
    "import CSV": _import_csv,
    "import JSON Lines": _import_jsonl,
    "review": _review,
    "list": _list,
    "page": _page,
    "check": _check,
    "salvage": _salvage,
}
"""In this order, since imports read what the export wrote."""


def loop_s() -> float:
    """Processor time of a fixed piece of work."""
    start, kept = process_time(), {}
    for at in range(30_000):
        kept[at % 997] = (at, str(at))
    return process_time() - start


def child(job: str, book: Path, folder: Path, balls: int) -> None:
    """One run of one job, told as a line of JSON."""
    watch = Watch()
    before = [loop_s() for _ in range(40)]
    if job == MAKE:
        _make(book, folder, watch, balls)
    else:
        JOBS[job](book, folder, watch)
    loops = [*before, *(loop_s() for _ in range(40))]
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    parts = [(each.part, each.wall_s, each.cpu_s) for each in watch.parts]
    print(json.dumps({"parts": parts, "peak_mb": peak_mb, "loop_s": mean(loops), "best_s": min(loops)}))


def measured(jobs: list[str], folder: Path, balls: int, runs: int) -> Iterator[tuple[str, list[dict[str, object]]]]:
    """What each job told, run by run. This process does none of it: a child's peak of memory would begin with its parent's."""
    for job in (MAKE, *jobs):
        command = [sys.executable, "-m", "tests.bench.books", "--balls", str(balls), "--child", job, str(folder / "book.db"), str(folder)]
        told = [subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True).stdout for _ in range(1 if job == MAKE else runs)]
        yield job, [json.loads(each) for each in told]


def main() -> None:
    """Make the book, run every job, print the table."""
    reading = argparse.ArgumentParser()
    reading.add_argument("--balls", type=int, default=100_000)
    reading.add_argument("--runs", type=int, default=3)
    reading.add_argument("--only", default="", help="jobs with this word in their name")
    reading.add_argument("--child", nargs=3, help=argparse.SUPPRESS)
    chosen = reading.parse_args()
    if chosen.child:
        job, book, folder = chosen.child
        child(job, Path(book), Path(folder), chosen.balls)
        return
    table = Table(title=f"a book of {chosen.balls:,} balls, {chosen.runs} runs", box=HEAVY_HEAD)
    for column in ("part", "wall s", "processor s", "busy, x", "peak MB of its process"):
        table.add_column(column, justify="left" if column == "part" else "right")
    with tempfile.TemporaryDirectory(prefix="rangelog-bench-") as name:
        folder = Path(name)
        jobs = [job for job in JOBS if chosen.only in job]
        found = list(measured(jobs, folder, chosen.balls, chosen.runs))
    best = min(float(str(run["best_s"])) for _, runs in found for run in runs)
    for _, runs in found:
        peak = max(float(str(run["peak_mb"])) for run in runs)
        busy = median(float(str(run["loop_s"])) for run in runs) / best
        for turn, parts in enumerate(zip(*(run["parts"] for run in runs), strict=True)):
            wall, cpu = (median(part[place] for part in parts) for place in (1, 2))
            shown = (f"{busy:.2f}", f"{peak:.0f}") if turn == 0 else ("", "")
            table.add_row(parts[0][0], f"{wall:.3f}", f"{cpu:.3f}", *shown)
    Console(width=120).print(table)
    print(f"load {os.getloadavg()[0]:.1f}")


if __name__ == "__main__":
    main()
