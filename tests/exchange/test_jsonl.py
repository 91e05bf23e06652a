"""JSON Lines gives back the same book."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog.core.errors import RangelogError, Refused
from rangelog.core.words import Hand
from rangelog.exchange.jsonl import export_jsonl, import_jsonl, lines, restore
from rangelog.logbook.archive import Archive

Make = Callable[..., Archive]


def every_row(archive: Archive) -> list[dict[str, object]]:
    return [row for kind in archive.kinds() for row in archive.rows_of(kind)]


def test_every_row_of_every_kind_comes_back_as_it_was(filled: Make, tmp_path: Path) -> None:
    book = filled()
    export_jsonl(book, tmp_path / "out.jsonl")
    restore(tmp_path / "out.jsonl", tmp_path / "back.book")
    with Archive.look(tmp_path / "back.book") as back:
        assert every_row(back) == every_row(book)
        assert back.state("setup") == {"bow": 1.0}
        assert [edit.reason for edit in back.edits()] == ["forgot"]
        assert back.balls("s1", include_voided=True) == book.balls("s1", include_voided=True)


def test_every_line_is_a_json_object_with_its_kind_first(filled: Make) -> None:
    rows = [json.loads(line) for line in lines(filled())]
    assert {row["kind"] for row in rows} == {"player", "club", "prescription", "session", "block", "ball", "form", "edit", "state"}
    assert all(next(iter(row)) == "kind" for row in rows)
    assert [row["stick"] for row in rows if row["kind"] == "ball"] == [True, False, True, True]


def test_the_same_file_twice_changes_nothing(filled: Make, tmp_path: Path) -> None:
    book = filled()
    export_jsonl(book, tmp_path / "out.jsonl")
    before = every_row(book)
    again = import_jsonl(book, tmp_path / "out.jsonl")
    assert (dict(again.added), again.bad) == ({}, ())
    assert again.known["ball"] == 4
    assert every_row(book) == before


def test_bad_lines_are_set_aside_by_number_and_the_rest_goes_in(filled: Make, new_book: Make, tmp_path: Path) -> None:
    book = filled()
    good = list(lines(book))
    bad_bow = json.dumps({**json.loads(next(line for line in good if '"ball"' in line)), "id": "bad", "seq": 9, "bow_notches": 9})
    (tmp_path / "in.jsonl").write_text(
        "\n".join(["{oops", *good, bad_bow, '{"kind": "ball", "id": "x"}', "[1]", '{"kind": "ghost"}']) + "\n"
    )
    into = new_book("into")
    found = import_jsonl(into, tmp_path / "in.jsonl")
    n = len(good)
    assert [each.line for each in found.bad] == [1, n + 2, n + 3, n + 4, n + 5]
    assert found.bad[1].why == "Bow runs -2 to 5."
    assert found.added["ball"] == 4
    assert into.balls("s1", include_voided=True) == book.balls("s1", include_voided=True)


def test_a_dry_run_says_what_would_be_and_writes_nothing(filled: Make, new_book: Make, tmp_path: Path) -> None:
    export_jsonl(filled(), tmp_path / "out.jsonl")
    into = new_book("into")
    found = import_jsonl(into, tmp_path / "out.jsonl", dry_run=True)
    assert (found.added["ball"], found.dry) == (4, True)
    assert found.sentence() == "4 balls would be added, 0 already there."
    assert every_row(into) == []


@pytest.mark.parametrize(("hand", "player_id"), [(Hand.LEFT, "player-1"), (Hand.RIGHT, "player-2")])
def test_another_player_or_another_hand_is_refused_by_name_and_nothing_enters(
    filled: Make, tmp_path: Path, hand: Hand, player_id: str
) -> None:
    export_jsonl(filled("theirs", hand=hand, player_id=player_id, session="s2", day=6), tmp_path / "theirs.jsonl")
    mine = filled()
    before = every_row(mine)
    with pytest.raises(Refused, match=f"anna, {hand}-handed.*anna, right-handed"):
        import_jsonl(mine, tmp_path / "theirs.jsonl")
    assert every_row(mine) == before


def test_a_restore_never_writes_over_a_file(filled: Make, tmp_path: Path) -> None:
    export_jsonl(filled(), tmp_path / "out.jsonl")
    with pytest.raises(Refused, match="is there already"):
        restore(tmp_path / "out.jsonl", tmp_path / "full.book")


def test_an_export_that_fails_leaves_the_old_file(filled: Make, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "out.jsonl"
    target.write_text("old")
    book = filled()

    def breaks(_: object) -> str:
        raise OSError("no room")

    monkeypatch.setattr("rangelog.exchange.jsonl._WRITE", breaks)
    with pytest.raises(Refused, match="cannot be written: no room"):
        export_jsonl(book, target)
    assert target.read_text() == "old"
    assert not list(tmp_path.glob("*.part"))


def test_a_folder_is_no_target(filled: Make, tmp_path: Path) -> None:
    with pytest.raises(Refused, match="cannot be written"):
        export_jsonl(filled(), tmp_path)


def test_an_export_into_a_missing_folder_is_told_in_one_line(filled: Make, tmp_path: Path) -> None:
    with pytest.raises(RangelogError, match="cannot be written"):
        export_jsonl(filled(), tmp_path / "nowhere" / "out.jsonl")
    with pytest.raises(RangelogError, match="cannot be read"):
        import_jsonl(filled("other"), tmp_path / "nothing.jsonl")


def test_standard_output_gets_the_rows(filled: Make, capsys: pytest.CaptureFixture[str]) -> None:
    found = export_jsonl(filled())
    assert len(capsys.readouterr().out.splitlines()) == sum(found.rows.values())
    assert found.target == "standard output"


def test_what_is_said_of_a_bad_or_foreign_row_cannot_steer_a_terminal(filled: Make, new_book: Make, tmp_path: Path) -> None:
    row = {"kind": "ball", "id": "b", "session_id": "\x1b[2J", "seq": 1, "at": "2026-05-04T17:00:00+02:00", "position_balls": 0.0}
    rest = {"swing": "half", "stick": True, "surface": "mat", "aim_line": True, "touched": False, "target": "", "counted": True}
    more = {"voided": False, "aim_correction_deg": 0.0, "note": ""}
    (tmp_path / "in.jsonl").write_text(json.dumps({**row, **rest, **more}) + "\n")
    (bad,) = import_jsonl(new_book("into"), tmp_path / "in.jsonl").bad
    assert bad.why.isprintable()
    (tmp_path / "in.jsonl").write_text(
        json.dumps({"kind": "player", "id": "x", "code": "\x1b[2J", "hand": "left", "lead_hand": "right"}) + "\n"
    )
    with pytest.raises(Refused) as refused:
        import_jsonl(filled(), tmp_path / "in.jsonl")
    assert str(refused.value).isprintable()
