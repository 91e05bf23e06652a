"""How long the engine takes on the machine it runs on: add, suggest, bias and verdict, one after another, as a ball asks for them."""

import subprocess
import sys
from statistics import median, quantiles
from time import perf_counter, process_time

from rich.table import Table

from rangelog.bracketing import Bracket
from tests.bench.players import BOW_RANGE, FIRST_GRIP, STANDARD, draw
from tests.bench.walks import bracket

LOOK_AT = 40
"""Balls timed at each size of the book."""


def filled(sessions: int, balls: int, seed: int, grips: int = 1) -> tuple[Bracket, list[tuple[float, float, str, str]]]:
    """A Bracket that has taken in all but the last balls, and those balls as (bow, grip, start, session); grips change every ball."""
    player = draw(STANDARD, seed, 0, sessions=sessions, balls=balls)
    b = bracket(player)
    book = []
    for session in range(sessions):
        for ball in range(balls):
            # a plain spread of settings; walking by suggest() would take minutes and times the same work
            bow = min(BOW_RANGE[1], max(BOW_RANGE[0], round(player.crossing) + (-2.0, 0.0, 1.0, -1.0, 0.5)[ball // 3 % 5]))
            grip = FIRST_GRIP + 15.0 * (ball % grips)
            book.append((bow, grip, str(player.side(bow, grip, session, ball)), f"day {session + 1}"))
    for bow, grip, start, name in book[:-LOOK_AT]:
        b.add(bow=bow, grip=grip, start=start, session=name)
    return b, book[-LOOK_AT:]


def time_balls(task: tuple[int, int, int, int]) -> dict[str, list[float]]:
    """Milliseconds of each step for the last balls of a book of (sessions, balls, seed, grips)."""
    b, rest = filled(*task)
    b.suggest(lever="bow", grip=FIRST_GRIP)
    spent: dict[str, list[float]] = {"add": [], "suggest": [], "bias": [], "verdict": [], "together": [], "processor": []}
    for bow, grip, start, name in rest:
        used = process_time()
        marks = [perf_counter()]
        b.add(bow=bow, grip=grip, start=start, session=name)
        marks.append(perf_counter())
        b.suggest(lever="bow", grip=grip)
        marks.append(perf_counter())
        b.bias(bow=bow, grip=grip)
        marks.append(perf_counter())
        b.verdict(bow=bow, grip=grip)
        marks.append(perf_counter())
        for name_of, before, after in zip(spent, marks, marks[1:], strict=False):
            spent[name_of].append((after - before) * 1000.0)
        spent["together"].append((marks[-1] - marks[0]) * 1000.0)
        spent["processor"].append((process_time() - used) * 1000.0)
    return spent


def import_ms() -> tuple[float, list[str]]:
    """Milliseconds to import the engine alone in a fresh interpreter, and which terminal or database packages came with it."""
    code = (
        "import sys, time; t = time.perf_counter(); from rangelog.bracketing import Bracket; Bracket; "
        "print((time.perf_counter() - t) * 1000, *sorted({m.split('.')[0] for m in sys.modules} & set(sys.argv[1:])))"
    )
    command = [sys.executable, "-c", code, "textual", "rich", "sqlite_utils", "sqlite3"]
    words = subprocess.run(command, capture_output=True, text=True, check=True).stdout.split()
    return float(words[0]), words[1:]


def speed_table(rows: list[tuple[str, str, dict[str, list[float]]]]) -> Table:
    """Medians and the 95th percentile, in milliseconds; processor time is what a machine busy with other work would take alone."""
    imported, extra = import_ms()
    table = Table(title="Milliseconds per ball (median; last column 95th percentile)", title_justify="left")
    for column in (
        "balls in the fit",
        "add",
        "suggest",
        "bias",
        "verdict",
        "together",
        "together, processor time",
        "target",
        "together, 95 %",
    ):
        table.add_column(column, justify="left" if column == "balls in the fit" else "right")
    for name, target, spent in rows:
        medians = [f"{median(values):.2f}" for values in spent.values()]
        table.add_row(name, *medians, target, f"{quantiles(spent['together'], n=20)[18]:.2f}")
    loaded = ", ".join(extra) or "none"
    table.caption = f"engine alone imported in {imported:.0f} ms; terminal or database packages that came with it: {loaded}"
    return table
