"""The benchmarks of the start-line engine: `python -m tests.bench [--players 2000] [--workers 2] [--table NAME ...]`.

Simulated players, invented; the seed is printed with every run. What is measured is suggest() as the player would follow it: it is
asked after each ball and the player does what it says.
"""

import argparse
import datetime
import os
import platform
from collections.abc import Callable
from time import perf_counter

import numpy
import scipy
from rich.box import HEAVY_HEAD, MARKDOWN
from rich.console import Console
from rich.table import Table

from tests.bench import players, runs, speed, tables

ONE_LEVER = ("bias", "verdict", "calibration")
OTHERS = ("placement", "second", "levers", "robust", "speed")


def one_lever_tables(names: list[str], count: int, workers: int, seed: int) -> list[Table]:
    """One pass over the standard players answers up to three tables."""
    longer = "verdict" in names or "calibration" in names
    todo = runs.jobs(
        count,
        seed,
        balls=runs.VERDICT_BALLS if longer else runs.BIAS_BALLS,
        verdicts="verdict" in names,
        ask_at=runs.ASK_AT if "calibration" in names else (),
    )
    played = runs.over_players(runs.play_one_lever, todo, workers, "one lever")
    found = []
    if "bias" in names:
        found += [tables.bias_table(played, f"|bias| at the recommended bow, one lever, {count} players"), tables.reach_table(played)]
    if "verdict" in names:
        found.append(tables.verdict_table(played))
    if "calibration" in names:
        found += [tables.calibration_table(played), tables.coverage_table(played)]
    return found


def placement_tables(count: int, workers: int, seed: int) -> list[Table]:
    """Where to hit next."""
    return [tables.placements_table(runs.over_players(runs.play_placements, runs.jobs(count, seed), workers, "placement"))]


def second_tables(count: int, workers: int, seed: int) -> list[Table]:
    """Memory from one day to the next."""
    return [tables.second_day_table(runs.over_players(runs.play_second_day, runs.jobs(count, seed), workers, "second day"))]


def lever_tables(count: int, workers: int, seed: int) -> list[Table]:
    """Both levers."""
    return [tables.two_levers_table(runs.over_players(runs.play_two_levers, runs.two_lever_jobs(count, seed), workers, "two levers"))]


def robust_tables(count: int, workers: int, seed: int) -> list[Table]:
    """Other kinds of player; the left-handers are the standard players mirrored, so their figures must be the same."""
    rows = []
    pair = (runs.ORACLE, runs.BY_HAND)
    for population, as_degrees in (
        (players.STANDARD, False),
        (players.STANDARD, True),
        (players.LEFT_HANDED, False),
        (players.MISJUDGED_EDGES, False),
        (players.MISREAD_BALLS, False),
        (players.STEADY, False),
    ):
        name = population.name + (", read in degrees" if as_degrees else "")
        todo = runs.jobs(count, seed, population, as_degrees=as_degrees, yardsticks=pair)
        rows.append(tables.robustness_row(name, runs.over_players(runs.play_one_lever, todo, workers, name)))
    return [tables.robustness_table(rows)]


def speed_tables(seed: int) -> list[Table]:
    """Timed in one worker process, alone."""
    books = {
        "100 (one session)": (1, 100, 1, "10"),
        "100 on three grips mixed": (1, 100, 3, "10"),
        "390 (one long session)": (1, 390, 1, ""),
        "1,600 (20 sessions of 80)": (20, 80, 1, "40"),
        "1,600 on three grips mixed": (20, 80, 3, "40"),
    }
    spent = runs.over_players(
        speed.time_balls, [(sessions, balls, seed, grips) for sessions, balls, grips, _ in books.values()], 1, "speed"
    )
    return [speed.speed_table([(name, book[3], times) for (name, book), times in zip(books.items(), spent, strict=True)])]


def main() -> None:
    """Play, and print the tables."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument("--players", type=int, default=2000)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--seed", type=int, default=runs.SEED)
    parser.add_argument("--table", action="append", choices=[*ONE_LEVER, *OTHERS], help="may be repeated; all where not given")
    parser.add_argument("--markdown", action="store_true", help="print the tables as Markdown")
    asked = parser.parse_args()
    if asked.players < 10 or asked.workers < 1:
        parser.error("--players must be at least 10 and --workers at least 1.")
    names: list[str] = asked.table or [*ONE_LEVER, *OTHERS]
    console = Console()
    console = Console(width=max(console.width, 240 if asked.markdown else 170))
    now = datetime.datetime.now(tz=datetime.UTC).date()
    console.print(
        f"{now}  seed {asked.seed}  players {asked.players}  workers {asked.workers}  {os.cpu_count()} cores {platform.machine()}  "
        f"Python {platform.python_version()}  numpy {numpy.__version__}  scipy {scipy.__version__}"
    )
    parts: dict[str, Callable[[], list[Table]]] = {
        "placement": lambda: placement_tables(asked.players, asked.workers, asked.seed),
        "second": lambda: second_tables(asked.players, asked.workers, asked.seed),
        "levers": lambda: lever_tables(asked.players, asked.workers, asked.seed),
        "robust": lambda: robust_tables(asked.players, asked.workers, asked.seed),
        "speed": lambda: speed_tables(asked.seed),
    }
    together = [name for name in names if name in ONE_LEVER]
    todo: list[Callable[[], list[Table]]] = []
    if together:
        todo.append(lambda: one_lever_tables(together, asked.players, asked.workers, asked.seed))
    todo += [part for name, part in parts.items() if name in names]
    for part in todo:
        begun = perf_counter()
        for table in part():
            table.box = MARKDOWN if asked.markdown else HEAVY_HEAD
            console.print(table, "")
        console.print(f"({perf_counter() - begun:.0f} s)")


if __name__ == "__main__":
    main()
