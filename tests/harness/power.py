"""Cut the power at every point of the recorded writes and syncs, and look at what a disk may hold then.

    python -m tests.harness.power --balls 60 --ways 4 --seed 1

A book is written through a recording file layer. For every cut point the disk is rebuilt as a disk may leave it: what was synced is
there; of what was written since, nothing, all, or any part down to single sectors; a file made or removed since may be there or not.
Each time the book must open, pass its check, hold every ball that had been said, show nothing by halves, and never double a ball.
"""

import random
import sqlite3
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from rangelog.store import Book
from tests.harness.beginning import command
from tests.harness.recorder import Act, Recorder
from tests.store.makers import FORM, ball, edit, furnish, open_book

SECTOR = 512
WAYS = ("nothing", "everything", "torn", "some")


@dataclass(slots=True)
class Disk:
    """What is surely on the disk, and what is only asked of it yet."""

    sure: dict[str, bytes] = field(default_factory=dict)
    asked: list[Act] = field(default_factory=list)

    def do(self, act: Act) -> None:
        """Take one act."""
        if act.what == "sync":
            mine = [other for other in self.asked if other.name == act.name]
            self.asked = [other for other in self.asked if other.name != act.name]
            self.sure = with_acts(self.sure, mine)
        elif act.what == "delete":
            self.asked = [other for other in self.asked if other.name != act.name]
            self.sure.pop(act.name, None)
        elif act.what != "said":
            self.asked.append(act)

    def after_cut(self, way: str, luck: random.Random, last: Act | None = None) -> dict[str, bytes]:
        """Files as they may be found. `last` is a deletion that was under way."""
        if way == "nothing":
            chosen: list[Act] = []
        elif way == "everything":
            chosen = self.asked
        else:
            chosen = [part for act in self.asked for part in parts_of(act, luck, torn=way == "torn")]
        found = with_acts(dict(self.sure), chosen)
        if last is not None and last.what == "delete" and luck.random() < 0.5:
            found.pop(last.name, None)
        return found


def parts_of(act: Act, luck: random.Random, *, torn: bool) -> list[Act]:
    """What of an act came to the disk: all or nothing, or any of its sectors."""
    if act.what != "write" or not torn:
        return [act] if luck.random() < 0.5 else []
    pieces = range(0, len(act.data), SECTOR)
    return [Act("write", act.name, act.offset + at, act.data[at : at + SECTOR]) for at in pieces if luck.random() < 0.5]


def with_acts(files: dict[str, bytes], acts: Sequence[Act]) -> dict[str, bytes]:
    """Files after some acts."""
    changed = {act.name: bytearray(files.get(act.name, b"")) for act in acts}
    for act in acts:
        if act.what == "write":
            data = changed.setdefault(act.name, bytearray())
            data.extend(bytes(max(0, act.offset + len(act.data) - len(data))))
            data[act.offset : act.offset + len(act.data)] = act.data
        elif act.what == "truncate":
            del changed[act.name][act.offset :]
        elif act.what == "forget":
            changed.pop(act.name, None)
    gone = {act.name for act in acts if act.what == "forget"} - changed.keys()
    return {**{name: data for name, data in files.items() if name not in gone}, **{name: bytes(data) for name, data in changed.items()}}


def record(folder: Path, balls: int) -> tuple[dict[str, bytes], list[Act]]:
    """Write a book of so many balls; returns its file before the first of them, and everything asked of the disk since."""
    path = folder / "book.db"
    with open_book(path) as book:
        furnish(book).add_form(FORM)
    before = {path.name: path.read_bytes()}
    with Recorder().installed() as recorder, open_book(path, daily_backup=False) as book:
        for seq in range(1, balls + 1):
            _play(book, seq)
            recorder.say(str(seq))
    return before, recorder.acts


def _play(book: Book, seq: int) -> None:
    """One ball, and now and then what else is keyed with it."""
    book.add_ball(ball(seq, note="n" * (seq % 7) * 200), state={"last_seq": seq})
    if seq % 4 == 0:
        group = [edit(10 * seq + n, f"s1-ball-{seq - n}", "aim_correction_deg", "0.0", f"{float(seq)}", group=f"g{seq}") for n in range(3)]
        book.edit_balls(group)
    if seq % 10 == 0:
        book.merge_rows([{**next(book.rows_of("ball")), "id": f"m{seq}-{n}", "seq": 1000 * seq + n, "keyed_seq": None} for n in range(30)])


def wrong_with(path: Path, said: int) -> str:
    """What is wrong with a book after a cut, given the last ball that was said; empty where nothing is."""
    connection = sqlite3.connect(path, isolation_level=None)
    try:
        verdict = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
        if verdict != "ok":
            return str(verdict)
        if connection.execute("PRAGMA foreign_key_check").fetchall():
            return "a row without its parent"
        held = [seq for (seq,) in connection.execute("SELECT seq FROM balls WHERE id LIKE 's1-ball-%' ORDER BY seq")]
        state = connection.execute("SELECT value_json FROM state WHERE key = 'last_seq'").fetchone()
        if held not in (list(range(1, said + 1)), list(range(1, said + 2))):
            return f"said {said}, found {held[-3:]}"
        if held and (state is None or int(state[0]) != held[-1]):
            return f"ball {held[-1]} with state {state}"
        for group, size in connection.execute("SELECT group_id, count(*) FROM edits GROUP BY group_id").fetchall():
            if size != 3:
                return f"{size} of 3 edits of {group}"
        shown = connection.execute("SELECT count(*) FROM balls WHERE aim_correction_deg <> 0").fetchone()[0]
        if shown != connection.execute("SELECT count(DISTINCT ball_id) FROM edits").fetchone()[0]:
            return "edits and shown values differ"
        merged = connection.execute("SELECT count(*) FROM balls WHERE id LIKE 'm%'").fetchone()[0]
        return "" if merged % 30 == 0 else f"{merged} merged balls"
    except sqlite3.Error as error:
        return str(error)
    finally:
        connection.close()


@dataclass(slots=True)
class Outcome:
    """What the cuts came to."""

    points: int = 0
    syncs: int = 0
    trials: int = 0
    failures: list[str] = field(default_factory=list)

    def add(self, other: "Outcome") -> None:
        """Count another's in."""
        self.points, self.syncs, self.trials = self.points + other.points, self.syncs + other.syncs, self.trials + other.trials
        self.failures += other.failures

    def __str__(self) -> str:
        return f"{self.points} cut points ({self.syncs} syncs), {self.trials} disks looked at, {len(self.failures)} failures"


def cut_everywhere(folder: Path, balls: int, ways: int, seed: int) -> Outcome:
    """Record a book and cut after every act, `ways` ways at each point (turn by turn)."""
    luck, outcome = random.Random(seed), Outcome()
    (folder / "recorded").mkdir()
    before, acts = record(folder / "recorded", balls)
    disk, said = Disk(before), 0
    target = folder / "found"
    target.mkdir()
    for place, act in enumerate(acts):
        under_way = act if act.what == "delete" else None
        for turn in range(ways):
            way = WAYS[(place + turn) % len(WAYS)]
            found = disk.after_cut(way, luck, under_way)
            for left in target.iterdir():
                left.unlink()
            for name, data in found.items():
                (target / name).write_bytes(data)
            wrong = wrong_with(target / "book.db", said)
            outcome.trials += 1
            if wrong:
                outcome.failures.append(f"before act {place} ({act.what} {act.name}), {way}: {wrong}")
        outcome.points += 1
        outcome.syncs += act.what in ("sync", "delete")
        disk.do(act)
        said = int(act.name) if act.what == "said" else said
    return outcome


def main() -> int:
    """The command."""
    return command(__doc__, lambda folder, chosen: cut_everywhere(folder, chosen.balls, chosen.ways, chosen.seed), balls=60, ways=4, seed=1)


if __name__ == "__main__":
    sys.exit(main())
