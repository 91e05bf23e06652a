"""CSV: one row a ball, the same balls back, safe in a spreadsheet."""

import csv
import io
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from rangelog.core.errors import Refused
from rangelog.exchange import cells
from rangelog.exchange.csv_columns import COLUMNS
from rangelog.exchange.csv_in import import_csv
from rangelog.exchange.csv_out import _written, export_csv
from rangelog.logbook.archive import Archive

Make = Callable[..., Archive]
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")


def read(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def test_the_same_balls_come_back_with_sessions_blocks_and_clubs(filled: Make, new_book: Make, tmp_path: Path) -> None:
    book = filled()
    export_csv(book, tmp_path / "out.csv")
    back = new_book("back")
    found = import_csv(back, tmp_path / "out.csv")
    assert found.bad == ()
    assert back.balls("s1", include_voided=True) == book.balls("s1", include_voided=True)
    assert back.sessions() == book.sessions()
    assert back.clubs() == book.clubs()
    assert [(block.id, block.kind, block.planned) for block in back.blocks("s1")] == [("s1b", "baseline", 10)]
    assert back.player() == book.player()


def test_the_same_csv_twice_and_into_its_own_book_changes_nothing(filled: Make, tmp_path: Path) -> None:
    book = filled()
    export_csv(book, tmp_path / "out.csv")
    before = [row for kind in book.kinds() for row in book.rows_of(kind)]
    for _ in range(2):
        found = import_csv(book, tmp_path / "out.csv")
        assert (dict(found.added), found.bad) == ({}, ())
    assert [row for kind in book.kinds() for row in book.rows_of(kind)] == before


def test_one_row_a_ball_with_units_in_the_names_and_numbers_left_numbers(filled: Make, tmp_path: Path) -> None:
    export_csv(filled(), tmp_path / "out.csv")
    rows = read(tmp_path / "out.csv")
    assert len(rows) == 4
    assert {"start_deg", "apex_m", "launch_deg", "grip_deg", "bow_notches", "position_balls"} <= rows[0].keys()
    assert rows[1]["start_deg"] == "-5.1"
    assert rows[1]["corrected_start_deg"] == "-6.6"
    assert float(rows[1]["position_balls"]) == -0.25
    assert rows[0]["hand"] == "right"


def test_cells_that_could_be_formulas_are_safe(filled: Make, tmp_path: Path) -> None:
    export_csv(filled(), tmp_path / "out.csv")
    rows = read(tmp_path / "out.csv")
    assert rows[0]["note"] == "'=SUM(A1)"
    assert rows[1]["club"] == "'=wedge"
    assert rows[0]["session_note"] == "'-cold"
    texts = [column.name for column in COLUMNS if column.form == "text"]
    assert not [row[name] for row in rows for name in texts if row[name].startswith(FORMULA_STARTS)]


@given(st.text())
@example("'=1")
@example("''  +1")
@example("-5")
@example("\t\r\n=x")
def test_any_text_is_safe_in_a_cell_and_comes_back_unchanged(text: str) -> None:
    cell = cells.safe(text)
    assert cells.plain(cell) == text
    assert not cell.lstrip(" ").startswith(FORMULA_STARTS)


@given(st.floats(allow_nan=False, allow_infinity=False))
def test_any_number_comes_back_to_the_last_digit(value: float) -> None:
    assert float(cells.number(value)) == value


def broken(tmp_path: Path, change: Callable[[list[list[str]]], None], source: Path) -> Path:
    with source.open(encoding="utf-8", newline="") as stream:
        rows = list(csv.reader(stream))
    change(rows)
    out = io.StringIO(newline="")
    csv.writer(out).writerows(rows)
    path = tmp_path / "changed.csv"
    path.write_text(out.getvalue(), encoding="utf-8", newline="")
    return path


def test_bad_rows_are_set_aside_with_line_number_and_reason(filled: Make, new_book: Make, tmp_path: Path) -> None:
    export_csv(filled(), tmp_path / "out.csv")
    place = {column.name: at for at, column in enumerate(COLUMNS)}

    def change(rows: list[list[str]]) -> None:
        rows[1][place["bow_notches"]] = "9"
        rows[2][place["start_deg"]] = "nan"
        rows[3][place["stick"]] = "perhaps"
        rows[4] = rows[4][:5]

    found = import_csv(new_book("back"), broken(tmp_path, change, tmp_path / "out.csv"))
    # the note of the second ball holds a line break, so the rows after it stand one line further down
    assert [each.line for each in found.bad] == [2, 3, 5, 6]
    assert "start_deg: 'nan' is not a number" in found.bad[1].why
    assert "stick" in found.bad[2].why
    assert found.added.get("ball", 0) == 0


def test_a_foreign_or_broken_header_is_refused(filled: Make, tmp_path: Path) -> None:
    book = filled()
    for header, words in (("date,side\n", "ball_id is missing"), ("ball_id,ball_id\n", "twice"), ("", "no header")):
        (tmp_path / "x.csv").write_text(header)
        with pytest.raises(Refused, match=words):
            import_csv(book, tmp_path / "x.csv")


def test_a_byte_order_mark_in_front_is_no_part_of_the_header(filled: Make, new_book: Make, tmp_path: Path) -> None:
    export_csv(filled(), tmp_path / "out.csv")
    (tmp_path / "bom.csv").write_bytes(b"\xef\xbb\xbf" + (tmp_path / "out.csv").read_bytes())
    assert import_csv(new_book("back"), tmp_path / "bom.csv").added["ball"] == 4


@given(st.lists(st.text(st.sampled_from('ab ,"\r\n\t;'), max_size=5), min_size=2, max_size=4))
def test_cells_stand_in_a_line_as_the_csv_module_writes_them(texts: list[str]) -> None:
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerow(texts)
    assert _written(*texts) + "\r\n" == out.getvalue()
    assert next(csv.reader(io.StringIO(f"{_written(*texts[:1])},{_written(*texts[1:])}\r\n", newline=""))) == texts
