"""Rows on their way in: few in memory at a time, the book free while they are read, and every bad one set aside by its line."""

import json
import sqlite3
import weakref
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from rangelog.core.errors import OffScale
from rangelog.store import BookReadOnly
from rangelog.store.staging import BATCH
from tests.store.makers import edit, furnish, open_book, rows, tamper


class LooseRow(dict[str, Any]):
    """A row that can be watched."""

    __slots__ = ("__weakref__",)


def a_ball(seq: int, **changes: Any) -> LooseRow:
    row = LooseRow(
        kind="ball", id=f"new-{seq}", session_id="s1", seq=seq, at="2026-05-04T17:00:00+02:00", position_balls=0.0, swing="half",
        stick=True, surface="mat", aim_line=True, touched=False, target="", counted=True, voided=False, aim_correction_deg=0.0, note="",
    )  # fmt: skip
    row.update(changes)
    return row


def test_rows_are_let_go_as_they_come(tmp_path: Path) -> None:
    alive: list[weakref.ref[LooseRow]] = []
    most = 0

    def source() -> Iterator[LooseRow]:
        nonlocal most
        for seq in range(11, 3 * BATCH):
            row = a_ball(seq)
            alive.append(weakref.ref(row))
            most = max(most, sum(ref() is not None for ref in alive[-50:]))
            yield row

    with open_book(tmp_path / "book.db") as book:
        furnish(book, 10)
        assert book.merge_rows(source()).added == {"ball": 3 * BATCH - 11}
        assert most <= 3
        assert book.total_balls() == 3 * BATCH - 1


def test_the_book_is_free_while_rows_are_read(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 1)

        def source() -> Iterator[LooseRow]:
            for seq in range(2, 2 * BATCH + 2):
                if seq % 500 == 0:
                    other = sqlite3.connect(tmp_path / "book.db", timeout=0, isolation_level=None)
                    other.execute("BEGIN IMMEDIATE")
                    other.execute("ROLLBACK")
                    other.close()
                yield a_ball(seq)

        assert book.merge_rows(source()).added == {"ball": 2 * BATCH}


def test_what_only_the_book_itself_refuses_is_set_aside_by_its_line(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 1)
        (asked,) = (row for row in book.rows_of("prescription"))
        taken = book.take_rows(
            [
                (4, a_ball(2)),
                (5, a_ball(3, at="20260504T170000+0200")),
                (6, a_ball(4, aim_correction_deg=91.0)),
                (7, {**asked, "id": "wide-in-window", "window_deg": 5.0, "wide_deg": 3.0}),
                (8, a_ball(5, prescription_id="wide-in-window")),
                (9, {**asked, "window_deg": 5.0, "wide_deg": 3.0, "text": "zz"}),
                (10, a_ball(6, id="half \ud800 a character")),
                (11, a_ball(10**30)),
                (12, a_ball(7)),
            ]
        )
        assert taken.added == {"ball": 2}
        assert sorted(row.line for row in taken.refused) == [5, 6, 7, 8, 9, 10, 11]
        assert all(row.why for row in taken.refused)
        assert [ball.id for ball in book.balls("s1")][1:] == ["new-2", "new-7"]
        assert [row["text"] for row in book.rows_of("prescription")] == [asked["text"]]


def test_of_two_rows_with_one_id_the_one_changed_later_is_taken(tmp_path: Path) -> None:
    club = {"kind": "club", "id": "c9", "loft_deg": None}
    both = [{**club, "name": "old", "saved_utc": "2026-01-01"}, {**club, "name": "new", "saved_utc": "2026-01-02"}]
    for name, order in (("up", both), ("down", both[::-1])):
        with open_book(tmp_path / f"{name}.db") as book:
            assert book.merge_rows(order).added == {"club": 1}
            assert [held.name for held in book.clubs()] == ["new"]


def test_a_trial_changes_nothing_and_says_what_would_be(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 3)
        before = [json.dumps(row) for kind in book.kinds() for row in book.rows_of(kind)]
        new = [(1, a_ball(2)), (2, a_ball(9)), (3, a_ball(9, id="bad", side="up"))]
        trial = book.take_rows(new, dry_run=True)
        assert [json.dumps(row) for kind in book.kinds() for row in book.rows_of(kind)] == before
        assert trial == book.take_rows(new)
        assert trial.added == {"ball": 2}


def test_nothing_is_left_beside_the_book(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 1)
        book.merge_rows([a_ball(2)])
        assert book._fetch("SELECT name FROM temp.sqlite_master") == []
        assert book._value("PRAGMA temp_store") == 2  # in memory, as before
    assert not [name for (name,) in rows(tmp_path / "book.db", "SELECT name FROM sqlite_master") if "taken" in name]


def test_after_a_failure_midway_the_book_is_as_it_was_and_takes_rows_again(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 2)
        book.edit_balls([edit(1, "s1-ball-1", "side", '"right"', '"left"')])
        (ball_row, _) = book.rows_of("ball")
        tamper(tmp_path / "book.db", "UPDATE edits SET new_json = '\"sideways\"'")
        before = [json.dumps(row) for kind in book.kinds() for row in book.rows_of(kind)]
        with pytest.raises(OffScale, match="Side"):
            book.merge_rows([ball_row, a_ball(3)])
        assert [json.dumps(row) for kind in book.kinds() for row in book.rows_of(kind)] == before
        assert book.merge_rows([a_ball(3)]).added == {"ball": 1}


def test_a_book_that_takes_nothing_says_so_before_anything_is_read(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 1)
    with open_book(tmp_path / "book.db", read_only=True) as book, pytest.raises(BookReadOnly):
        book.merge_rows(pytest.fail("was read") for _ in range(1))
