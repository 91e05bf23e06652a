"""The working book: every change is re-read through a second connection."""

import json
import os
import stat
import subprocess
import sys
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale
from rangelog.core.player import Club
from rangelog.core.session import Session
from rangelog.core.setup import Setup
from rangelog.core.words import Side
from rangelog.store import Book, BookMissing, Clash, NotSaved, OtherPlayer, UnknownRow
from tests.store import makers
from tests.store.makers import Clock, ball, edit, full_ball, furnish, open_book, rows


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "book.db"


def test_new_book_and_its_folders_belong_to_the_owner_alone(tmp_path: Path) -> None:
    path = tmp_path / "no" / "such home" / "book.db"
    with open_book(path) as book:
        furnish(book, 1)
        book.backup()
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert stat.S_IMODE(path.parent.parent.stat().st_mode) == 0o700
    private = [stat.S_IMODE(found.stat().st_mode) & 0o077 for found in (*path.parent.iterdir(), *(path.parent / "backups").iterdir())]
    assert len(private) >= 3
    assert not any(private)


@pytest.mark.parametrize("name", ["my book.db", "Übung 球 книга.db", "100%.db", "a?b#c&d.db", 'it\'s "mine".db', "no ending"])
def test_any_legal_file_name_works(tmp_path: Path, name: str) -> None:
    path = tmp_path / "Ordner ö 練習" / name
    with open_book(path) as book:
        furnish(book, 1)
        assert book.backup().is_file()
    with open_book(path) as again:
        assert again.balls("s1") == [ball(1)]


def test_closed_book_is_one_plain_file(path: Path) -> None:
    with open_book(path) as book:
        furnish(book, 3)
    assert {found.name for found in path.parent.iterdir()} <= {"book.db", "book.db.lock"}
    assert rows(path, "PRAGMA journal_mode") == [("delete",)]


def test_no_book_is_made_where_none_may_be(path: Path) -> None:
    for options in ({"create": False}, {"read_only": True}):
        with pytest.raises(BookMissing):
            open_book(path, **options)
    assert list(path.parent.iterdir()) == []


def test_pragmas_are_as_decided(path: Path) -> None:
    with open_book(path) as book:
        for pragma, value in (("synchronous", 3), ("foreign_keys", 1), ("journal_mode", "delete"), ("fullfsync", 1), ("trusted_schema", 0)):
            assert book._value(f"PRAGMA {pragma}") == value, pragma


def test_a_new_book_loads_nothing_heavy(path: Path) -> None:
    code = (
        "import sys; from rangelog.store import Book; Book.open(sys.argv[1]).close(); "
        "print([name for name in ('numpy', 'sqlite_utils', 'textual', 'scipy', 'click') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_player_is_kept_and_changed(path: Path) -> None:
    with open_book(path) as book:
        assert book.player() is None
        book.save_player(makers.PLAYER)
        book.save_player(replace(makers.PLAYER, junior=True))
        assert book.player() == replace(makers.PLAYER, junior=True)
        assert rows(path, "SELECT id, junior FROM players") == [("player-1", 1)]
        with pytest.raises(OtherPlayer):
            book.save_player(replace(makers.PLAYER, id="player-2"))
        assert rows(path, "SELECT id FROM players") == [("player-1",)]


def test_clubs_stay_in_order_and_once(path: Path) -> None:
    with open_book(path) as book:
        for club in (Club("z", "iron", 28.0), Club("a", "wedge"), Club("z", "renamed")):
            book.add_club(club)
        assert book.clubs() == [Club("z", "iron", 28.0), Club("a", "wedge")]
    assert rows(path, "SELECT count(*) FROM clubs") == [(2,)]


def test_latest_prescription_is_in_force(path: Path) -> None:
    with open_book(path) as book:
        book.add_club(makers.CLUB)
        assert book.prescription() is None
        second = replace(makers.PRESCRIPTION, id="p2", version=2, window_deg=3.0)
        book.add_prescription(second)
        book.add_prescription(makers.PRESCRIPTION)
        assert book.prescription() == second
        assert book.prescriptions() == [makers.PRESCRIPTION, second]
    assert rows(path, "SELECT count(*) FROM prescriptions") == [(2,)]


def test_sessions_start_change_and_end(path: Path) -> None:
    with open_book(path) as book:
        book.start_session(makers.SESSION, {"session": "s1"})
        assert rows(path, "SELECT ended_at FROM sessions") == [(None,)]
        book.save_session(replace(makers.SESSION, note="dry", aim_line=False, started_at="1999-01-01T00:00:00+00:00"))
        book.end_session("s1", "2026-05-01T18:00:00+02:00", {"session": ""})
        assert book.last_session() == replace(makers.SESSION, note="dry", aim_line=False, ended_at="2026-05-01T18:00:00+02:00")
        assert book.session("s1") == book.sessions()[0]
        assert book.session("s2") is None
        assert book.state("session") == ""
        with pytest.raises(UnknownRow):
            book.end_session("s2", "2026-05-01T18:00:00+02:00")
    assert rows(path, "SELECT ended_at, note FROM sessions") == [("2026-05-01T18:00:00+02:00", "dry")]


def test_blocks_start_change_and_end(path: Path) -> None:
    with open_book(path) as book:
        furnish(book)
        book.save_block(replace(makers.BLOCK, planned=24))
        book.end_block("b1", "2026-05-01T17:30:00+02:00", "done", {"block": ""})
        assert book.blocks("s1") == [replace(makers.BLOCK, planned=24, ended_at="2026-05-01T17:30:00+02:00", outcome="done")]
        assert book.block("b1") == book.blocks("s1")[0]
        with pytest.raises(UnknownRow):
            book.end_block("b2", "2026-05-01T17:30:00+02:00", "done")
    assert rows(path, "SELECT outcome, planned_balls FROM blocks") == [("done", 24)]


def test_half_filled_form_survives_and_is_taken_up_again(path: Path) -> None:
    with open_book(path) as book:
        furnish(book)
        book.add_form(makers.FORM, {"form": "f1"})
    with open_book(path) as again:
        assert again.forms("s1", "pain") == [makers.FORM]
        assert again.forms("s1", "kit") == []
        done = replace(makers.FORM, answers={"level": 4}, complete=True)
        again.update_form(done, {"form": ""})
        assert again.forms("s1") == [done]
        with pytest.raises(UnknownRow):
            again.update_form(replace(done, id="f2"))
    assert rows(path, "SELECT complete, answers_json FROM forms") == [(1, '{"level":4}')]


@pytest.mark.parametrize("hit", [Ball("x", "s1", 1, makers.START.isoformat()), ball(1), full_ball(1)], ids=["bare", "keyed", "full"])
def test_a_ball_comes_back_as_it_went_in(path: Path, hit: Ball) -> None:
    with open_book(path) as book:
        furnish(book).add_ball(hit)
        assert book.ball(hit.id) == hit
    with open_book(path, read_only=True) as again:
        assert again.balls("s1") == [hit]


def test_ball_and_state_are_one(path: Path) -> None:
    with open_book(path) as book:
        furnish(book).add_ball(ball(1), state={"setup": {"bow": 2.0}, "hint": None})
        assert rows(path, "SELECT (SELECT count(*) FROM balls), value_json FROM state WHERE key = 'setup'") == [(1, '{"bow":2.0}')]
        with pytest.raises(OffScale):
            book.add_ball(ball(2), state={"setup": object()})
        with pytest.raises(Clash):
            book.add_ball(ball(1, id="another"), state={"setup": "never"})
        assert rows(path, "SELECT count(*) FROM balls") == [(1,)]
        assert book.state("setup") == {"bow": 2.0}
        assert book.state("hint", "default") is None
        assert book.state("nothing", "default") == "default"


def test_the_same_ball_sent_twice_is_one_ball(path: Path) -> None:
    with open_book(path) as book:
        furnish(book)
        book.add_ball(ball(1))
        book.edit_balls([edit(1, "s1-ball-1", "side", '"right"', '"left"')])
        book.add_ball(ball(1), state={"again": True})
        assert book.ball("s1-ball-1") == ball(1, side=Side.LEFT)
    assert rows(path, "SELECT count(*) FROM balls") == [(1,)]


def test_a_ball_that_cannot_be_kept_says_which_field(path: Path) -> None:
    with open_book(path) as book:
        furnish(book)
        with pytest.raises(OffScale) as caught:
            book.add_ball(ball(1, start_deg=float("nan")))
        assert caught.value.field == "start"
        with pytest.raises(UnknownRow):
            book.add_ball(ball(1, session="unknown"))
        with pytest.raises(OffScale) as caught:
            book.add_ball(ball(1, start_deg=90.0))
        assert caught.value.field == "start_deg"
        book.add_ball(ball(1, note="lone \ud800 and NUL \0"))
    assert rows(path, "SELECT note FROM balls") == [("lone ? and NUL ",)]


def test_edits_keep_the_old_value_and_change_the_shown_one(path: Path) -> None:
    with open_book(path) as book:
        furnish(book, 2)
        group = [
            edit(1, "s1-ball-1", "bow", "2.0", "2.5", group="g"),
            edit(2, "s1-ball-1", "counted", "true", "false", group="g"),
            edit(3, "s1-ball-1", "reason", "null", '"interrupted"', group="g"),
            edit(4, "s1-ball-2", "voided", "false", "true", group="g"),
        ]
        book.edit_balls(group, state={"undo": "g"})
        book.edit_balls(group)
        shown = book.ball("s1-ball-1")
        assert shown is not None
        assert (shown.setup.bow, shown.counted, shown.reason) == (2.5, False, "interrupted")
        assert book.balls("s1") == [shown]
        assert [found.seq for found in book.balls("s1", include_voided=True)] == [1, 2]
        assert (book.count_balls("s1"), book.count_balls("s1", include_voided=True), book.total_balls(), book.last_seq("s1")) == (
            1,
            2,
            2,
            2,
        )
        assert book.edits("s1-ball-1") == group[:3]
        assert book.edits(session_id="s1") == group == book.edits()
    assert rows(path, "SELECT old_json, new_json FROM edits WHERE field = 'bow'") == [("2.0", "2.5")]
    assert rows(path, "SELECT bow_notches, counted, reason FROM balls WHERE seq = 1") == [(2.5, 0, "interrupted")]


def test_undo_is_new_edits_and_nothing_is_deleted(path: Path) -> None:
    with open_book(path) as book:
        furnish(book, 1)
        book.edit_balls([edit(1, "s1-ball-1", "side", '"right"', '"left"')])
        book.edit_balls([edit(2, "s1-ball-1", "side", '"left"', '"right"', undoes="group-1")])
        assert book.balls("s1") == [ball(1)]
        assert [found.undoes for found in book.edits()] == ["", "group-1"]


@pytest.mark.parametrize(
    ("field", "new"),
    [("bow", "9"), ("bow", "2.3"), ("side", '"up"'), ("counted", '"yes"'), ("seq", "4"), ("start_deg", '"3"'), ("position_balls", "null")],
)
def test_an_edit_that_cannot_be_changes_nothing(path: Path, field: str, new: str) -> None:
    with open_book(path) as book:
        furnish(book, 1)
        with pytest.raises(OffScale):
            book.edit_balls([edit(1, "s1-ball-1", "note", '""', '"new"'), edit(2, "s1-ball-1", field, "null", new)])
        assert book.balls("s1") == [ball(1)]
    assert rows(path, "SELECT count(*) FROM edits") == [(0,)]


def test_an_edit_of_an_unknown_ball_is_told(path: Path) -> None:
    with open_book(path) as book, pytest.raises(UnknownRow):
        book.edit_balls([edit(1, "nobody", "side", "null", '"left"')])


def test_every_field_of_a_ball_can_be_edited_and_read_back(path: Path) -> None:
    new = {
        "bow": 0.5, "grip": 45.0, "position_balls": -1.25, "swing": "full", "stick": False, "surface": "turf", "aim_line": False,
        "side": "far left", "start_deg": -8.5, "height": "high", "launch_deg": 20.0, "apex_m": 12.5, "strike": "toe",
        "curve": "curved left", "touched": True, "felt_bow": 3.0, "comfort": 2, "called": "low", "target": "flag", "counted": False,
        "reason": "interrupted", "voided": True, "aim_correction_deg": 5.0, "note": "n",
        "club_id": "", "block_id": "b1", "prescription_id": "p1",
    }  # fmt: skip
    with open_book(path) as book:
        furnish(book, 1)
        book.edit_balls([edit(n, "s1-ball-1", field, "null", json.dumps(value)) for n, (field, value) in enumerate(new.items())])
        found = book.ball("s1-ball-1")
    assert found is not None
    for field, value in new.items():
        assert getattr(found if hasattr(found, field) else found.setup, field) == value, field


def test_later_edits_win_though_the_clock_went_back(path: Path) -> None:
    with open_book(path) as book:
        furnish(book, 1)
        book.edit_balls([edit(1, "s1-ball-1", "side", '"right"', '"left"')])
        book.edit_balls([edit(2, "s1-ball-1", "side", '"left"', '"far left"', at="1970-01-01T00:00:05+00:00")])
        assert [found.new for found in book.edits()] == ['"left"', '"far left"']
        merged = book.merge_rows([row for kind in book.kinds() for row in book.rows_of(kind)])
        assert not merged.changed
        assert book.balls("s1")[0].side == Side.FAR_LEFT


def test_recent_balls_come_by_session_then_sequence(path: Path) -> None:
    with open_book(path) as book:
        furnish(book)
        for number in (3, 2, 4, 5):
            book.start_session(Session(f"s{number}", (makers.START + timedelta(days=number)).isoformat()))
        book.add_balls([ball(2), ball(1), *(ball(seq, f"s{number}") for number in (4, 2, 3) for seq in (2, 1))])
        assert [found.id for found in book.recent_balls(2)] == ["s3-ball-1", "s3-ball-2", "s4-ball-1", "s4-ball-2"]
        assert [found.session_id for found in book.recent_balls(20, before="s3")] == ["s1", "s1", "s2", "s2"]
        assert [session.id for session in book.sessions()] == ["s5", "s4", "s3", "s2", "s1"]
        assert [session.id for session in book.sessions(2, newest_first=False)] == ["s1", "s2"]


def test_time_zone_trip_and_daylight_saving_keep_the_order(path: Path) -> None:
    starts = ["2026-10-25T02:30:00+02:00", "2026-10-25T02:10:00+01:00", "2026-10-24T22:00:00-05:00"]
    with open_book(path) as book:
        for number, start in enumerate(starts):
            book.start_session(Session(f"s{number}", start))
        assert [session.id for session in book.sessions(newest_first=False)] == ["s0", "s1", "s2"]
        assert book.newest_time() == datetime(2026, 10, 25, 3, 0, tzinfo=UTC)


def test_a_clock_set_to_1970_and_back_leaves_order_and_counts_right(path: Path) -> None:
    with open_book(path) as book:
        furnish(book, 2)
        assert book.newest_time() == makers.START + timedelta(minutes=2)
        book.start_session(Session("lost", "1970-01-01T00:03:00+00:00", date_uncertain=True))
        book.add_ball(ball(1, "lost", at="1970-01-01T00:04:00+00:00"))
        assert book.newest_time() == makers.START + timedelta(minutes=2)
        book.start_session(Session("back", (makers.START + timedelta(days=1)).isoformat()))
        book.add_ball(ball(1, "back"))
        assert [session.id for session in book.sessions()] == ["back", "lost", "s1"]
        assert [found.session_id for found in book.recent_balls(2)] == ["lost", "back"]
        assert [count.balls for count in book.session_counts()] == [1, 1, 2]


def test_session_counts_are_those_of_the_balls(path: Path) -> None:
    with open_book(path) as book:
        furnish(book)
        book.add_balls(
            [
                ball(1, side=Side.ON_LINE),
                ball(2, side=Side.RIGHT, start_deg=1.5, strike="solid"),
                ball(3, side=Side.ON_LINE, start_deg=1.5, aim_correction_deg=5.0, strike="thin"),
                ball(4, side=None, counted=False, reason="interrupted"),
                ball(5, voided=True, strike="solid"),
            ]
        )
        (count,) = book.session_counts()
        assert (count.balls, count.counted, count.strike_known, count.solid, count.seen, count.on_line) == (4, 3, 2, 1, 3, 2)


def test_a_read_only_book_takes_no_change(path: Path) -> None:
    open_book(path).close()
    with open_book(path, read_only=True) as book:
        assert book.read_only
        with pytest.raises(NotSaved) as caught:
            book.add_club(makers.CLUB)
        assert caught.value.cause == "read-only"
    assert rows(path, "SELECT count(*) FROM clubs") == [(0,)]


def test_reading_changes_no_byte(path: Path) -> None:
    with open_book(path) as book:
        furnish(book, 5)
    before, times = path.read_bytes(), path.stat().st_mtime_ns
    with open_book(path, read_only=True) as book:
        book.recent_balls()
        book.session_counts()
        book.check()
    assert (path.read_bytes(), path.stat().st_mtime_ns) == (before, times)


def test_an_interrupt_in_mid_change_leaves_nothing_open(path: Path) -> None:
    with open_book(path) as book:
        furnish(book)

        def work(connection: object) -> None:
            connection.execute("INSERT INTO clubs VALUES ('half', 'iron', NULL, '')")  # type: ignore[attr-defined]
            raise KeyboardInterrupt

        with pytest.raises(KeyboardInterrupt):
            book._write(work)
        book.add_ball(ball(1))
    assert rows(path, "SELECT count(*) FROM clubs WHERE id = 'half'") == [(0,)]


def test_a_slow_disk_is_told_once_and_a_hiccup_not_at_all(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Three slow commits in a row are a slow disk; a quick one between begins the count anew."""
    now = 0.0
    took = iter((1.0, 1.0, 0.01, 1.0, 1.0, 1.0, 1.0, 0.01, 1.0, 1.0, 1.0))

    def clock() -> float:
        """Asked at the beginning and at the end of every commit."""
        nonlocal now, begun
        begun = not begun
        now += 0.0 if begun else next(took)
        return now

    begun = False
    with open_book(path) as book:
        monkeypatch.setattr("rangelog.store.desk.time.perf_counter", clock)
        told = []
        for number in range(11):
            book.add_club(Club(f"c{number}", "wedge"))
            told.append(len(book.warnings))
        assert told == [0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1]
        assert book.warnings == ["The disk is slow: saving took 1000 ms."]


def test_a_book_replaced_by_another_program_is_noticed_and_can_be_copied(path: Path, tmp_path: Path) -> None:
    with open_book(path) as book:
        furnish(book, 3)
        os.replace(path, tmp_path / "taken away.db")
        open_book(tmp_path / "other.db").close()
        os.replace(tmp_path / "other.db", path)
        with pytest.raises(NotSaved) as caught:
            book.add_ball(ball(4))
        assert caught.value.cause == "replaced"
        assert book.save_copy(tmp_path / "rescued.db") == 3
    with open_book(tmp_path / "rescued.db") as rescued:
        rescued.add_ball(ball(4))
        assert rescued.total_balls() == 4


def test_hand_edited_rows_are_set_aside_and_named(path: Path) -> None:
    with open_book(path) as book:
        furnish(book, 4)
    makers.tamper(path, "UPDATE balls SET side = 'up' WHERE seq = 2", "UPDATE balls SET grip_deg = 400 WHERE seq = 3")
    with open_book(path) as book:
        assert [found.seq for found in book.balls("s1")] == [1, 4]
        assert sorted(bad.id for bad in book.bad_rows.values()) == ["s1-ball-2", "s1-ball-3"]
        assert book.total_balls() == 4


def test_setup_words_and_numbers_come_back_with_their_types(path: Path) -> None:
    with open_book(path) as book:
        furnish(book).add_ball(ball(1, setup=Setup(2, 30, 0)))
        found = book.ball("s1-ball-1")
    assert found is not None
    assert isinstance(found.setup.bow, float)
    assert isinstance(found.side, Side)


def test_people_can_read_the_views(path: Path) -> None:
    with open_book(path) as book:
        furnish(book).add_ball(full_ball())
        book.edit_balls([edit(1, "s1-ball-1", "side", '"right"', '"left"')])
    assert rows(path, "SELECT date, ball, block, club, side, corrected_start_deg FROM ball_list") == [
        ("2026-05-01", 1, "bow bracket", "iron", "left", 5.0)
    ]
    assert rows(path, "SELECT date, balls, counted, solid FROM session_list") == [("2026-05-01", 1, 1, 0)]
    assert rows(path, "SELECT date, ball, field, old, new, takes_back FROM edit_list") == [
        ("2026-05-01", 1, "side", '"right"', '"left"', 0)
    ]


def test_the_clock_is_asked_and_not_the_system(path: Path) -> None:
    clock = Clock()
    with Book.open(path, now=clock, sleep=makers.no_sleep) as book:
        book.save_state({"a": 1})
        clock.move(hours=1)
        book.save_state({"b": 1})
    assert rows(path, "SELECT key, saved_utc FROM state ORDER BY key") == [
        ("a", "2026-05-01T15:00:00.000000Z"),
        ("b", "2026-05-01T16:00:00.000000Z"),
    ]
