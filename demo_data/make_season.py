"""Makes season.jsonl: six weeks of an invented player, driven through the real logbook with a fixed seed.

Nobody in it exists: the player, the coach's words and every ball come out of the small simulation below. Run it again and the
same file comes out:

    python demo_data/make_season.py
"""

from __future__ import annotations

import random
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from pathlib import Path

from rangelog.core.flight import Flight
from rangelog.core.scales import side_of
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Curve, Height, Strike
from rangelog.exchange.jsonl import export_jsonl
from rangelog.logbook import Logbook
from rangelog.logbook.archive import Archive

SEED = 20261014
HERE = Path(__file__).parent
ZONE = timezone(timedelta(hours=2))


@dataclass
class Clock:
    """Time as the script wants it."""

    time: datetime

    def __call__(self) -> datetime:
        self.time += timedelta(milliseconds=200)
        return self.time

    def wait(self, seconds: float) -> None:
        self.time += timedelta(seconds=seconds)


@dataclass
class Golfer:
    """The invented player: a line of straight combinations, a spread that is least near grip 30, and a strike that can suffer.

    Attributes:
        line_deg: start at bow 0, grip 30, open side positive.
        solid: chance of a solid strike.
    """

    random: random.Random
    line_deg: float = 5.6
    bow_deg: float = -2.5
    grip_deg: float = -2.4
    spread_deg: float = 2.4
    solid: float = 0.74
    day_deg: float = 0.0
    drift_deg: float = 0.0
    travels: float = 0.25

    def start(self, setup: Setup) -> float:
        bow, grip = setup.bow or 0.0, setup.grip or 0.0
        self.drift_deg += self.random.gauss(0.0, 0.06)
        spread = self.spread_deg * 1.08 ** (((grip - 30) / 15) ** 2)
        wild = self.random.random() < 0.03
        mean = self.line_deg + self.day_deg + self.drift_deg + self.bow_deg * bow + self.grip_deg * (grip - 30) / 10
        mean += 0.0 if setup.stick else 0.7
        mean -= 0.9 * setup.position_balls
        return mean + self.random.gauss(0.0, 9.0 if wild else spread)

    def strike(self) -> Strike:
        if self.random.random() < self.solid:
            return Strike.SOLID
        return self.random.choices([Strike.THIN, Strike.FAT, Strike.TOE, Strike.HEEL, Strike.TOP], [5, 4, 2, 2, 1])[0]

    def height(self, setup: Setup, strike: Strike, called: Height | None) -> Height:
        launch = 16.5 + 1.7 * (1 - self.travels) * setup.position_balls - 0.5 * (setup.bow or 0.0) + self.random.gauss(0.0, 1.8)
        launch += {Height.LOW: -2.4, Height.HIGH: 2.4}.get(called or Height.MID, 0.0)
        launch -= {Strike.THIN: 5.0, Strike.TOP: 9.0}.get(strike, 0.0)
        return Height.LOW if launch < 14 else Height.HIGH if launch > 18 else Height.MID


@dataclass
class Visit:
    """One session: who hits, and how the day goes."""

    log: Logbook
    golfer: Golfer
    clock: Clock
    numbers: bool = False
    pain: Callable[[int], int] = field(default=lambda _: 0)

    def forms(self) -> None:
        """Answers the forms that are due."""
        for _ in range(4):
            due = self.log.view().due
            if due == "kit":
                checks = ("aim_line", "ball_mark", "grip_marks", "stick", "mark_ahead")
                self.log.save_form("kit", {**dict.fromkeys(checks, "pass"), "bucket": 70})
            elif due == "body":
                self.log.save_form("body", dict.fromkeys(("pelvis", "nose", "side_tilt", "hands"), "pass"))
            elif due == "pain":
                level = self.pain(self.log.view().ball_number)
                self.log.save_form("pain", {"wrist": level, "elbow": 0, "back": 0, "other": 0, "sharp": False})
            else:
                return
            self.clock.wait(8)

    def balls(self, count: int) -> None:
        """Balls as the hint would have them, blocks included."""
        for _ in range(count):
            self.forms()
            hint = self.log.view().hint
            if hint is not None and (hint.setting is not None or hint.block is not None or hint.rule == "setup"):
                self.log.take_hint()
            self.hit()

    def block(self, kind: BlockKind, planned: int | None = None, count: int | None = None) -> None:
        """A block to its planned count, whatever the hint would propose next."""
        self.log.start_block(kind, planned)
        block = self.log.view().block
        assert block is not None
        for _ in range(count or block.planned):
            self.ball_in_block()

    def ball_in_block(self) -> None:
        """One ball inside a block: the setting moves only where the hint says so and proposes no other block."""
        self.forms()
        hint = self.log.view().hint
        if hint is not None and hint.block is None and (hint.setting is not None or hint.rule == "setup"):
            self.log.take_hint()
        self.hit()

    def hit(self) -> None:
        """One ball with the setup as it stands, keyed as a player would."""
        self.clock.wait(self.golfer.random.uniform(22, 50))
        setup = self.log.view().setup
        called = self.log.planned_ball().get("called")
        start = self.golfer.start(setup)
        strike = self.golfer.strike()
        self.log.hit(Flight(side_of(start), self.golfer.height(setup, strike, called)))
        self.clock.wait(1)
        self.log.amend(strike=strike)
        if self.numbers and strike is Strike.SOLID and abs(start) < 20:
            self.log.number(f"{start:+.1f}")
        if strike is Strike.SOLID and self.golfer.random.random() < 0.15:
            self.log.amend(curve=Curve.STRAIGHT if self.golfer.random.random() < 0.7 else Curve.LEFT)


def ids(seed: int) -> Callable[[], str]:
    """Ids from a seed, so that the file is the same each time."""
    source = random.Random(seed)
    return lambda: f"{source.getrandbits(128):032x}"


def season(path: Path) -> Iterator[str]:
    """Fills a book; says what each day was about."""
    clock = Clock(datetime(2026, 10, 12, 17, 30, tzinfo=ZONE))
    golfer = Golfer(random.Random(SEED))
    log = Logbook.open(path, now=clock, new_id=ids(SEED))
    log.first_start(code="Robin (invented)", hand="right", club_name="seven", loft_deg=32, ball_cap=70)
    log.revise_prescription(
        set_by="coach (invented)",
        text="Hands ahead at impact, half swings, stick on. Bow first, then grip. Stop when strike goes.",
        ball_cap=70,
    )
    log.load_model()

    def day(when: datetime, shift: float, *, solid: float = 0.74, surface: str = "mat", numbers: bool = False, stick: bool = True) -> Visit:
        clock.time = when
        golfer.day_deg, golfer.drift_deg, golfer.solid = shift, 0.0, solid
        log.start_session(surface=surface, swing="half", stick=stick, aim_line=True)
        return Visit(log, golfer, clock, numbers)

    visit = day(datetime(2026, 10, 12, 17, 30, tzinfo=ZONE), 0.0)
    visit.block(BlockKind.WARM_UP)
    visit.block(BlockKind.BASELINE)
    visit.block(BlockKind.BOW_BRACKET, count=20)
    log.note("window clean, light wind from the left")
    log.end_session()
    yield "baseline and a bow bracket closing"

    visit = day(datetime(2026, 10, 16, 18, 5, tzinfo=ZONE), 0.9)
    visit.block(BlockKind.WARM_UP)
    visit.block(BlockKind.GRIP_BRACKET)
    log.relabel(2, grip=45, reason="forgot")
    log.undo()
    visit.block(BlockKind.CHOOSE)
    log.end_session()
    yield "the grip lever, and two combinations in turn"

    visit = day(datetime(2026, 10, 23, 17, 50, tzinfo=ZONE), -0.5, solid=0.8)
    visit.block(BlockKind.WARM_UP)
    visit.block(BlockKind.BOW_BRACKET, count=9)
    golfer.solid = 0.3
    visit.balls(14)
    log.note("thin and fat in turn, tired from work")
    log.end_session()
    yield "a strike problem: face hints pause"

    visit = day(datetime(2026, 10, 30, 17, 40, tzinfo=ZONE), 0.3, numbers=True)
    visit.block(BlockKind.WARM_UP)
    visit.block(BlockKind.BOW_BRACKET, count=8)
    confirm_at = log.view().picture.crossing
    assert confirm_at is not None
    log.set_setup(bow=round(confirm_at.bow * 2) / 2)
    visit.block(BlockKind.CONFIRM)
    log.end_session()
    yield "a confirm on fresh balls"

    visit = day(datetime(2026, 11, 6, 17, 30, tzinfo=ZONE), 0.4, surface="turf")
    visit.block(BlockKind.WARM_UP)
    visit.block(BlockKind.RETENTION)
    visit.block(BlockKind.LADDER)
    visit.block(BlockKind.TRAJECTORY)
    log.end_session()
    yield "a week later: retention first, then height"

    visit = day(datetime(2026, 11, 20, 17, 30, tzinfo=ZONE), -0.3)
    visit.block(BlockKind.WARM_UP)
    visit.block(BlockKind.STICK_OFF)
    log.add_club("nine", 41)
    other = next(club for club in log.clubs() if club.name == "nine")
    before = log.view().setup.club_id
    log.set_setup(club_id=other.id)
    visit.block(BlockKind.CARRY_OVER)
    log.set_setup(club_id=before)
    visit.block(BlockKind.RANDOM)
    log.end_session()
    yield "stick off, another club, random order"

    visit = day(datetime(2026, 11, 25, 17, 20, tzinfo=ZONE), 0.5, stick=True)
    visit.block(BlockKind.WARM_UP)
    log.start_block(BlockKind.BOW_BRACKET)
    for bow, count in ((0, 4), (4, 4), (2, 3), (3, 2)):
        log.set_setup(bow=bow, grip=30)
        for _ in range(count):
            visit.forms()
            visit.hit()
    log.note("new glove")
    log.close()
    yield "today, unfinished: both sides of a bracket closing in"


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "season.db"
        for line in season(path):
            print(line)
        with Archive.open(path, read_only=True) as archive:
            print(export_jsonl(archive, HERE / "season.jsonl").sentence())


if __name__ == "__main__":
    main()
