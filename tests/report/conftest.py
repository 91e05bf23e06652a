"""An invented player's book: a baseline, a bracket, a choice, a confirm, and a week later a retention test."""

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from rangelog.core.ball import Ball
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.session import Block, Form, Session
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Hand, Reason, Side, Strike
from rangelog.logbook.archive import Archive

START = datetime.fromisoformat("2026-05-04T17:00:00+02:00")
CLUB = Club("club-28", "iron", 28.0)
SIDES = {"L": Side.FAR_LEFT, "l": Side.LEFT, "o": Side.ON_LINE, "r": Side.RIGHT, "R": Side.FAR_RIGHT}


class Story:
    """Writes invented balls into a book, block by block."""

    def __init__(self, archive: Archive, player: Player, prescription: Prescription) -> None:
        self.archive = archive
        archive.save_player(player)
        archive.add_club(CLUB)
        archive.add_prescription(prescription)
        self.prescription = prescription
        self.session = ""
        self.at = START
        self.seq = 0
        self.blocks = 0

    def day(self, days: float) -> None:
        """A new session, days after the first."""
        self.at = START + timedelta(days=days)
        self.session, self.seq, self.blocks = f"session-{self.at:%m%d}", 0, 0
        self.archive.start_session(Session(self.session, self.at.isoformat(), self.at.isoformat()))

    def block(
        self,
        kind: BlockKind,
        bow: float,
        grip: float,
        sides: str = "",
        *,
        starts: tuple[float, ...] = (),
        solid: int = 0,
        stick: bool = True,
        drawn: bool = False,
        uncounted: int = 0,
        comfort: int | None = None,
        note: str = "",
    ) -> None:
        """One block at one setting: letters L l o r R, or degrees; the first `solid` balls are solid, the rest thin."""
        self.blocks += 1
        block = Block(f"{self.session}-block{self.blocks}", self.session, self.blocks, kind, started_at=self.at.isoformat(), outcome="done")
        self.archive.start_block(block)
        n = len(sides) or len(starts)
        balls = []
        for place in range(n):
            self.seq += 1
            self.at += timedelta(seconds=40)
            counted = place >= uncounted
            balls.append(
                Ball(
                    f"{self.session}-{self.seq}",
                    self.session,
                    self.seq,
                    self.at.isoformat(),
                    Setup(bow, grip, club_id=CLUB.id, stick=stick),
                    block.id,
                    self.prescription.id,
                    side=SIDES[sides[place]] if sides else None,
                    start_deg=starts[place] if starts else None,
                    strike=Strike.SOLID if place < solid else Strike.THIN,
                    comfort=comfort,
                    target=f"post {place % 3}" if drawn else "",
                    counted=counted,
                    reason=None if counted else Reason.INTERRUPTED,
                    note=note,
                )
            )
        self.archive.add_balls(balls)

    def form(self, name: str, answers: dict[str, str | int | float | bool | None]) -> None:
        """Answers of one form, now."""
        form_id = f"{self.session}-{name}-{self.seq}"
        self.archive.add_form(Form(form_id, self.session, name, self.at.isoformat(), self.seq, answers))


def prescription(**changes: object) -> Prescription:
    """What an invented coach asked for."""
    values = {"made_at": START.isoformat(), "set_by": "coach", "text": "Hands ahead, then bow until it starts on line.", "club_id": CLUB.id}
    return Prescription("rx-1", **{**values, **changes})  # type: ignore[arg-type]


@pytest.fixture
def new_story(tmp_path: Path) -> Iterator[Callable[..., Story]]:
    """Makes empty books with an invented player; every book is closed at the end."""
    archives: list[Archive] = []

    def make(name: str = "anna", hand: Hand = Hand.RIGHT, **changes: object) -> Story:
        archive = Archive.take(tmp_path / f"{name}.book", daily_backup=False)
        archives.append(archive)
        return Story(archive, Player(f"player-{name}", name, hand, hand.other), prescription(**changes))

    yield make
    for archive in archives:
        archive.close()


@pytest.fixture
def season(new_story: Callable[..., Story]) -> Story:
    """The story of the confirmed combination that is met again a week later."""
    story = new_story()
    story.day(0)
    story.form("pain", {"wrist": 1, "elbow": 0, "back": 0, "other": 0, "sharp": False})
    story.form("body", {"pelvis": "pass", "nose": "not sure", "side_tilt": "pass", "hands": "pass"})
    story.block(BlockKind.WARM_UP, 0, 30, "rrr")
    story.block(BlockKind.BASELINE, 0, 30, "Rrrrrroool", solid=7)
    story.block(BlockKind.BOW_BRACKET, 0, 30, starts=(6.0, 4.5, 7.5, 4.0), solid=3)
    story.block(BlockKind.BOW_BRACKET, 4, 30, starts=(-3.0, -6.5, -4.0, -4.5), solid=3)
    story.day(3)
    story.block(BlockKind.CHOOSE, 2, 30, "oooooooooooooorrrrll", solid=10, comfort=3)
    story.block(BlockKind.CHOOSE, 1, 45, "ooooooooooooooorrrll", solid=18, comfort=4)
    story.block(BlockKind.CONFIRM, 1, 45, "ooooooooooooooorrrll", solid=17)
    story.day(10)
    story.block(BlockKind.RETENTION, 1, 45, "oooooorrrl", solid=7, stick=False, drawn=True)
    return story
