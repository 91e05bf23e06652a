"""Small invented books to be written out, read back and merged."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from rangelog.core.ball import Ball
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.session import Block, Edit, Form, Session
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Curve, Hand, Height, Reason, Side, Strike, Surface, Swing
from rangelog.logbook.archive import Archive

AT = "2026-05-04T17:00:00+02:00"


@pytest.fixture
def new_book(tmp_path: Path) -> Iterator[Callable[..., Archive]]:
    """Makes empty books by name; every book is closed at the end."""
    archives: list[Archive] = []

    def make(name: str) -> Archive:
        archives.append(Archive.take(tmp_path / f"{name}.book", daily_backup=False))
        return archives[-1]

    yield make
    for archive in archives:
        archive.close()


@pytest.fixture
def filled(new_book: Callable[..., Archive]) -> Callable[..., Archive]:
    """Makes books that hold one row of every kind, and a session of their own."""

    def make(name: str = "full", hand: Hand = Hand.RIGHT, player_id: str = "player-1", session: str = "s1", day: int = 4) -> Archive:
        archive = new_book(name)
        archive.save_player(Player(player_id, "anna", hand, hand.other))
        archive.add_club(Club("c1", "iron", 28.0))
        archive.add_club(Club("c2", "=wedge", None))
        archive.add_prescription(Prescription("rx1", made_at=AT, club_id="c1", text='hands ahead; "quoted", über', wrist_limit_bow=3.0))
        at = f"2026-05-{day:02d}T17:00:00+02:00"
        archive.start_session(Session(session, at, at, surface=Surface.TURF, note="-cold"))
        archive.start_block(
            Block(f"{session}b", session, 1, BlockKind.BASELINE, 10, at, at, seed=5, plan='{"order":[1,2]}', outcome="done")
        )
        archive.add_balls(
            [
                Ball(f"{session}-1", session, 1, at, Setup(0.0, 30.0, club_id="c1"), f"{session}b", "rx1", Side.RIGHT, note="=SUM(A1)"),
                Ball(
                    f"{session}-2",
                    session,
                    2,
                    at,
                    Setup(1.5, 45.0, -0.25, "c2", Swing.FULL, stick=False, surface=Surface.TURF, aim_line=False),
                    f"{session}b",
                    "rx1",
                    start_deg=-5.1,
                    height=Height.LOW,
                    launch_deg=14.2,
                    apex_m=9.0,
                    strike=Strike.THIN,
                    curve=Curve.LEFT,
                    touched=True,
                    felt_bow=2.0,
                    comfort=4,
                    called=Height.HIGH,
                    target="left post",
                    aim_correction_deg=1.5,
                    note='line one\nline two, "quoted" \'apostrophe',
                ),
                Ball(f"{session}-3", session, 3, at, Setup(), counted=False, reason=Reason.SETUP_UNKNOWN, side=Side.ON_LINE),
                Ball(f"{session}-4", session, 4, at, Setup(2.0, 30.0), side=Side.FAR_LEFT, voided=True),
            ]
        )
        archive.add_form(Form(f"{session}f", session, "pain", at, 2, {"wrist": 1, "sharp": False, "note": None}))
        archive.edit_balls([Edit(f"{session}e", f"{session}-1", "bow", "0.0", "1.0", at, "forgot", "g1")])
        archive.save_state({"setup": {"bow": 1.0}})
        return archive

    return make
