"""The columns of a book give the same tallies, filters and edges as its balls one by one."""

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from rangelog.core.ball import Ball
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.results import Setting
from rangelog.core.session import Block, Session
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Height, Reason, Side, Strike, Surface, Swing
from rangelog.logbook import review
from rangelog.logbook.archive import Archive
from rangelog.logbook.review import Filter, Tally
from rangelog.logbook.review_model import model_review

KINDS = (BlockKind.WARM_UP, BlockKind.BASELINE, BlockKind.CONFIRM, BlockKind.LADDER, None)


def invented(rng: random.Random, seq: int, session: str, block: str) -> Ball:
    setup = Setup(
        rng.choice([None, 0.0, 1.5, 2.0]),
        rng.choice([30.0, 37.5, 45.0]),
        rng.choice([0.0, 0.0, 0.0, 0.25]),
        rng.choice(["", "c1", "c2"]),
        rng.choice(list(Swing)),
        rng.random() < 0.6,
        rng.choice(list(Surface)),
    )
    counted = rng.random() < 0.8
    return Ball(
        f"{session}-{seq}",
        session,
        seq,
        f"{session}T17:00:00+02:00",
        setup,
        block,
        "rx",
        side=rng.choice([None, *Side]),
        # edges and their neighbours, since an edge belongs to the inner class
        start_deg=rng.choice([None, None, 2.0, -2.0, 6.0, -6.0, 2.1, 7.0, round(rng.gauss(0, 4), 2)]),
        height=rng.choice([None, *Height]),
        launch_deg=rng.choice([None, 14.5, 18.0]),
        strike=rng.choice([None, *Strike]),
        touched=rng.random() < 0.1,
        felt_bow=rng.choice([None, 0.0, 2.0]),
        comfort=rng.choice([None, 3, 5]),
        target=rng.choice(["", "post"]),
        counted=counted,
        reason=None if counted else rng.choice(list(Reason)),
        voided=rng.random() < 0.1,
        aim_correction_deg=rng.choice([0.0, 0.0, 1.0]),
    )


@pytest.fixture
def book(tmp_path: Path) -> Iterator[tuple[Archive, list[tuple[Ball, BlockKind | None]]]]:
    """An invented book and its balls with the kind of their block."""
    rng = random.Random(7)
    balls: list[tuple[Ball, BlockKind | None]] = []
    with Archive.take(tmp_path / "a.book", daily_backup=False) as archive:
        archive.save_player(Player("p", "anna"))
        archive.add_club(Club("c1", "iron", 28.0))
        archive.add_club(Club("c2", "wedge"))
        archive.add_prescription(Prescription("rx", club_id="c1", ball_cap=60, wrist_limit_bow=1.5))
        for day in (1, 3, 5):
            session = f"2026-05-{day:02d}"
            archive.start_session(Session(session, f"{session}T17:00:00+02:00"))
            made, seq = [], 0
            for number, kind in enumerate(KINDS, start=1):
                block = f"{session}-{number}" if kind else ""
                if kind:
                    archive.start_block(Block(block, session, number, kind, started_at=f"{session}T17:00:00+02:00"))
                for _ in range(25):
                    seq += 1
                    made.append(invented(rng, seq, session, block))
                    balls.append((made[-1], kind))
            archive.add_balls(made)
        yield archive, balls


FILTERS = [
    Filter(),
    Filter(counted=None),
    Filter(counted=False),
    Filter(since="2026-05-02"),
    Filter(until="2026-05-03"),
    Filter(since="2026-05-02", until="2026-05-04"),
    Filter(session_id="2026-05-05"),
    Filter(clubs=frozenset({"c1"})),
    Filter(clubs=frozenset({"c1", "c2"}), surface=Surface.TURF),
    Filter(stick=False, swing=Swing.FULL),
    Filter(blocks=frozenset({BlockKind.CONFIRM, BlockKind.WARM_UP})),
    Filter(blocks=frozenset({BlockKind.FREE})),
]


def close(one: Tally, other: Tally) -> None:
    assert (one.n, one.sides, one.classed, one.bins, one.numbers) == (other.n, other.sides, other.classed, other.bins, other.numbers)
    assert (one.strikes, one.heights, one.launches) == (other.strikes, other.heights, other.launches)
    # the columns hold single precision
    assert (one.total, one.squares) == pytest.approx((other.total, other.squares), rel=1e-5, abs=1e-4)
    assert (one.launch_total, one.launch_squares) == pytest.approx((other.launch_total, other.launch_squares), rel=1e-5)


@pytest.mark.parametrize("chosen", FILTERS, ids=lambda chosen: chosen.text())
def test_columns_and_balls_tell_the_same(book: tuple[Archive, list[tuple[Ball, BlockKind | None]]], chosen: Filter) -> None:
    archive, balls = book
    table = archive.table()
    mask = table.chosen(chosen)
    kept = [ball for ball, kind in balls if chosen.keeps(ball, kind, ball.session_id)]
    assert int(mask.sum()) == len(kept)
    keys = ("surface", "stick", "club", "session")
    found = table.tallies(keys, mask)
    wanted = review.tally(kept, lambda ball: (ball.setup.surface, ball.setup.stick, ball.setup.club_id, ball.session_id))
    assert found.keys() == wanted.keys()
    for key, tally in wanted.items():
        close(found[key], tally)


def test_settings_leave_out_balls_without_a_setup_and_away_from_stock(book: tuple[Archive, list[tuple[Ball, BlockKind | None]]]) -> None:
    archive, balls = book
    table = archive.table()
    found = table.settings(table.chosen(Filter()), 2.0, 6.0)
    wanted = review.tally([ball for ball, kind in balls if Filter().keeps(ball, kind)], review.by_setting)
    assert found.keys() == wanted.keys()
    for setting, tally in wanted.items():
        close(found[setting], tally)
    at_one = table.at(Setting(1.5, 37.5))
    assert int((at_one & table.chosen(Filter())).sum()) == wanted[Setting(1.5, 37.5)].n


def test_felt_bows_are_counted_with_what_was_seen(book: tuple[Archive, list[tuple[Ball, BlockKind | None]]]) -> None:
    archive, balls = book
    table = archive.table()
    found = table.felt(table.chosen(Filter()), 2.0, 6.0)
    kept = [ball for ball, kind in balls if Filter().keeps(ball, kind) and ball.felt_bow is not None and ball.setup.bow is not None]
    assert sum(found.values()) == len(kept)


def test_a_table_since_a_date_holds_only_those_sessions(book: tuple[Archive, list[tuple[Ball, BlockKind | None]]]) -> None:
    archive, balls = book
    assert len(archive.table("2026-05-03")) == sum(not ball.voided for ball, _ in balls if ball.session_id >= "2026-05-03")


def test_an_empty_book_has_an_empty_table(tmp_path: Path) -> None:
    with Archive.take(tmp_path / "empty.book", daily_backup=False) as archive:
        table = archive.table()
        assert len(table) == 0
        assert table.tallies(("bow",), table.chosen(Filter(since="2026-01-01"))) == {}
        assert table.settings(table.chosen(Filter(clubs=frozenset({"c"}), blocks=frozenset({BlockKind.FREE}))), 2.0, 6.0) == {}


def test_what_was_done_under_a_prescription_is_counted(book: tuple[Archive, list[tuple[Ball, BlockKind | None]]]) -> None:
    archive, balls = book
    asked = archive.prescription()
    assert asked is not None
    done = archive.done_under(asked, pain=2)
    standing = [ball for ball, _ in balls if not ball.voided]
    assert (done.balls, done.sessions, done.over_cap, done.pain) == (len(standing), 3, 3, 2)
    assert done.with_club == sum(ball.setup.club_id == "c1" for ball in standing)
    assert done.above_limit == sum((ball.setup.bow or 0) > 1.5 for ball in standing)


def test_the_model_answers_for_a_book_and_stays_silent_for_an_empty_one(
    book: tuple[Archive, list[tuple[Ball, BlockKind | None]]], tmp_path: Path
) -> None:
    archive, _ = book
    found = model_review(archive, Player("p"), Prescription("rx"), "c1")
    assert found is not None
    assert found.setup.club_id == "c1"
    assert {point.grip for point in found.line} <= {30.0, 37.5, 45.0}
    with Archive.take(tmp_path / "empty.book", daily_backup=False) as empty:
        assert model_review(empty, Player("p"), Prescription("rx")) is None
