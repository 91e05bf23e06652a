"""Rows out and in: lossless, and the same book whatever the order and however often."""

import itertools
import json
import random
import shutil
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from rangelog.core.session import Session
from rangelog.core.words import Side, Strike
from rangelog.store import Book, OtherPlayer
from rangelog.store.merge import kinds
from tests.store import makers
from tests.store.makers import Clock, ball, edit, full_ball, furnish, open_book, rows

Rows = list[dict[str, Any]]


def all_rows(book: Book) -> Rows:
    """Everything, through JSON and back, as an export would have it."""
    return [json.loads(json.dumps(row)) for kind in book.kinds() if kind != "state" for row in book.rows_of(kind)]


def merged(folder: Path, name: str, *parts: Iterable[dict[str, Any]]) -> Rows:
    with open_book(folder / f"{name}.db") as book:
        for part in parts:
            assert book.merge_rows(part).refused == ()
        assert book.check().whole or book.check().gaps
        return all_rows(book)


@pytest.fixture
def two_laptops(tmp_path: Path) -> tuple[Path, Path]:
    """One book, copied, and gone on with on both."""
    first, second = tmp_path / "first.db", tmp_path / "second.db"
    with open_book(first) as book:
        furnish(book, 10)
        book.add_form(makers.FORM)
        book.edit_balls([edit(1, "s1-ball-1", "side", '"right"', '"left"')])
    shutil.copyfile(first, second)
    later, latest = Clock(), Clock()
    later.move(hours=2)
    latest.move(hours=3)
    with open_book(first, now=later) as book:
        book.add_balls([ball(11, id="first-11", strike=Strike.THIN), ball(12, id="first-12")])
        book.edit_balls([edit(20, "s1-ball-1", "side", '"left"', '"far left"'), edit(21, "s1-ball-2", "note", '""', '"first"')])
        book.end_block("b1", later.at.isoformat(), "abandoned")
        book.update_form(replace(makers.FORM, answers={"level": 5}))
    with open_book(second, now=latest) as book:
        book.add_balls([ball(11, id="second-11"), ball(12, id="second-12", strike=Strike.FAT), ball(13, id="second-13")])
        book.edit_balls([edit(10, "s1-ball-1", "side", '"left"', '"on line"'), edit(30, "s1-ball-2", "note", '""', '"second"')])
        book.edit_balls([edit(31, "second-11", "side", '"right"', '"left"')])
        book.end_block("b1", latest.at.isoformat(), "done")
        book.start_session(Session("s2", latest.at.isoformat()))
    return first, second


def test_everything_comes_back_the_same(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 3)
        book.add_ball(full_ball(4))
        book.add_form(makers.FORM)
        book.edit_balls([edit(1, "s1-ball-1", "voided", "false", "true")])
        book.save_state({"setup": {"bow": 2.0}})
        out = [json.loads(json.dumps(row)) for kind in book.kinds() for row in book.rows_of(kind)]
    with open_book(tmp_path / "copy.db") as copy:
        taken = copy.merge_rows(reversed(out))
        assert taken.refused == ()
        assert taken.added == {"player": 1, "club": 1, "prescription": 1, "session": 1, "block": 1, "ball": 4, "form": 1, "edit": 1}
        assert [row for kind in copy.kinds() for row in copy.rows_of(kind)] == out
        assert copy.balls("s1")[-1] == full_ball(4)
    for table in ("players", "clubs", "prescriptions", "sessions", "blocks", "balls", "edits", "forms", "state"):
        assert rows(tmp_path / "copy.db", f"SELECT * FROM {table} ORDER BY 1") == rows(
            tmp_path / "book.db", f"SELECT * FROM {table} ORDER BY 1"
        )


def test_taking_the_same_rows_in_twice_changes_nothing(two_laptops: tuple[Path, Path]) -> None:
    with open_book(two_laptops[0]) as book:
        before = all_rows(book)
        again = book.merge_rows(before)
        assert (dict(again.added), dict(again.changed), again.renumbered, again.differing) == ({}, {}, (), ())
        assert sum(again.same.values()) == len(before)
        assert all_rows(book) == before


def test_any_order_of_merging_makes_the_same_book(two_laptops: tuple[Path, Path], tmp_path: Path) -> None:
    with open_book(two_laptops[0]) as first, open_book(two_laptops[1]) as second:
        one, two = all_rows(first), all_rows(second)
        first.merge_rows(two)
        second.merge_rows(one)
        assert all_rows(first) == all_rows(second)
        whole = all_rows(first)
    luck = random.Random(5)
    shuffled = [*one, *two]
    luck.shuffle(shuffled)
    assert merged(tmp_path, "ab", one, two) == whole
    assert merged(tmp_path, "ba", two, one) == whole
    assert merged(tmp_path, "abab", one, two, one, whole, two) == whole
    assert merged(tmp_path, "shuffled", shuffled) == whole


def test_both_laptops_balls_are_there_in_order_and_once(two_laptops: tuple[Path, Path]) -> None:
    with open_book(two_laptops[0]) as first, open_book(two_laptops[1], read_only=True) as second:
        taken = first.merge_rows(all_rows(second))
        found = first.balls("s1")
        assert taken.renumbered == ("s1",)
        assert [hit.seq for hit in found] == list(range(1, 16))
        assert [hit.id for hit in found[10:]] == ["first-11", "second-11", "first-12", "second-12", "second-13"]
        first.add_ball(ball(first.last_seq("s1") + 1, id="after"))
        first.merge_rows(all_rows(second))
        assert [hit.id for hit in first.balls("s1")[10:]] == ["first-11", "second-11", "first-12", "second-12", "second-13", "after"]


def test_the_last_edit_of_a_field_shows_whoever_made_it(two_laptops: tuple[Path, Path]) -> None:
    with open_book(two_laptops[0]) as first, open_book(two_laptops[1], read_only=True) as second:
        first.merge_rows(all_rows(second))
        shown = {hit.id: hit for hit in first.balls("s1")}
        assert shown["s1-ball-1"].side == Side.FAR_LEFT
        assert shown["s1-ball-2"].note == "second"
        assert shown["second-11"].side == Side.LEFT
        assert len(first.edits("s1-ball-1")) == 3
        assert first.blocks("s1")[0].outcome == "done"
        assert first.forms("s1")[0].answers == {"level": 5}


def test_three_books_merge_alike_in_all_six_orders(two_laptops: tuple[Path, Path], tmp_path: Path) -> None:
    with open_book(two_laptops[0], read_only=True) as first, open_book(two_laptops[1], read_only=True) as second:
        parts = [all_rows(first), all_rows(second)]
    with open_book(tmp_path / "third.db") as third:
        third.merge_rows([row for row in parts[0] if row["kind"] not in ("edit", "ball")])
        third.add_balls([ball(11, id="third-11"), ball(1), ball(99, id="third-99")])
        third.edit_balls([edit(25, "s1-ball-1", "side", '"right"', '"right"'), edit(5, "third-11", "note", '""', '"x"')])
        parts.append(all_rows(third))
    results = [merged(tmp_path, f"order-{turn}", *order) for turn, order in enumerate(itertools.permutations(parts))]
    assert all(result == results[0] for result in results)


def test_rows_that_do_not_fit_are_refused_one_by_one(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 3)
        out = all_rows(book)
        good = [row for row in out if row["kind"] == "ball"]
        correction = {"kind": "edit", "field": "bow", "old_json": "2", "at": "2026-05-01T10:00:00Z", "reason": ""}
        bad = [
            {**good[0], "id": "bad-side", "side": "up"},
            {**good[0], "id": "bad-bow", "bow_notches": 9},
            {**good[0], "id": "bad-session", "session_id": "gone"},
            {**good[0], "id": "bad-seq", "seq": "one"},
            {**good[0], "id": "bad-grip", "grip_deg": True},
            {**good[0], "id": "bad-flag", "stick": "yes"},
            {**good[0], "id": "bad-note", "note": None},
            {**good[0], "id": ""},
            {"kind": "ball", "id": "nearly-nothing"},
            {"kind": "sandwich", "id": "bad-kind"},
            {"id": "no-kind"},
            {**correction, "id": "bad-edit", "ball_id": "s1-ball-1", "new_json": "77"},
            {**correction, "id": "orphan-edit", "ball_id": "gone", "new_json": "1"},
            {"kind": "state", "key": "k", "value_json": "{", "saved_utc": ""},
        ]  # fmt: skip
        taken = book.merge_rows([*bad, {**good[0], "id": "fits", "seq": 9, "keyed_seq": None}])
        assert [row.id for row in taken.refused] == [
            "bad-side", "bad-bow", "bad-seq", "bad-grip", "bad-flag", "bad-note", "row 8", "nearly-nothing", "bad-kind", "no-kind",
            "bad-edit", "k",
            "bad-session", "orphan-edit",
        ]  # fmt: skip
        assert all(row.why for row in taken.refused)
        assert taken.added == {"ball": 1}
        assert book.total_balls() == 4


def test_another_players_rows_stop_the_whole(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 1)
        before = all_rows(book)
        other = [{**row, "id": "player-2"} if row["kind"] == "player" else row for row in before]
        with pytest.raises(OtherPlayer):
            book.merge_rows([*other, {**before[-1], "id": "new-ball", "seq": 2}])
        assert all_rows(book) == before


def test_a_ball_that_differs_without_an_edit_is_named(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 1)
        (row,) = book.rows_of("ball")
        taken = [book.merge_rows([{**row, "side": side}]) for side in ("left", "on line", "right", "left")]
        assert [found.differing for found in taken] == [("s1-ball-1",), ("s1-ball-1",), (), ("s1-ball-1",)]
        assert book.balls("s1")[0].side == Side.RIGHT


def test_every_kind_is_given_out(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        assert kinds() == book.kinds()
        assert [list(book.rows_of(kind)) for kind in book.kinds()] == [[]] * 9
        with pytest.raises(KeyError):
            list(book.rows_of("sandwich"))


def test_flags_leave_as_true_and_false(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 1)
        (row,) = book.rows_of("ball")
        assert (row["stick"], row["voided"], row["seq"]) == (True, False, 1)
        assert row["seq"] is not True
        assert book.insert_rows("ball", [{**row, "id": "b", "seq": 2, "keyed_seq": 2, "stick": 0}]).added == {"ball": 1}


def test_rows_made_by_hand_need_no_columns_of_the_books_own(tmp_path: Path) -> None:
    with open_book(tmp_path / "book.db") as book:
        furnish(book, 2)
        bare = [{name: cell for name, cell in row.items() if name not in ("order_utc", "saved_utc", "keyed_seq")} for row in all_rows(book)]
        for row in bare:
            if row["kind"] == "ball":
                row.update(aim_correction_deg=0, position_balls=0, grip_deg=30)
    with open_book(tmp_path / "copy.db") as copy:
        assert copy.merge_rows(bare).refused == ()
        assert copy.balls("s1") == [ball(1), ball(2)]
        assert [session.id for session in copy.sessions()] == ["s1"]
