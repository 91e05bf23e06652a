"""Two laptops' books of one player become one, whichever way round and however often."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from rangelog.core.ball import Ball
from rangelog.core.entry import clean_note
from rangelog.core.errors import Refused
from rangelog.core.player import Player
from rangelog.core.session import Edit, Session
from rangelog.core.setup import Setup
from rangelog.core.words import Hand, Side, Strike
from rangelog.exchange.csv_in import import_csv
from rangelog.exchange.csv_out import export_csv
from rangelog.exchange.jsonl import export_jsonl, restore
from rangelog.exchange.merge import merge
from rangelog.logbook.archive import Archive

Make = Callable[..., Archive]


def content(archive: Archive) -> list[str]:
    """Every row but what a program had in mind, in a fixed order."""
    return sorted(json.dumps(row, sort_keys=True) for kind in archive.kinds() if kind != "state" for row in archive.rows_of(kind))


def copied(archive: Archive) -> Archive:
    """The same book once more."""
    path = archive.path.with_name(f"copy of {archive.path.name}")
    archive.save_copy(path)
    return Archive.take(path, daily_backup=False)


def test_a_merge_holds_both_histories_and_is_the_same_either_way_round(filled: Make) -> None:
    here, there = filled("here", session="s1", day=4), filled("there", session="s2", day=5)
    here_again, there_again = copied(here), copied(there)
    assert merge(here, there).added["ball"] == 4
    merge(there_again, here_again)
    assert content(here) == content(there_again)
    assert [session.id for session in here.sessions(newest_first=False)] == ["s1", "s2"]
    assert len(here.edits()) == 2
    before = content(here)
    assert dict(merge(here, there).added) == {}
    assert content(here) == before
    here_again.close()
    there_again.close()


def test_a_merge_leaves_the_other_book_alone(filled: Make, tmp_path: Path) -> None:
    here = filled("here")
    filled("there", session="s2", day=5).close()
    bytes_before = (tmp_path / "there.book").read_bytes()
    with Archive.look(tmp_path / "there.book") as there:
        merge(here, there)
    assert (tmp_path / "there.book").read_bytes() == bytes_before


def test_what_the_other_laptop_had_in_mind_does_not_replace_ours(filled: Make) -> None:
    here, there = filled("here"), filled("there", session="s2", day=5)
    there.save_state({"setup": {"bow": 4.0}})
    merge(here, there)
    assert here.state("setup") == {"bow": 1.0}


def test_the_same_player_set_up_twice_merges_only_when_it_is_said(filled: Make) -> None:
    here, there = filled("here"), filled("there", player_id="player-9", session="s2", day=5)
    with pytest.raises(Refused, match="--same-player"):
        merge(here, there)
    assert merge(here, there, same_player=True).added["ball"] == 4
    assert here.player() == Player("player-1", "anna", Hand.RIGHT, Hand.LEFT)


def test_hands_never_merge_even_when_it_is_said(filled: Make) -> None:
    here, there = filled("here"), filled("there", hand=Hand.LEFT, session="s2", day=5)
    before = content(here)
    with pytest.raises(Refused, match=r"left-handed.*right-handed"):
        merge(here, there, same_player=True)
    assert content(here) == before


AT = "2026-05-04T17:00:00+02:00"
NOTES = st.text(st.characters(codec="utf-8", exclude_characters="\0"), max_size=12).map(clean_note)
"""Notes as the log keeps them: what steers a terminal never enters, and an export turns it into spaces where another hand put it in."""
BALLS = st.lists(
    st.tuples(
        st.integers(1, 6),
        st.sampled_from([None, *Side]),
        st.one_of(st.none(), st.floats(-45, 45).map(lambda value: round(value, 3))),
        st.sampled_from([None, *Strike]),
        st.sampled_from([None, -2.0, 0.5, 3.0]),
        NOTES,
        st.booleans(),
    ),
    max_size=6,
)


def lay(archive: Archive, mark: str, balls: list[tuple[int, Side | None, float | None, Strike | None, float | None, str, bool]]) -> None:
    """One session both laptops share, balls of this laptop with numbers that may clash, and an edit of the first."""
    archive.save_player(Player("player-1", "anna"))
    archive.start_session(Session("shared", AT, note="the same day"))
    taken: set[int] = set()
    made = []
    for place, (seq, side, start, strike, bow, note, voided) in enumerate(balls):
        if seq in taken:
            continue
        taken.add(seq)
        made.append(
            Ball(f"{mark}{place}", "shared", seq, AT, Setup(bow, 30.0), side=side, start_deg=start, strike=strike, note=note, voided=voided)
        )
    archive.add_balls(made)
    if made:
        archive.edit_balls([Edit(f"{mark}e", made[0].id, "bow", json.dumps(made[0].setup.bow), "1.0", AT, "forgot", f"{mark}g")])


@settings(max_examples=6, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(first=BALLS, second=BALLS)
def test_nothing_is_lost_or_doubled_by_export_import_and_merge(first: list, second: list, tmp_path_factory: pytest.TempPathFactory) -> None:
    folder = tmp_path_factory.mktemp("books")
    books = {}
    for name, balls in (("a", first), ("b", second)):
        books[name] = Archive.take(folder / f"{name}.book", daily_backup=False)
        lay(books[name], name, balls)
        books[f"{name}2"] = copied(books[name])
    try:
        wanted = {ball.id for name in ("a", "b") for ball in books[name].balls("shared", include_voided=True)}
        merge(books["a"], books["b"])
        merge(books["b2"], books["a2"])
        assert content(books["a"]) == content(books["b2"])
        merge(books["a"], books["b2"])
        assert content(books["a"]) == content(books["b2"])
        balls = books["a"].balls("shared", include_voided=True)
        assert sorted(ball.id for ball in balls) == sorted(wanted)
        assert len({ball.seq for ball in balls}) == len(balls)
        export_jsonl(books["a"], folder / "out.jsonl")
        restore(folder / "out.jsonl", folder / "back.book")
        export_csv(books["a"], folder / "out.csv")
        with Archive.look(folder / "back.book") as back, Archive.take(folder / "csv.book", daily_backup=False) as table:
            assert content(back) == content(books["a"])
            assert import_csv(table, folder / "out.csv").bad == ()
            assert table.balls("shared", include_voided=True) == balls
    finally:
        for archive in books.values():
            archive.close()
