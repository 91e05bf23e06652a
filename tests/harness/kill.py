"""Kill a program that writes balls at random moments and look at what is left.

    python -m tests.harness.kill --count 1000 --seed 1

A writing process opens the book as the log does (schema, player, session, backup of the day and all), stores balls, corrections, blocks
and forms one after another, and says each id on its output once the book has it. It is killed (SIGKILL) after a random time; then the
book is opened again and must pass its check, hold every ball that was said and at most the one that was not yet said, in sequence, and
its state must belong to its last ball. The next round goes on with the same book. The command ends with 1 where a round fails.
"""

import random
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from rangelog.store import Book
from rangelog.store.lock import read_holder
from tests.harness.beginning import command, tell
from tests.harness.terminal import ROOT


@dataclass(slots=True)
class Tally:
    """What the rounds came to."""

    rounds: int = 0
    said: int = 0
    unsaid_but_kept: int = 0
    killed_before_first: int = 0
    failures: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        return (
            f"{self.rounds} kills, {self.said} balls said and all kept, {self.unsaid_but_kept} kept though not yet said, "
            f"{self.killed_before_first} kills before the first ball, {len(self.failures)} failures"
        )


def one_round(path: Path, luck: random.Random, said: set[str], longest_s: float) -> tuple[set[str], str]:
    """Start a writer, kill it, and return the ids it said and what is wrong with the book (empty where nothing is)."""
    command = [sys.executable, "-m", "tests.harness.writer", str(path), str(luck.randrange(2**30))]
    with subprocess.Popen(command, stdout=subprocess.PIPE, cwd=ROOT) as writer:
        assert writer.stdout is not None
        if luck.random() < 0.8:
            writer.stdout.readline()
        time.sleep(luck.uniform(0.0, longest_s))
        writer.kill()
        heard = writer.stdout.read().decode().split("\n")
    # the last piece is cut off or empty
    fresh = {line for line in heard[:-1] if line.startswith("ball-")}
    return fresh, look(path, said | fresh)


def look(path: Path, said: set[str]) -> str:
    """What is wrong with the book, given the balls that were said."""
    if not path.exists():
        return "the book is not there though balls were said" if said else ""
    with Book.open(path) as book:
        if book.read_only:
            return f"a dead lock: {book.read_only_reason} ({read_holder(path)})"
        report = book.check()
        if not report.whole:
            return str(report)
        held = [ball for session in book.sessions() for ball in book.balls(session.id, include_voided=True)]
        ids = [ball.id for ball in held]
        if len(ids) != len(set(ids)):
            return "a ball is doubled"
        if missing := said - set(ids):
            return f"missing: {sorted(missing)[:5]}"
        last = book.last_session()
        if last is not None and book.state("last_seq", 0) != book.last_seq(last.id):
            return f"state says ball {book.state('last_seq', 0)}, the book ends with {book.last_seq(last.id)}"
        for ball in held:
            edits = book.edits(ball.id)
            if edits and edits[-1].new != f'"{ball.note}"':
                return f"{ball.id} shows {ball.note!r}, its last edit says {edits[-1].new}"
    return ""


def run(path: Path, count: int, seed: int, longest_s: float = 0.25, tell: Callable[[str], None] = lambda _: None) -> Tally:
    """So many kills on one book; `tell` hears how far it is."""
    luck, tally, said = random.Random(seed), Tally(), set[str]()
    for _ in range(count):
        fresh, wrong = one_round(path, luck, said, longest_s)
        said |= fresh
        tally.rounds += 1
        tally.killed_before_first += not fresh
        if wrong:
            tally.failures.append(f"round {tally.rounds}: {wrong}")
        tally.said = len(said)
        if tally.rounds % 50 == 0:
            tell(str(tally))
    if path.exists():
        with Book.open(path, read_only=True) as book:
            tally.unsaid_but_kept = book.total_balls() - len(said)
    return tally


def main() -> int:
    """The command."""
    return command(__doc__, lambda folder, chosen: run(folder / "book.db", chosen.count, chosen.seed, tell=tell), count=100, seed=1)


if __name__ == "__main__":
    sys.exit(main())
