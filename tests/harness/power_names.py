"""Power cuts while a book is begun, brought forward, backed up or restored: at every write, sync, renaming and removal.

    python -m tests.harness.power_names --ways 4 --seed 1

Files and the names they have in a folder are told apart, as a disk does: what is in a file is sure once it was synced, a name is sure once
its folder was; of the rest any part may be found. Each disk that may be found is looked at with the log's own eyes: the book is whole, as
before or as after, or it is absent and the log says how to go on; a backup is whole; once the act was said to be done, it stays done.
"""

import random
import sqlite3
import sys
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from rangelog.core.errors import RangelogError
from rangelog.store import BookMissing, backup, migrations, opening, restoring
from rangelog.store.migrations import STEPS, Step
from tests.harness.beginning import command, tell
from tests.harness.power import Outcome, parts_of, with_acts
from tests.harness.recorder import Act, Recorder
from tests.store.makers import START, ball, furnish, open_book

WAYS = ("nothing", "everything", "torn", "some", "in order")
BALLS = 60
WIND = Step("2 wind", ("ALTER TABLE sessions ADD COLUMN wind_m_per_s REAL", "UPDATE sessions SET wind_m_per_s = 1.5"))


@dataclass(slots=True)
class Names:
    """A disk with files and names.

    Attributes:
        sure: what is surely in each file, by its number.
        asked: what was written to each since.
        now: the file of every name as the program sees it.
        kept: the names that are surely on the disk.
        moved: what was done to names since: name, its file (None where it is removed), and the name it had before.
    """

    sure: dict[int, bytes] = field(default_factory=dict)
    asked: dict[int, list[Act]] = field(default_factory=dict)
    now: dict[str, int] = field(default_factory=dict)
    kept: dict[str, int] = field(default_factory=dict)
    moved: list[tuple[str, int | None, str]] = field(default_factory=list)

    @classmethod
    def of(cls, folder: Path) -> "Names":
        """What lies in a folder now, all of it sure."""
        found = sorted(
            str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file() and path.suffix not in (".lock", ".holder")
        )
        names = {name: number for number, name in enumerate(found)}
        return cls({number: (folder / name).read_bytes() for name, number in names.items()}, {}, dict(names), dict(names))

    def do(self, act: Act) -> None:
        """Take one act."""
        name = act.name
        if act.what == "create":
            self.now[name] = number = len(self.sure)
            self.sure[number] = b""
            self.moved.append((name, number, ""))
        elif act.what in ("write", "truncate"):
            self.asked.setdefault(self.now[name], []).append(act)
        elif act.what == "sync":
            number = self.now[name]
            self.sure[number] = with_acts({"": self.sure[number]}, _unnamed(self.asked.pop(number, [])))[""]
            if name.endswith("-journal"):
                self._settle(lambda other: other == name)
        elif act.what in ("link", "rename"):
            old = act.data.decode()
            self.now[name] = number = self.now[old]
            if act.what == "rename":
                del self.now[old]
            self.moved.append((name, number, old if act.what == "rename" else ""))
        elif act.what in ("forget", "delete"):
            del self.now[name]
            self.moved.append((name, None, ""))
            if act.what == "delete":
                self._settle(lambda other: Path(other).parent == Path(name).parent)
        elif act.what == "sync folder":
            self._settle(lambda other: str(Path(other).parent) == name)

    def _settle(self, sure: Callable[[str], bool]) -> None:
        self.kept = _renamed(self.kept, [move for move in self.moved if sure(move[0])])
        self.moved = [move for move in self.moved if not sure(move[0])]

    def after_cut(self, way: str, luck: random.Random) -> dict[str, bytes]:
        """Files as they may be found."""
        upto = luck.randint(0, len(self.moved))
        moves = {
            "nothing": [],
            "everything": self.moved,
            "in order": self.moved[:upto],
        }.get(way, [move for move in self.moved if luck.random() < 0.5])
        found = {}
        for name, number in _renamed(self.kept, moves).items():
            acts = _unnamed(self.asked.get(number, []))
            if way == "nothing":
                acts = []
            elif way != "everything":
                acts = [part for act in acts for part in parts_of(act, luck, torn=way == "torn")]
            found[name] = with_acts({"": self.sure[number]}, acts)[""]
        return found


def _unnamed(acts: list[Act]) -> list[Act]:
    return [Act(act.what, "", act.offset, act.data) for act in acts]


def _renamed(names: dict[str, int], moves: list[tuple[str, int | None, str]]) -> dict[str, int]:
    found = dict(names)
    for name, number, old in moves:
        if old:
            found.pop(old, None)
        if number is None:
            found.pop(name, None)
        else:
            found[name] = number
    return found


def whole(path: Path) -> tuple[int, int]:
    """Balls and schema version of a book that passes its check, as plain SQLite reads it. Raises ValueError or sqlite3.Error."""
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        verdict = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
        if verdict != "ok" or connection.execute("PRAGMA application_id").fetchone()[0] == 0:
            raise ValueError(f"{path.name}: {verdict}, or no book")
        balls = connection.execute("SELECT count(*) FROM balls").fetchone()[0]
        return balls, connection.execute("PRAGMA user_version").fetchone()[0]


def backups_are_whole(folder: Path) -> list[int]:
    """Balls of every backup that has its name; what has none yet does not count. Raises where one is half made."""
    found = sorted((folder / "backups").glob("book.db.*.db")) if (folder / "backups").is_dir() else []
    return [whole(path)[0] for path in found]


@dataclass(frozen=True, slots=True)
class Scene:
    """One act on a book, and what may be found after a cut within it or after it.

    Attributes:
        lay: makes the folder as it is before.
        act: what is cut.
        look: what is wrong with a folder that was found, given whether the act had been said to be done; empty where nothing is.
    """

    lay: Callable[[Path], None]
    act: Callable[[Path], None]
    look: Callable[[Path, bool], str]


def _nothing(_: Path) -> None:
    """An empty folder."""


def _filled(path: Path) -> None:
    with open_book(path, daily_backup=False) as book:
        furnish(book, BALLS)


def _goes_on(path: Path, balls: int) -> str:
    """The log opens what was found, takes a ball and reads it back."""
    with open_book(path, daily_backup=False) as book:
        if book.read_only or book.total_balls() != balls:
            return f"opened with {book.total_balls()} of {balls} balls, {book.read_only_reason}"
        if balls:
            book.add_ball(ball(1000))
            return "" if book.total_balls() == balls + 1 else "it takes no ball"
    return ""


def _begun(path: Path, said: bool) -> str:
    if said and not path.exists():
        return "a book that was begun is gone"
    if path.exists():
        whole(path)
    return _goes_on(path, 0)


def _bring_forward(path: Path) -> None:
    with _steps((*STEPS, WIND)):
        open_book(path, daily_backup=False).close()


@contextmanager
def _steps(steps: tuple[Step, ...]) -> Iterator[None]:
    before, migrations.STEPS = migrations.STEPS, steps
    try:
        yield
    finally:
        migrations.STEPS = before


def _forward(path: Path, said: bool) -> str:
    balls, version = whole(path)
    kept = backups_are_whole(path.parent)
    if balls != BALLS or (said and version != 2):
        return f"{balls} balls at schema {version}"
    if version == 2 and kept != [BALLS]:
        return f"brought forward without a backup: {kept}"
    with _steps((*STEPS, WIND)):
        return _goes_on(path, BALLS)


def _with_morning_backup(path: Path) -> None:
    _filled(path)
    with open_book(path, daily_backup=False) as book:
        book.backup()
        book.add_balls(ball(seq) for seq in range(BALLS + 1, BALLS + 21))


def _back_up(path: Path) -> None:
    with open_book(path, daily_backup=False) as book:
        book.backup()


def _backed_up(path: Path, said: bool) -> str:
    kept = backups_are_whole(path.parent)
    if kept not in ([BALLS + 20],) if said else kept not in ([BALLS], [BALLS + 20]):
        return f"backups of {kept} balls"
    return _goes_on(path, BALLS + 20)


def _spoilt(path: Path) -> None:
    _with_morning_backup(path)
    path.write_bytes(b"spoilt" * 3000)


def _restore(path: Path) -> None:
    newest = backup.newest_good(path)
    assert newest is not None
    restoring.restore(newest.path, path, now=START, move_old_aside=True)


def _restored(path: Path, said: bool) -> str:
    if backups_are_whole(path.parent) != [BALLS]:
        return "the backup itself has suffered"
    spoilt = [found for found in path.parent.glob("*.db") if found.read_bytes().startswith(b"spoilt")]
    if len(spoilt) != 1:
        return f"the file that was there is found {len(spoilt)} times"
    if said and spoilt == [path]:
        return "a restored book is the old one again"
    if not path.exists():
        try:
            open_book(path)
        except BookMissing as error:
            if "backup --restore newest" not in error.next_step:
                return f"absent without an offer: {error}"
        else:
            return "a new book was begun in place of one that can be restored"
    if spoilt == [path] or not path.exists():
        _restore(path)
    return _goes_on(path, BALLS)


SCENES = {
    "begin": Scene(_nothing, lambda path: open_book(path, daily_backup=False).close(), _begun),
    "bring forward": Scene(_filled, _bring_forward, _forward),
    "back up": Scene(_with_morning_backup, _back_up, _backed_up),
    "restore": Scene(_spoilt, _restore, _restored),
}


@contextmanager
def _unsynced() -> Iterator[None]:
    """Looking at what was found need not last."""
    before = opening._PRAGMAS
    opening._PRAGMAS = (*before, "synchronous = OFF")
    try:
        yield
    finally:
        opening._PRAGMAS = before


def cut_everywhere(folder: Path, scene: str, ways: int, seed: int) -> Outcome:
    """Record one act and cut it at every point, `ways` ways at each (turn by turn)."""
    luck, outcome, chosen = random.Random(seed), Outcome(), SCENES[scene]
    root, target = folder / "recorded", folder / "found"
    root.mkdir()
    chosen.lay(root / "book.db")
    disk = Names.of(root)
    with Recorder(root).installed() as recorder:
        chosen.act(root / "book.db")
        recorder.say("done")
    said = False
    for place, act in enumerate([*recorder.acts, Act("end", "")]):
        for turn in range(len(WAYS) if said else ways):
            way = WAYS[(place + turn) % len(WAYS)]
            _lay(target, disk.after_cut(way, luck))
            with _unsynced():
                try:
                    wrong = chosen.look(target / "book.db", said)
                except (sqlite3.Error, RangelogError, ValueError, OSError) as error:
                    wrong = f"{type(error).__name__}: {error}"
            outcome.trials += 1
            if wrong:
                outcome.failures.append(f"{scene}, before act {place} ({act.what} {act.name}), {way}: {wrong}")
        outcome.points += 1
        outcome.syncs += act.what in ("sync", "delete", "sync folder")
        said = said or act.what == "said"
        disk.do(act)
    return outcome


def _lay(target: Path, found: dict[str, bytes]) -> None:
    for left in sorted(target.rglob("*"), reverse=True) if target.exists() else ():
        if left.is_file():
            left.unlink()
    for name, data in found.items():
        (target / name).parent.mkdir(parents=True, exist_ok=True)
        (target / name).write_bytes(data)
    target.mkdir(exist_ok=True)


def every_scene(folder: Path, ways: int, seed: int) -> Outcome:
    """All scenes, each in a folder of its own, and what they came to together."""
    together = Outcome()
    for scene in SCENES:
        (folder / scene).mkdir()
        outcome = cut_everywhere(folder / scene, scene, ways, seed)
        tell(f"{scene}: {outcome}")
        together.add(outcome)
    return together


def main() -> int:
    """The command."""
    return command(__doc__, lambda folder, chosen: every_scene(folder, chosen.ways, chosen.seed), ways=4, seed=1)


if __name__ == "__main__":
    sys.exit(main())
