"""Damaged, foreign and empty files: detected, told in one line, and not a byte of them changed."""

import hashlib
import os
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog.store import (
    BackupRefused,
    BookDamaged,
    BookElsewhere,
    BookEmpty,
    BookMissing,
    BookNewer,
    NotABook,
    StoreError,
)
from rangelog.store.check import Gap, about_rows, check
from rangelog.store.restoring import move_aside
from rangelog.store.salvage import salvage
from tests.store.makers import START, ball, edit, furnish, open_book, rows, tamper

PAGE = 4096


@pytest.fixture
def path(tmp_path: Path) -> Path:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 300)
        book.edit_balls([edit(1, "s1-ball-7", "side", '"right"', '"left"')])
    return tmp_path / "book.db"


def foreign_database(path: Path) -> None:
    path.unlink()
    connection = sqlite3.connect(path)
    connection.execute("CREATE TABLE balls (id TEXT)")
    connection.commit()
    connection.close()


SPOILT: dict[str, tuple[Callable[[Path], object], type[StoreError]]] = {
    "zero bytes": (lambda path: path.write_bytes(b""), BookEmpty),
    "text": (lambda path: path.write_text("my swing thoughts\n" * 50), NotABook),
    "zeros": (lambda path: path.write_bytes(bytes(20 * PAGE)), NotABook),
    "one byte": (lambda path: path.write_bytes(b"S"), NotABook),
    "picture": (lambda path: path.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(5000)), NotABook),
    "database of another program": (foreign_database, NotABook),
    "truncated": (lambda path: os.truncate(path, path.stat().st_size // 2), BookDamaged),
    "truncated in mid page": (lambda path: os.truncate(path, 5 * PAGE + 77), BookDamaged),
    "header only": (lambda path: os.truncate(path, 100), StoreError),
    "newer version": (lambda path: tamper(path, "PRAGMA user_version = 99"), BookNewer),
    "newer step": (
        lambda path: tamper(path, "INSERT INTO _sqlite_migrations (migration_set, name, applied_at) VALUES ('rangelog', '9 dreams', '')"),
        BookNewer,
    ),
}


@pytest.mark.parametrize("how", SPOILT)
def test_a_spoilt_file_is_refused_and_not_touched(path: Path, how: str) -> None:
    spoil, expected = SPOILT[how]
    spoil(path)
    before = path.read_bytes()
    for options in ({}, {"read_only": True}, {"create": False}):
        with pytest.raises(expected) as caught:
            open_book(path, **options)
        assert caught.value.title
        assert caught.value.next_step
        assert "\n" not in str(caught.value)
        assert path.read_bytes() == before
    assert sorted(found.name for found in path.parent.iterdir()) == ["book.db", "book.db.lock"]


def test_a_file_that_is_refused_is_let_go(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    made, connect = [], sqlite3.connect

    def noted(*words: object, **options: object) -> sqlite3.Connection:
        made.append(connect(*words, **options))  # type: ignore[call-overload]
        return made[-1]

    path.write_text("my swing thoughts\n" * 50)
    monkeypatch.setattr("rangelog.store.opening.sqlite3.connect", noted)
    with pytest.raises(NotABook):
        open_book(path)
    assert made
    for connection in made:
        with pytest.raises(sqlite3.ProgrammingError, match="closed"):
            connection.execute("SELECT 1")


def test_a_folder_in_place_of_a_book_is_refused(tmp_path: Path) -> None:
    with pytest.raises(NotABook):
        open_book(tmp_path)


@pytest.mark.parametrize("name", ["x" * 300, "nul\0inside"])
def test_a_name_that_cannot_be_is_refused(tmp_path: Path, name: str) -> None:
    with pytest.raises(BookElsewhere):
        open_book(tmp_path / name)


def test_a_loop_of_links_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a").symlink_to(tmp_path / "b")
    (tmp_path / "b").symlink_to(tmp_path / "a")
    with pytest.raises(StoreError):
        open_book(tmp_path / "a")


def test_an_empty_book_offers_its_newest_good_backup(path: Path) -> None:
    with open_book(path) as book:
        kept = book.backup()
    path.write_bytes(b"")
    with pytest.raises(BookEmpty, match=kept.name) as caught:
        open_book(path)
    assert "300 balls" in caught.value.next_step
    path.unlink()
    with pytest.raises(BookMissing, match=kept.name):
        open_book(path)


def test_a_journal_without_its_book_is_not_written_over(path: Path) -> None:
    path.unlink()
    path.with_name("book.db-journal").write_bytes(b"journal")
    with pytest.raises(BookMissing, match="journal"):
        open_book(path)
    assert path.with_name("book.db-journal").read_bytes() == b"journal"


def leaf_pages(path: Path, table: str) -> list[int]:
    """Numbers (from 0) of the leaf pages of a table, by the file format: a leaf of a table starts with 13."""
    data = path.read_bytes()
    first = rows(path, "SELECT rootpage FROM sqlite_master WHERE name = ?", table)[0][0]
    children, offset = [], (first - 1) * PAGE
    assert data[offset] == 5
    for cell in range(int.from_bytes(data[offset + 3 : offset + 5], "big")):
        at = int.from_bytes(data[offset + 12 + 2 * cell : offset + 14 + 2 * cell], "big")
        children.append(int.from_bytes(data[offset + at : offset + at + 4], "big") - 1)
    return [*children, int.from_bytes(data[offset + 8 : offset + 12], "big") - 1]


def overwrite(path: Path, page: int, filling: bytes) -> None:
    data = bytearray(path.read_bytes())
    data[page * PAGE : (page + 1) * PAGE] = filling * (PAGE // len(filling))
    path.write_bytes(data)


@pytest.mark.parametrize("filling", [b"\0", b"\xa5", b"\r\0\xff\x00", b"note"], ids=["zeros", "noise", "like a leaf", "text"])
@pytest.mark.parametrize("place", [0, 3, -1])
def test_balls_of_a_damaged_page_are_listed_and_all_others_kept(path: Path, tmp_path: Path, filling: bytes, place: int) -> None:
    page = leaf_pages(path, "balls")[place]
    overwrite(path, page, filling)
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    report = check(path)
    assert not report.whole
    assert not report.readable
    saved = salvage(path, tmp_path / "saved.db", START)
    with open_book(saved.path) as book:
        kept = {found.id: found for found in book.balls("s1")}
        assert book.check().pages == ()
    lost = {bad.id for bad in saved.lost if bad.table == "balls"}
    whole = {f"s1-ball-{seq}" for seq in range(1, 301)}
    assert kept.keys() | lost == whole
    assert not kept.keys() & lost
    assert 0 < len(lost) < 60
    assert all(kept[name] == ball(found.seq) for name, found in kept.items() if name != "s1-ball-7")
    assert hashlib.sha256(path.read_bytes()).hexdigest() == digest


def test_every_page_in_turn_may_be_lost_without_a_silent_loss(tmp_path: Path) -> None:
    path = tmp_path / "small.db"
    with open_book(path) as book:
        furnish(book, 60)
    whole = {f"s1-ball-{seq}" for seq in range(1, 61)}
    data = path.read_bytes()
    unreadable = 0
    for page in range(len(data) // PAGE):
        path.write_bytes(data)
        overwrite(path, page, b"\xa5")
        try:
            saved = salvage(path, tmp_path / f"saved-{page}.db", START)
        except (BookDamaged, NotABook):
            unreadable += 1
            continue
        with open_book(saved.path, daily_backup=False) as book:
            kept = {found.id for found in book.balls("s1", include_voided=True)}
        lost = {bad.id for bad in saved.lost if bad.table == "balls"}
        told = sum(bad.id.startswith("row ") for bad in saved.lost if bad.table == "balls")
        if not any(bad.id.endswith("and after") for bad in saved.lost):
            assert len(kept) + len(lost & whole) + told == 60, page
    assert unreadable <= 3


def test_a_truncated_book_gives_what_is_left(path: Path, tmp_path: Path) -> None:
    os.truncate(path, path.stat().st_size * 2 // 3 // PAGE * PAGE)
    with pytest.raises(BookDamaged):
        check(path)
    saved = salvage(path, tmp_path / "saved.db", START)
    assert saved.kept.get("ball", 0) + len([bad for bad in saved.lost if bad.table == "balls"]) > 0
    with open_book(saved.path) as book:
        assert book.check().pages == ()
        assert book.total_balls() == saved.kept.get("ball", 0)


def test_salvage_never_writes_over_a_file(path: Path, tmp_path: Path) -> None:
    (tmp_path / "there.db").write_text("mine")
    with pytest.raises(BackupRefused):
        salvage(path, tmp_path / "there.db", START)
    assert (tmp_path / "there.db").read_text() == "mine"


def test_salvage_keeps_balls_whose_session_and_block_are_gone(path: Path, tmp_path: Path) -> None:
    tamper(path, "UPDATE balls SET block_id = 'b1' WHERE seq = 1", "DELETE FROM sessions", "DELETE FROM blocks", "DELETE FROM clubs")
    saved = salvage(path, tmp_path / "saved.db", START)
    assert saved.kept["ball"] == 300
    assert {bad.id for bad in saved.loosened} >= {"s1-ball-1", "p1"}
    with open_book(saved.path) as book:
        assert book.last_session() is not None
        assert book.session_counts()[0].session.date_uncertain
        assert book.session_counts()[0].balls == 300


def test_hand_edited_rows_are_listed_by_id(path: Path, tmp_path: Path) -> None:
    tamper(
        path,
        "UPDATE balls SET side = 'up' WHERE seq = 2",
        "UPDATE balls SET bow_notches = 9 WHERE seq = 3",
        "UPDATE balls SET at = 'yesterday' WHERE seq = 4",
        "UPDATE balls SET block_id = 'gone' WHERE seq = 5",
        "DELETE FROM balls WHERE seq IN (10, 11, 300)",
        "UPDATE forms SET answers_json = '['",
    )
    report = check(path)
    assert {bad.id for bad in report.bad_rows} == {"s1-ball-2", "s1-ball-3", "s1-ball-4"}
    assert [bad.id for bad in report.links] == ["s1-ball-5"]
    assert report.gaps == (Gap("s1", 10, 11),)
    assert report.balls == 297
    saved = salvage(path, tmp_path / "saved.db", START)
    assert {bad.id for bad in saved.lost} == {"s1-ball-2", "s1-ball-3", "s1-ball-4"}
    assert [bad.id for bad in saved.loosened] == ["s1-ball-5"]
    assert saved.kept["ball"] == 294


def test_a_whole_book_passes_and_is_not_changed(path: Path) -> None:
    before = path.read_bytes()
    report = check(path)
    assert report.whole
    assert report.balls == 300
    assert path.read_bytes() == before
    with open_book(path) as book:
        assert book.check() == report


def test_moving_aside_keeps_the_file_and_its_journal(path: Path) -> None:
    before = path.read_bytes()
    path.with_name("book.db-journal").write_bytes(b"")
    aside = move_aside(path, START)
    assert aside.name == "book.aside-2026-05-01T170000.db"
    assert aside.read_bytes() == before
    assert aside.with_name(aside.name + "-journal").exists()
    assert not path.exists()
    with pytest.raises(BookMissing):
        move_aside(path, START)
    with open_book(path) as book:
        furnish(book)
    assert move_aside(path, START).name == "book.aside-2026-05-01T170000.2.db"


def test_a_held_book_is_not_moved(path: Path) -> None:
    with open_book(path), pytest.raises(BackupRefused, match="holds the book"):
        move_aside(path, START)
    assert path.exists()


def test_a_page_that_goes_bad_in_use_is_told(path: Path) -> None:
    overwrite(path, leaf_pages(path, "balls")[2], b"\xa5")
    with open_book(path, daily_backup=False) as book:
        with pytest.raises(BookDamaged):
            book.balls("s1")
        assert book.check().pages


def test_check_and_salvage_tell_how_far_they_are(path: Path, tmp_path: Path) -> None:
    seen: list[int] = []
    assert check(path, seen.append).whole
    assert sum(seen) == 300 + len(("player", "club", "prescription", "session", "block", "edit"))
    with open_book(path) as book:
        book.add_balls([ball(seq) for seq in range(301, 2301)])
    seen.clear()
    salvage(path, tmp_path / "good.db", START, seen.append)
    assert seen == [1000, 1000]
    assert about_rows(path) > 1000
    assert about_rows(tmp_path / "nowhere.db") == 0
