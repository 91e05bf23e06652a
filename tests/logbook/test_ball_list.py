"""Every ball of a book as a list."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale
from rangelog.core.flight import Flight
from rangelog.core.words import Reason, Side
from rangelog.logbook import Logbook
from rangelog.logbook.archive import Archive
from rangelog.logbook.ball_list import PAGE, BallList, Heading
from rangelog.logbook.showing import Showing
from tests.store.big import make_book


@pytest.fixture(scope="module")
def path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """400 invented balls over two years, some of them voided, some with notes."""
    return make_book(tmp_path_factory.mktemp("list") / "book.db", balls=400, years=2)


@pytest.fixture
def listed(path: Path) -> Iterator[BallList]:
    made = BallList(path)
    yield made
    made.close()


def test_the_list_is_every_ball_that_stands_under_its_session_newest_first(listed: BallList, path: Path) -> None:
    with Archive.look(path) as archive:
        wanted = [ball.id for ball in archive.window(0, 1000)]
    lines = [listed.line(at) for at in range(len(listed))]
    assert [line.id for line in lines if isinstance(line, Ball)] == wanted
    heads = [line for line in lines if isinstance(line, Heading)]
    assert [head.started_at for head in heads] == sorted((head.started_at for head in heads), reverse=True)
    assert sum(head.balls for head in heads) == listed.balls == len(wanted) > PAGE
    assert listed.line(-1) is None
    assert listed.line(len(listed)) is None


def test_a_heading_stands_above_its_own_balls(listed: BallList) -> None:
    under = ""
    for at in range(len(listed)):
        line = listed.line(at)
        assert line is not None
        if isinstance(line, Heading):
            under = line.session_id
        else:
            assert line.session_id == under


def test_the_filters_keep_what_they_say(listed: BallList) -> None:
    everything = listed.balls
    listed.counted = False
    listed.refresh()
    left_out = listed.balls
    assert 0 < left_out < everything
    assert all(not line.counted for at in range(len(listed)) if isinstance(line := listed.line(at), Ball))
    listed.counted = True
    listed.refresh()
    assert listed.balls == everything - left_out


def test_words_of_a_note_are_found_whatever_their_case(listed: BallList) -> None:
    listed.words = "NÄHER"
    listed.refresh()
    found = [line for at in range(len(listed)) if isinstance(line := listed.line(at), Ball)]
    assert found
    assert all("näher" in ball.note for ball in found)
    listed.words = "no such words"
    listed.refresh()
    assert (len(listed), listed.balls) == (0, 0)


def test_a_date_leads_to_the_newest_session_up_to_it(listed: BallList) -> None:
    dates = [line.started_at[:10] for at in range(len(listed)) if isinstance(line := listed.line(at), Heading)]
    for wanted, date in ((dates[2], dates[2]), ("2100", dates[0]), ("1999-01", dates[-1]), (dates[1][:7], dates[1])):
        line = listed.line(listed.place_of(wanted))
        assert isinstance(line, Heading)
        assert line.started_at[:10] == date


@pytest.mark.parametrize("typed", ["", "yesterday", "31.5.2026", "26", "2026-5-1-1", "2026/05"])
def test_what_is_no_date_is_refused(listed: BallList, typed: str) -> None:
    with pytest.raises(OffScale, match="A date is written"):
        listed.place_of(typed)


def test_a_ball_hit_meanwhile_and_its_history_are_there_after_a_refresh(tmp_path: Path) -> None:
    with Logbook.open(tmp_path / "book.db") as book:
        book.first_start(code="test", hand="right", club_name="iron", loft_deg=28.0)
        book.start_session()
        book.set_setup(bow=0.0, grip=30.0)
        made = BallList(book.path)
        assert len(made) == 0
        book.hit(Flight(Side.RIGHT))
        (ball,) = book.balls()
        book.edit_ball(ball.id, "side", "left", "mis-keyed")
        book.uncount(Reason.INTERRUPTED)
        made.refresh()
        line = made.line(1)
        assert isinstance(line, Ball)
        assert line == replace(ball, side=Side.LEFT, counted=False, reason=Reason.INTERRUPTED)
        first = made.history(ball.id)[0]
        assert (first.field, first.old, first.new, first.reason) == ("side", '"right"', '"left"', "mis-keyed")
        made.close()


def test_the_list_is_spoken_page_by_page_and_every_ball_once(listed: BallList, path: Path) -> None:
    pages = -(-len(listed) // 20)
    said = [listed.spoken(page) for page in range(1, pages + 1)]
    assert [page[0] for page in said] == [f"Page {page} of {pages}: {listed.balls} balls, counted or not." for page in range(1, pages + 1)]
    lines = [line for page in said for line in page[1:]]
    assert len(lines) == len(listed)
    assert sum(line.startswith("Ball ") for line in lines) == listed.balls
    assert sum(line.startswith("Session of ") for line in lines) == len(listed) - listed.balls
    with Archive.look(path) as archive:
        newest = archive.window(0, 1)[0]
    assert lines[1].startswith(f"Ball {newest.seq}: ")
    assert any("not counted, interrupted" in line for line in lines)
    assert any(". Note: " in line for line in lines)
    assert listed.spoken(0) == said[0]
    assert listed.spoken(pages + 9) == said[-1]


def test_spoken_degrees_have_the_players_sign_and_notes_their_own(path: Path, listed: BallList) -> None:
    kept = [line for page in range(1, 30) for line in listed.spoken(page)]
    comma = [line for page in range(1, 30) for line in listed.spoken(page, showing=Showing(comma=True))]
    at = next(at for at, line in enumerate(kept) if ".5 left" in line)
    assert comma[at] == kept[at].replace(".5 left", ",5 left")


def test_an_empty_list_says_so(tmp_path: Path) -> None:
    Archive.take(tmp_path / "empty.book", daily_backup=False).close()
    empty = BallList(tmp_path / "empty.book")
    assert empty.spoken(1) == ("Page 1 of 1: 0 balls, counted or not.",)
    empty.close()
