"""Kill the whole program at random moments while keys stream in, start it again, and look at what is left.

    python -m tests.harness.kill_tee --count 100 --seed 1            in a pseudo-terminal
    python -m tests.harness.kill_tee --count 400 --seed 1 --plain    in plain lines

Everything goes on in one book. Each round starts the program, checks what it says it has taken up against the book, keys balls, strikes,
curves, setups, undos and notes, and kills it (SIGKILL) at a random moment, a fifth of the time while it is still starting. A second
connection then reads the book: it must pass its check, hold every ball that was echoed, each once, and every echo must be how that ball
stands or stood before a later correction; a setup that was echoed must be the one kept, or one that was keyed after it.
"""

import random
import re
import select
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field, replace
from pathlib import Path

from rangelog.core.ball import Ball
from rangelog.logbook import Logbook, corrections, spoken
from rangelog.logbook.tee_state import STATE_KEYS, TeeState
from rangelog.store import Book
from tests.harness import beginning
from tests.harness.beginning import command, tell
from tests.harness.terminal import ROOT, Terminal, environment, tee_command

BLOCK_BALLS = 200
BALL = re.compile(r"Ball (\d+): ([a-z0-9 ,./+-]+?)\.(?![0-9])")
NEXT = re.compile(r"^Next: (bow \S+, grip \S+, [a-z0-9 /]+)\.$", re.MULTILINE)
STANDS = re.compile(r"^Next: .*(?:Last: |No ball yet)", re.MULTILINE)
WHERE = "\n"
"""An empty line: the plain lines answer where they stand."""
ANSWER_S = 5.0
FLIGHT_KEYS = "12345qwertasdfgzxcvb0"
KEYS = (*"jumihk678", "\x1b[A", "\x1b[B", "\x1b[C", "\x1b[D", ",", ".", " ", "\x7f", "9")
PLAIN_LINES = ("undo", "redo", "right mid solid", "far left high", "up", "down", ".", "number -4", "note windy, left")


@dataclass(slots=True)
class Tally:
    """What the rounds came to."""

    rounds: int = 0
    while_starting: int = 0
    resumed: int = 0
    echoed: int = 0
    echoes: int = 0
    setups: int = 0
    balls: int = 0
    failures: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        return (
            f"{self.rounds} kills ({self.while_starting} while starting), {self.resumed} starts that told what they took up, "
            f"{self.echoed} balls echoed and {self.balls} in the book, {self.echoes} echoes of balls and {self.setups} of setups compared, "
            f"{len(self.failures)} failures"
        )


@dataclass(frozen=True, slots=True)
class Left:
    """What a killed program left in the book, for the next one to take up."""

    balls: list[Ball] = field(default_factory=list)
    setup: str = "bow 0, grip 30"
    in_block: int = 0


def begin(path: Path) -> None:
    """A book of an invented player in the middle of a block."""
    with Logbook.open(path) as book:
        beginning.begin(book).start_block("free", BLOCK_BALLS)


class OnScreen:
    """The program in a pseudo-terminal."""

    def __init__(self, path: Path, home: Path) -> None:
        self.terminal = Terminal(tee_command(path), environment(home))

    @property
    def text(self) -> str:
        return self.terminal.text

    def started(self, mark: str) -> None:
        """Wait until it says what it took up, or shows the tee."""
        self.terminal.until(mark)

    def act(self, luck: random.Random, patient: bool) -> None:
        """A key and its paint, or some keys at once and a moment in which it may paint."""
        keys = [luck.choice(FLIGHT_KEYS if luck.random() < 0.6 else KEYS) for _ in range(1 if patient else luck.randint(1, 4))]
        self.terminal.send("".join(keys))
        if patient:
            self.terminal.read_some(time.monotonic() + ANSWER_S / 10)
        self.terminal.read(luck.uniform(0.0, 0.06))

    def kept_setup(self) -> str:
        """The setup that must be in the book: on the screen it is only checked at the next start."""
        return ""

    def kill(self) -> None:
        """End it as a power cut would, with everything it had written."""
        self.terminal.process.kill()
        self.terminal.process.wait()
        self.terminal.read(0.05)
        self.terminal.close()


class InLines:
    """The program in plain lines, on pipes."""

    def __init__(self, path: Path, home: Path) -> None:
        self._process = subprocess.Popen(
            tee_command(path, "--plain"), stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=environment(home),
            cwd=ROOT, bufsize=0,
        )  # fmt: skip
        self._seen = b""
        self._unanswered = False

    @property
    def text(self) -> str:
        return self._seen.decode("utf-8", "replace")

    def _read(self, for_s: float) -> bool:
        out = self._process.stdout
        assert out is not None
        if not select.select([out], [], [], for_s)[0]:
            return True
        chunk = out.read(65536)
        self._seen += chunk or b""
        return bool(chunk)

    def started(self, mark: str) -> None:
        """Wait until it has said where it stands."""
        end = time.monotonic() + 60
        while mark not in self.text or "Next: " not in self.text:
            if time.monotonic() > end or not self._read(0.5):
                raise TimeoutError(f"{mark!r} never came; last output {self.text[-400:]!r}")

    def act(self, luck: random.Random, patient: bool) -> None:
        """A line and its answer, or a line and a moment in which it may answer."""
        luckiness = luck.random()
        if luckiness < 0.5:
            line = "".join((luck.choice(FLIGHT_KEYS), luck.choice(("", "j", "h8"))))
        elif luckiness < 0.7:
            line = f"bow {luck.randint(-4, 10) / 2:g} grip {luck.randint(-2, 6) * 15}"
        else:
            line = luck.choice(PLAIN_LINES)
        assert self._process.stdin is not None
        begun, end = self._told(), time.monotonic() + ANSWER_S
        with suppress(BrokenPipeError):
            self._process.stdin.write(f"{line}\n{WHERE if patient else ''}".encode())
        while patient and self._told() == begun and time.monotonic() < end and self._read(0.1):
            pass
        self._unanswered |= self._told() == begun
        self._read(luck.uniform(0.0, 0.02))

    def _told(self) -> int:
        """How often it has said where it stands."""
        return len(STANDS.findall(self.text))

    def kept_setup(self) -> str:
        """The setup that must be in the book, empty where that is open: a line was not answered, or none stated a setup."""
        said = NEXT.findall(self.text)
        return said[-1] if said and not self._unanswered else ""

    def kill(self) -> None:
        """End it as a power cut would, with everything it had written."""
        self._process.kill()
        self._process.wait()
        while self._read(0.05):
            if not select.select([self._process.stdout], [], [], 0)[0]:
                break
        for pipe in (self._process.stdin, self._process.stdout):
            if pipe is not None:
                pipe.close()


def one_round(path: Path, home: Path, luck: random.Random, plain: bool, before: Left) -> tuple[str, str, str, bool]:
    """Start, key, kill; returns what it wrote, the setup it said last, what was wrong at its start, and whether it got so far."""
    standing = [ball for ball in before.balls if not ball.voided]
    program = (InLines if plain else OnScreen)(path, home)
    wrong, told = "", False
    try:
        if luck.random() < 0.2:
            time.sleep(luck.uniform(0.05, 1.5))
            return program.text, "", "", False
        mark = f"{len(standing)} ball{'s' if len(standing) != 1 else ''} restored" if standing else "free"
        program.started(mark)
        if not plain:
            program.terminal.until(f"{len(standing)} of 300")  # type: ignore[union-attr]
        told = True
        said = " ".join(program.text.split())
        for wanted in (before.setup, f"free, {before.in_block} of {BLOCK_BALLS}", f"{len(standing)} of 300"):
            if plain and wanted not in said:
                wrong = f"{wanted!r} was not taken up: {said[-600:]!r}"
        patient = luck.random() < 0.7
        for _ in range(luck.randint(0, 25)):
            program.act(luck, patient)
        time.sleep(luck.uniform(0.0, 0.03))
    except TimeoutError as problem:
        wrong = str(problem)
    finally:
        program.kill()
    return program.text, program.kept_setup(), wrong, told


def stood_as(ball: Ball, path_edits: list[tuple[str, str]]) -> set[str]:
    """How a ball is said, now and before each of its corrections."""
    said, now = {spoken.flight(ball)}, ball
    for name, old in reversed(path_edits):
        if name != "voided":
            now = corrections.apply(now, {name: corrections.stored(name, old)})
            said.add(spoken.flight(now))
    return said


def look(path: Path, text: str, setup: str, tally: Tally) -> tuple[str, Left]:
    """What is wrong with the book after a kill, and what the next start must take up."""
    with Book.open(path, read_only=True) as book:
        report = book.check()
        if not report.whole:
            return str(report), Left()
        session = book.last_session()
        assert session is not None
        balls = book.balls(session.id, include_voided=True)
        edits: dict[str, list[tuple[str, str]]] = {}
        for edit in book.edits(session_id=session.id):
            edits.setdefault(edit.ball_id, []).append((edit.field, edit.old))
        state = TeeState.from_rows({key: book.state(key) for key in STATE_KEYS})
        block = [block for block in book.blocks(session.id) if not block.ended_at]
    by_seq = {ball.seq: ball for ball in balls}
    hit = sum(not ball.voided and bool(block) and ball.block_id == block[-1].id for ball in balls)
    shown = f"bow {state.setup.bow:g}, grip {state.setup.grip:g}"
    resume = Left(balls, shown, hit)
    if len({ball.id for ball in balls}) != len(balls) or len(by_seq) != len(balls):
        return "a ball is doubled", resume
    for number, said in BALL.findall(text):
        tally.echoes += 1
        ball = by_seq.get(int(number))
        if ball is None:
            return f"ball {number} was echoed ({said}) and is not in the book", resume
        if said.removesuffix(" restored") not in stood_as(ball, edits.get(ball.id, [])):
            return f"ball {number} was echoed as {said!r}, it is {stood_as(ball, edits.get(ball.id, []))}", resume
    if setup:
        tally.setups += 1
        stated = spoken.setup(state.setup)
        if stated != setup:
            return f"the setup was echoed as {setup!r}, kept is {stated!r}", resume
    known = {ball.id for ball in balls}
    loose = [act for act in state.done if act.kind == "hit" and act.ref not in known]
    if loose:
        return f"undo speaks of balls that are not there: {loose[:2]}", resume
    return "", resume


def echoed_numbers(text: str) -> set[int]:
    """Numbers of the balls that were echoed."""
    return {int(number) for number, _ in BALL.findall(text)}


def run(folder: Path, count: int, seed: int, plain: bool, tell: Callable[[str], None] = lambda _: None) -> Tally:
    """So many kills on one book after another (a new one when a block is full); `tell` hears how far it is."""
    luck, tally = random.Random(seed), Tally()
    home = folder / "home"
    home.mkdir()
    books, path = 0, folder / "none"
    before = Left()
    ever: set[int] = set()
    for _ in range(count):
        if not path.exists() or before.in_block > BLOCK_BALLS - 60:
            tally.echoed += len(ever)
            tally.balls += len(before.balls)
            books, ever = books + 1, set()
            path = folder / f"book {books}.db"
            begin(path)
            before = Left()
        text, setup, wrong, told = one_round(path, home, luck, plain, before)
        tally.rounds += 1
        tally.resumed += told
        tally.while_starting += not told
        numbers = echoed_numbers(text)
        ever |= numbers
        fault, before = look(path, text, setup, tally)
        missing = ever - {ball.seq for ball in before.balls}
        for problem in (wrong, fault, f"echoed in earlier rounds, now missing: {sorted(missing)}" if missing else ""):
            if problem:
                tally.failures.append(f"round {tally.rounds}: {problem}")
        if tally.rounds % 20 == 0:
            tell(str(replace(tally, echoed=tally.echoed + len(ever), balls=tally.balls + len(before.balls))))
    tally.echoed += len(ever)
    tally.balls += len(before.balls)
    return tally


def main() -> int:
    """The command."""
    return command(
        __doc__, lambda folder, chosen: run(folder, chosen.count, chosen.seed, chosen.plain, tell=tell), count=50, seed=1, plain=False
    )


if __name__ == "__main__":
    sys.exit(main())
