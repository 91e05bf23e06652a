"""Playing many simulated players in worker processes: one picklable task per player, results in player order."""

import multiprocessing
import os
import sys
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from typing import TypeVar

from rich.progress import Progress

from tests.bench.players import STANDARD, TWO_LEVERS, Player, Population, draw
from tests.bench.walks import OneLever, SecondDay, TwoLevers, at_own_crossing, one_lever, second_day, two_levers
from tests.bench.yardsticks import ByHand, ClassOracle, MinimumEntropy, Oracle, UpAndDown, Yardstick, play

SEED = 20261125
ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")
VERDICT_BALLS = 60
BIAS_BALLS = 40
SECOND_DAY_BALLS = 8
ASK_AT = (3, 5, 8, 10, 15, 20, 30, 40, 60)

YARDSTICKS: dict[str, Callable[[Player], Yardstick]] = {
    "oracle (knows all, reads degrees)": Oracle,
    "by hand": lambda player: ByHand(),
    "oracle that reads classes": ClassOracle,
    "up-and-down, Dixon-Mood": lambda player: UpAndDown(),
    "minimum entropy, two responses": lambda player: MinimumEntropy(),
}
ORACLE, BY_HAND = list(YARDSTICKS)[:2]

Task = TypeVar("Task")
Result = TypeVar("Result")


@dataclass(frozen=True)
class Job:
    """One player to play: who, and what to ask."""

    population: Population
    number: int
    seed: int = SEED
    balls: int = BIAS_BALLS
    verdicts: bool = False
    ask_at: tuple[int, ...] = ()
    as_degrees: bool = False
    yardsticks: tuple[str, ...] = tuple(YARDSTICKS)


@dataclass
class Played:
    """The engine's session and each yardstick's |bias| per ball, same player."""

    engine: OneLever
    yardsticks: dict[str, list[float]]


def play_one_lever(job: Job) -> Played:
    """The engine and the yardsticks on the bow lever."""
    player = draw(job.population, job.seed, job.number, balls=max(job.balls, BIAS_BALLS))
    marks = {name: play(YARDSTICKS[name](player), player, BIAS_BALLS) for name in job.yardsticks}
    engine = one_lever(player, job.balls, verdicts=job.verdicts, ask_at=job.ask_at, as_degrees=job.as_degrees)
    return Played(engine, marks)


OWN_CROSSING = {"every ball": (1, 0.0), "2 balls, or 1 notch off": (2, 0.75), "3 balls, or 1 notch off": (3, 0.75)}


def play_placements(job: Job) -> dict[str, list[float]]:
    """suggest() against standing at one's own crossing, looked at again after so many balls; oracle and by hand beside them."""
    player = draw(job.population, job.seed, job.number, balls=BIAS_BALLS)
    found = {ORACLE: play(Oracle(player), player, BIAS_BALLS), BY_HAND: play(ByHand(), player, BIAS_BALLS)}
    found["suggest()"] = one_lever(player, BIAS_BALLS).left_deg
    for name, (patience, leave_at) in OWN_CROSSING.items():
        found["own crossing, " + name] = at_own_crossing(player, BIAS_BALLS, patience, leave_at)
    return found


def play_second_day(job: Job) -> tuple[SecondDay, list[float], list[float]]:
    """A second day with and without memory, and the oracle and by hand that have none."""
    player = draw(job.population, job.seed, job.number, sessions=2, balls=BIAS_BALLS)
    days = second_day(player, BIAS_BALLS, SECOND_DAY_BALLS)
    return days, play(Oracle(player), player, SECOND_DAY_BALLS, 1), play(ByHand(), player, SECOND_DAY_BALLS, 1)


def play_two_levers(job: Job) -> TwoLevers:
    """Three sessions of 60 balls on both levers."""
    return two_levers(draw(job.population, job.seed, job.number, sessions=3, balls=60))


def over_players(task: Callable[[Task], Result], jobs: Iterable[Task], workers: int, label: str) -> list[Result]:
    """Results in the order of the jobs. Children run one linear-algebra thread each, so that two workers use two cores."""
    for name in ONE_THREAD:
        os.environ[name] = "1"
    todo = list(jobs)
    results: list[Result] = []
    context = multiprocessing.get_context("spawn")
    quiet = not sys.stdout.isatty()
    with Progress(transient=True, disable=quiet) as progress, ProcessPoolExecutor(max_workers=workers, mp_context=context) as pool:
        bar = progress.add_task(label, total=len(todo))
        for result in pool.map(task, todo, chunksize=4 if len(todo) > 8 * workers else 1):
            results.append(result)
            progress.advance(bar)
    return results


def jobs(players: int, seed: int, population: Population = STANDARD, **asked: object) -> list[Job]:
    """One job per player number."""
    return [Job(population, number, seed, **asked) for number in range(players)]  # type: ignore[arg-type]


def two_lever_jobs(players: int, seed: int) -> list[Job]:
    """One job per two-lever player number."""
    return [Job(TWO_LEVERS, number, seed) for number in range(players)]
