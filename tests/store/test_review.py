"""Balls by filter and in windows, against plain Python over the same balls."""

import random
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from rangelog.core.words import BlockKind, Surface, Swing
from rangelog.store import Book
from rangelog.store.review import BallFilter
from tests.store.big import make_book
from tests.store.makers import ball, edit, furnish, open_book, rows


@pytest.fixture(scope="module")
def big(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_book(tmp_path_factory.mktemp("big") / "big.db", 1_000, years=1, seed=3)


@pytest.fixture
def book(big: Path) -> Iterator[Book]:
    with open_book(big, read_only=True) as opened:
        yield opened


FILTERS = {
    "all": BallFilter(),
    "voided too": BallFilter(include_voided=True),
    "club": BallFilter(club_id="club-1"),
    "no club": BallFilter(club_id=""),
    "stick off": BallFilter(stick=False),
    "turf": BallFilter(surface=Surface.TURF),
    "half swing": BallFilter(swing=Swing.HALF),
    "not counted": BallFilter(counted=False),
    "stated": BallFilter(stated=True),
    "dates": BallFilter(date_from="2021-05-01", date_to="2021-09-30"),
    "block": BallFilter(block_kind=BlockKind.CONFIRM),
    "session": BallFilter(session_id="session-000003"),
    "many": BallFilter(club_id="club-1", stick=True, counted=True, date_from="2021-04-01", block_kind=BlockKind.RANDOM),
}


def by_hand(book: Book, chosen: BallFilter) -> list[str]:
    kinds = {block.id: block.kind for session in book.sessions() for block in book.blocks(session.id)}
    found = []
    for session in book.sessions(newest_first=False):
        for hit in book.balls(session.id, include_voided=True):
            day = session.started_at[:10]
            fits = (
                (chosen.include_voided or not hit.voided)
                and (chosen.date_from is None or day >= chosen.date_from)
                and (chosen.date_to is None or day <= chosen.date_to)
                and (chosen.session_id is None or hit.session_id == chosen.session_id)
                and (chosen.club_id is None or hit.setup.club_id == chosen.club_id)
                and (chosen.surface is None or hit.setup.surface == chosen.surface)
                and (chosen.stick is None or hit.setup.stick == chosen.stick)
                and (chosen.swing is None or hit.setup.swing == chosen.swing)
                and (chosen.block_kind is None or kinds[hit.block_id] == chosen.block_kind)
                and (chosen.counted is None or hit.counted == chosen.counted)
                and (chosen.stated is None or hit.setup.stated == chosen.stated)
            )
            if fits:
                found.append(hit.id)
    return found


@pytest.mark.parametrize("name", FILTERS)
def test_a_filter_finds_what_plain_python_finds(book: Book, name: str) -> None:
    chosen = FILTERS[name]
    wanted = by_hand(book, chosen)
    assert [hit.id for hit in book.each_ball(chosen)] == wanted
    assert book.matching(chosen) == len(wanted)
    assert [hit.id for hit in book.window(0, 2_000, chosen)] == wanted[::-1]
    assert name == "no club" or wanted


def test_any_window_is_that_part_of_the_list(book: Book) -> None:
    luck = random.Random(1)
    wanted = by_hand(book, BallFilter())
    for _ in range(60):
        offset, limit = luck.randrange(0, 1_100), luck.randrange(0, 150)
        assert [hit.id for hit in book.window(offset, limit, newest_first=False)] == wanted[offset : offset + limit]
        assert [hit.id for hit in book.window(offset, limit)] == wanted[::-1][offset : offset + limit]


def test_a_window_follows_every_change_at_once(tmp_path: Path) -> None:
    path = make_book(tmp_path / "book.db", 70, seed=1)
    with open_book(path, daily_backup=False) as book, open_book(path, read_only=True) as other:
        before = len(book.window(0, 100)), len(other.window(0, 100))
        book.add_ball(ball(61, "session-000001", id="new", setup=ball(1).setup.__class__()))
        assert (len(book.window(0, 100)), len(other.window(0, 100))) == (before[0] + 1, before[1] + 1)
        book.edit_balls([edit(1, "new", "voided", "false", "true")])
        assert (len(book.window(0, 100)), len(other.window(0, 100))) == before


def test_notes_are_found_whatever_their_case(book: Book, big: Path) -> None:
    wanted = [note for (note,) in rows(big, "SELECT note FROM balls WHERE note = 'new glove' AND NOT voided")]
    assert len(wanted) > 0
    assert [hit.note for hit in book.find_notes("GLOVE")] == wanted
    assert book.find_notes("50% [/b] 'quote'") == []
    assert len(book.find_notes("e", limit=2)) == 2


def test_notes_in_any_script_are_found(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book).add_balls([ball(1, note="Näher stehen"), ball(2, note="ПОЛЕ"), ball(3, note="näher", voided=True)])
        assert [hit.seq for hit in book.find_notes("NÄHER")] == [1]
        assert [hit.seq for hit in book.find_notes("поле")] == [2]


def test_counts_of_all_sessions_come_in_one_look(book: Book) -> None:
    counts = book.session_counts(newest_first=False)
    assert [count.session for count in counts] == book.sessions(newest_first=False)
    assert book.session_counts(limit=2) == counts[:-3:-1]
    assert book.session_counts(newest_first=False, limit=1) == counts[:1]
    assert sum(count.balls for count in counts) == book.matching()
    assert sum(count.counted for count in counts) == book.matching(BallFilter(counted=True))


def test_the_large_book_is_whole_and_always_the_same(tmp_path: Path, big: Path) -> None:
    with open_book(big, read_only=True) as book:
        assert book.check().whole
        assert book.total_balls() == 1_000
        sessions = book.sessions(newest_first=False)
        assert len(sessions) == 17
        newest = book.newest_time()
        assert newest is not None
        assert timedelta(days=300) < newest - newest.fromisoformat(sessions[0].started_at) < timedelta(days=400)
        again = make_book(tmp_path / "again.db", 1_000, years=1, seed=3)
        assert rows(again, "SELECT * FROM balls") == rows(big, "SELECT * FROM balls")
