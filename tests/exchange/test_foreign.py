"""A foreign table comes in by a declared mapping, is looked at first, and comes in once."""

from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog.core.errors import OffScale, Refused
from rangelog.core.words import Hand, Height, Reason, Side, Strike
from rangelog.exchange import mapping as mappings
from rangelog.exchange.foreign import PREVIEW_COLUMNS, import_foreign, preview
from rangelog.exchange.mapping import Mapping
from rangelog.logbook.archive import Archive

Make = Callable[..., Archive]
TABLE = """Day;Stick in hand;Wrist;Turn;Off line;Height seen;Contact;Peak;Remark
04.05.2026;Iron 28;0;2;5,5;lo;ok;30;=cmd
04.05.2026;Iron 28;0;2;-1;mid;thin one;;
04.05.2026;Iron 28;0;2;5,5;lo;ok;30;=cmd
05.05.2026;New wedge;9;2;1;;ok;;
05.05.2026;New wedge;1;3;;hi;;;
05.05.2026;New wedge;1;3;far;hi;;;
05.05.2026;New wedge
06/05/2026;New wedge;1;3;1;hi;;;
"""
MAPPING = Mapping(
    "club table",
    "right",
    {
        "date": "Day",
        "club": "Stick in hand",
        "bow": "Wrist",
        "grip": "Turn",
        "start": "Off line",
        "height": "Height seen",
        "strike": "Contact",
        "apex": "Peak",
        "note": "Remark",
    },
    positive="left",
    units={"grip": "steps", "apex": "ft"},
    words={"height": {"lo": "low", "hi": "high"}, "strike": {"ok": "solid", "thin one": "thin"}},
    fixed={"stick": "off", "swing": "full"},
    date_form="%d.%m.%Y",
    delimiter=";",
    decimal=",",
)


@pytest.fixture
def table(tmp_path: Path) -> Path:
    path = tmp_path / "table.csv"
    path.write_text(TABLE, encoding="utf-8")
    return path


def test_columns_units_sign_and_words_are_taken_as_declared(filled: Make, table: Path) -> None:
    book = filled()
    found = import_foreign(book, table, MAPPING)
    assert found.added["ball"] == 4
    balls = [ball for session in book.sessions(newest_first=False)[:1] for ball in book.balls(session.id)]
    first = balls[0]
    assert (first.setup.bow, first.setup.grip, first.start_deg) == (0.0, 30.0, -5.5)
    assert (first.height, first.strike, first.note) == (Height.LOW, Strike.SOLID, "=cmd")
    # 30 ft in metres: the international foot is 0.3048 m exactly
    assert first.apex_m == pytest.approx(9.144)
    assert (first.setup.stick, first.setup.swing.value, first.counted) == (False, "full", True)
    assert balls[1].start_deg == 1.0


def test_bad_rows_are_set_aside_with_line_and_reason_and_their_sessions_do_not_come_in(filled: Make, table: Path) -> None:
    book = filled()
    found = import_foreign(book, table, MAPPING)
    assert [(each.line, each.why.split(":")[0].split(" ")[0]) for each in found.bad] == [
        (5, "Bow"),
        (7, "start"),
        (8, "2"),
        (9, "date"),
    ]
    unseen = book.balls(book.sessions(newest_first=False)[-1].id)[0]
    assert (unseen.counted, unseen.reason) == (False, Reason.NOT_SEEN)


def test_the_same_table_twice_comes_in_once_and_equal_rows_are_all_kept(filled: Make, table: Path, tmp_path: Path) -> None:
    book = filled()
    import_foreign(book, table, MAPPING)
    before = [row for kind in book.kinds() for row in book.rows_of(kind)]
    (tmp_path / "same under another name.csv").write_text(TABLE, encoding="utf-8")
    for path in (table, tmp_path / "same under another name.csv"):
        assert dict(import_foreign(book, path, MAPPING).added) == {}
    assert [row for kind in book.kinds() for row in book.rows_of(kind)] == before
    # two rows of the table are alike to the last sign; both are balls
    assert sum(ball.note == "=cmd" for ball in book.balls(book.sessions(newest_first=False)[0].id)) == 2


def test_a_longer_table_adds_only_what_is_new(filled: Make, table: Path) -> None:
    book = filled()
    import_foreign(book, table, MAPPING)
    table.write_text(TABLE + "05.05.2026;New wedge;1;3;2;hi;ok;;\n", encoding="utf-8")
    assert dict(import_foreign(book, table, MAPPING).added) == {"ball": 1}


def test_a_preview_shows_rows_and_counts_and_writes_nothing(filled: Make, table: Path) -> None:
    book = filled()
    before = [row for kind in book.kinds() for row in book.rows_of(kind)]
    found = preview(book, table, MAPPING, rows=2)
    assert [dict(zip(PREVIEW_COLUMNS, row, strict=True))["start"] for row in found.rows] == ["-5.5", "1"]
    assert dict(zip(PREVIEW_COLUMNS, found.rows[0], strict=True))["club"] == "Iron 28"
    assert (found.imported.added["ball"], len(found.imported.bad), found.imported.dry) == (4, 4, True)
    assert [row for kind in book.kinds() for row in book.rows_of(kind)] == before


@pytest.mark.parametrize(("hand", "wanted"), [(Hand.RIGHT, 5.0), (Hand.LEFT, -5.0)])
def test_a_start_toward_the_open_side_is_mirrored_by_the_hand(filled: Make, tmp_path: Path, hand: Hand, wanted: float) -> None:
    (tmp_path / "open.csv").write_text("d,o\n2026-05-01,5\n")
    book = filled(hand=hand)
    import_foreign(book, tmp_path / "open.csv", Mapping("open", hand.value, {"date": "d", "start": "o"}, positive="open"))
    assert book.balls(book.sessions(newest_first=False)[0].id)[0].start_deg == wanted


def test_the_other_hand_a_missing_column_and_a_book_without_a_player_are_refused(filled: Make, new_book: Make, table: Path) -> None:
    with pytest.raises(Refused, match="left-handed; this book is of anna, right-handed"):
        import_foreign(filled(), table, Mapping("x", "left", {"date": "Day"}, delimiter=";"))
    with pytest.raises(Refused, match="no column 'Nowhere'"):
        import_foreign(filled("two"), table, Mapping("x", "right", {"date": "Nowhere"}, delimiter=";"))
    with pytest.raises(Refused, match="no player"):
        import_foreign(new_book("empty"), table, MAPPING)


def test_a_mapping_is_saved_by_name_and_read_back(tmp_path: Path) -> None:
    mappings.save(MAPPING, tmp_path / "maps")
    assert mappings.load("club table", tmp_path / "maps") == MAPPING
    assert mappings.saved(tmp_path / "maps") == ["club table"]
    with pytest.raises(Refused, match="Saved ones: club table"):
        mappings.load("other", tmp_path / "maps")


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"name": "../x", "hand": "right", "columns": {"date": "d"}}, "name"),
        ({"name": "x", "hand": "both", "columns": {"date": "d"}}, "Hand"),
        ({"name": "x", "hand": "right", "columns": {"height of grass": "d", "date": "d"}}, "not a field"),
        ({"name": "x", "hand": "right", "columns": {"date": "d"}, "units": {"apex": "miles"}}, "one of: m, yd, ft"),
        ({"name": "x", "hand": "right", "columns": {"date": "d"}, "words": {"side": {"R": "rightish"}}}, "far left"),
        ({"name": "x", "hand": "right", "columns": {"bow": "b"}}, "date"),
        ({"name": "x", "hand": "right", "columns": {"date": "d"}, "positive": "up"}, "right, left, open"),
        ({"name": "x", "hand": "right", "columns": {"date": "d"}, "delimiter": ",", "decimal": ","}, "delimiter"),
        ({"name": "x", "hand": "right", "columns": ["date"]}, "columns"),
        ({"hand": "right", "columns": {"date": "d"}}, "needs name"),
        ({"name": "x", "hand": "right", "columns": {"date": "d"}, "extra": "y"}, "extra"),
    ],
)
def test_a_mapping_that_is_declared_wrongly_is_named(values: dict[str, object], words: str) -> None:
    with pytest.raises(OffScale, match=words):
        mappings.from_values(values)


def test_sides_as_words_come_in_too(filled: Make, tmp_path: Path) -> None:
    (tmp_path / "s.csv").write_text("d,s\n2026-05-01,RR\n2026-05-01,left\n")
    book = filled()
    import_foreign(book, tmp_path / "s.csv", Mapping("s", "right", {"date": "d", "side": "s"}, words={"side": {"RR": "far right"}}))
    assert [ball.side for ball in book.balls(book.sessions(newest_first=False)[0].id)] == [Side.FAR_RIGHT, Side.LEFT]
