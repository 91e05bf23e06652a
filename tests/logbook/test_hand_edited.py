"""What another hand did to plans and to the memory of the tee: told once, and the log goes on with every ball."""

import json
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.flight import Flight
from rangelog.core.words import Side
from rangelog.logbook import Logbook
from rangelog.logbook.tee_state import STATE_KEYS, TeeState

Open = Callable[..., Logbook]
RIGHT = Flight(Side.RIGHT)


def laid(path: Path, sql: str, *values: object) -> None:
    """Change the file as another program would."""
    connection = sqlite3.connect(path)
    with connection:
        assert connection.execute(sql, values).rowcount > 0
    connection.close()


WORDS = ["done", "undone", "hit", "edit", "half", "mat", "bow", "grip", "swing", "surface", "setting", "rule", "confirm", "\ud800"]
JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-9, 99) | st.floats() | st.text(max_size=3) | st.sampled_from(WORDS),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(WORDS) | st.text(max_size=2), inner, max_size=4),
    max_leaves=10,
)


@given(st.dictionaries(st.sampled_from(STATE_KEYS), JSON, max_size=4))
def test_a_state_of_any_shape_gives_defaults_that_can_be_written_again(rows: dict[str, object]) -> None:
    state, damaged = TeeState.read(rows)
    assert set(damaged) <= set(rows)
    for key in damaged:
        assert state.as_rows()[key] == TeeState().as_rows()[key]
    again = json.loads(json.dumps(state.as_rows(), allow_nan=False).encode())
    assert TeeState.read(again) == (state, ())


SETTING = {"bow": 1.0, "grip": 30.0}
FULL = {
    "setup": {**SETTING, "position_balls": 0.0, "club_id": "c", "swing": "half", "stick": True, "surface": "mat", "aim_line": True},
    "acts": {"done": [["hit", "b", "right"]], "undone": []},
    "hint": {"rule": "more", "action": "2 MORE", "words": "Two more.", "why": ["2 of 4"], "setting": SETTING, "block": None},
    "proposal": SETTING,
    "offer": SETTING,
    "told": {"tired": 3},
}


@given(st.data())
def test_one_value_out_of_place_costs_no_more_than_its_own_key(data: st.DataObject) -> None:
    whole, nothing = TeeState.read(FULL)
    assert nothing == ()
    key = data.draw(st.sampled_from(STATE_KEYS))
    fields = dict(FULL[key])  # type: ignore[call-overload]
    fields[data.draw(st.sampled_from(sorted(fields)))] = data.draw(JSON)
    state, damaged = TeeState.read({**FULL, key: fields})
    assert set(damaged) <= {key}
    for other in set(STATE_KEYS) - {key}:
        assert state.as_rows()[other] == whole.as_rows()[other]


@pytest.mark.parametrize("text", ["no plan", '{"steps":[{"bow":99,"grip":30}]}', "[" * 5000, '{"steps":7}', '{"steps":[{"called":"up"}]}'])
def test_a_block_whose_plan_cannot_be_read_goes_on_without_one_and_says_so_once(
    logbook: Logbook, open_book: Open, book_path: Path, text: str
) -> None:
    logbook.start_block("trajectory", 9)
    logbook.hit(RIGHT)
    logbook.close()
    laid(book_path, "UPDATE blocks SET plan_json = ?", text)
    book = open_book()
    book.load_model()
    assert "The plan of the trajectory block cannot be read: it goes on without one." in book.resume_text
    assert book.hit(RIGHT).kind == "saved"
    view = book.view()
    assert (view.block_hit, view.block is not None) == (2, True)
    assert book.planned_ball() == {}
    book.end_block()
    book.close()
    assert "plan" not in open_book().resume_text
    connection = sqlite3.connect(book_path)
    assert connection.execute("SELECT plan_json FROM blocks").fetchone() == (text,), "the book keeps what the hand wrote"
    connection.close()


SPOILT = ["7", "{", "[[]]", '{"bow":"two"}', "null", '{"swing":[]}', "[" * 100_000, '"\\ud800"']


@pytest.mark.parametrize(("key", "value"), [*(("setup", value) for value in SPOILT), *((key, "[3]") for key in STATE_KEYS[1:])])
def test_a_state_that_cannot_be_read_starts_anew_and_says_so_once(
    logbook: Logbook, open_book: Open, book_path: Path, key: str, value: str
) -> None:
    for _ in range(3):
        logbook.hit(RIGHT)
    logbook.close()
    connection = sqlite3.connect(book_path)
    with connection:
        connection.execute("INSERT OR REPLACE INTO state VALUES (?, ?, '')", (key, value))
    connection.close()
    book = open_book()
    told = f"What was kept of the tee cannot be read ({key}): it starts anew. Every ball is there."
    assert (told in book.resume_text) == (value != "null")
    assert book.resume_text.startswith("3 balls restored")
    assert book.hit(RIGHT).text.startswith("Ball 4: right")
    if book.view().can_undo:
        book.undo()
    book.close()
    assert "cannot be read" not in open_book().resume_text


@pytest.mark.parametrize("bad", [2, 3])
def test_text_that_is_no_text_in_the_state_or_a_ball_hides_no_other_row(
    logbook: Logbook, open_book: Open, book_path: Path, bad: int
) -> None:
    for _ in range(3):
        logbook.hit(RIGHT)
    logbook.close()
    laid(book_path, "UPDATE state SET value_json = CAST(x'ff22' AS TEXT) WHERE key = 'setup'")
    laid(book_path, "UPDATE balls SET note = CAST(x'41ff' AS TEXT) WHERE seq = ?", bad)
    book = open_book()
    assert "(setup)" in book.resume_text
    assert [ball.seq for ball in book.balls()] == [seq for seq in (1, 2, 3) if seq != bad]
    assert book.hit(RIGHT).text.startswith("Ball 4: right"), "the number of a ball that cannot be read is not given again"


def test_an_act_on_a_ball_that_is_not_there_is_no_act_to_take_back(logbook: Logbook, open_book: Open, book_path: Path) -> None:
    logbook.hit(RIGHT)
    logbook.close()
    laid(book_path, 'UPDATE state SET value_json = \'{"done":[["hit","gone","left"]],"undone":[]}\' WHERE key = \'acts\'')
    book = open_book()
    assert not book.view().can_undo


def test_a_club_that_is_not_in_the_bag_costs_no_ball(logbook: Logbook, open_book: Open, book_path: Path) -> None:
    logbook.hit(RIGHT)
    logbook.close()
    laid(book_path, "UPDATE state SET value_json = replace(value_json, '\"club_id\":\"', '\"club_id\":\"not ') WHERE key = 'setup'")
    book = open_book()
    assert book.hit(RIGHT).kind == "saved"
    assert book.balls()[-1].setup.club_id == book.balls()[0].setup.club_id
