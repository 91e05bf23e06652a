"""Whatever stands in a file: an import ends, names what it sets aside, and the book stays whole."""

import json
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from rangelog.core.errors import RangelogError
from rangelog.core.player import Player
from rangelog.exchange import hint_lines
from rangelog.exchange.csv_columns import COLUMNS
from rangelog.exchange.csv_in import import_csv
from rangelog.exchange.foreign import preview
from rangelog.exchange.jsonl import import_jsonl
from rangelog.exchange.mapping import Mapping
from rangelog.logbook.archive import Archive

FEW = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
SCALARS = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=8), st.sampled_from(["s1", "mat", "right", "half", "on line"])
)
VALUES = st.recursive(
    SCALARS, lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=4), inner, max_size=3)), max_leaves=6
)
FIELDS = st.sampled_from(
    ["id", "kind", "session_id", "seq", "at", "bow_notches", "side", "stick", "answers_json", "hand", "value_json", "key", "field"]
)
KINDS = st.sampled_from(["player", "club", "prescription", "session", "block", "ball", "form", "edit", "state", "ghost"])


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Archive]:
    with Archive.take(tmp_path_factory.mktemp("fuzz") / "a.book", daily_backup=False) as archive:
        archive.save_player(Player("player-1", "anna"))
        yield archive


def survives(book: Archive, take: Callable[[], object]) -> None:
    """The import ends, in an answer or in one clear line; what stands in the book can all be read afterwards."""
    with suppress(RangelogError):
        take()
    for session in book.sessions():
        book.balls(session.id, include_voided=True)
    assert not book.bad_rows
    assert book.player() == Player("player-1", "anna")


@FEW
@given(rows=st.lists(st.tuples(KINDS, st.dictionaries(FIELDS, VALUES, max_size=8)), max_size=6))
def test_rows_of_any_shape(book: Archive, rows: list[tuple[str, dict[str, object]]], tmp_path: Path) -> None:
    lines = [json.dumps({"kind": kind, **row}) for kind, row in rows]
    (tmp_path / "in.jsonl").write_text("\n".join(lines), encoding="utf-8")
    survives(book, lambda: import_jsonl(book, tmp_path / "in.jsonl"))
    hint_lines.read(lines)


@FEW
@given(data=st.binary(max_size=300))
@example(data=b"\xff\xfe\x00\x00")
@example(data=b'{"kind": "ball"' + b"[" * 3000)
@example(data=b'{"kind": "ball", "id": ' + b"9" * 6000 + b"}")
def test_bytes_of_any_kind(book: Archive, data: bytes, tmp_path: Path) -> None:
    (tmp_path / "in").write_bytes(data)
    survives(book, lambda: import_jsonl(book, tmp_path / "in"))
    survives(book, lambda: import_csv(book, tmp_path / "in"))
    survives(book, lambda: preview(book, tmp_path / "in", Mapping("m", "right", {"date": "d"})))
    hint_lines.read(data.decode("utf-8", "replace").splitlines())


@FEW
@given(cells=st.lists(st.text(max_size=6), min_size=len(COLUMNS), max_size=len(COLUMNS)))
@example(cells=["x" * 200_000] * len(COLUMNS))
@example(cells=["\0"] * len(COLUMNS))
@example(cells=["=1"] * len(COLUMNS))
def test_cells_of_any_kind(book: Archive, cells: list[str], tmp_path: Path) -> None:
    quoted = ",".join('"' + cell.replace('"', '""') + '"' for cell in cells)
    header = ",".join(column.name for column in COLUMNS)
    (tmp_path / "in.csv").write_bytes(f"{header}\r\n{quoted}\r\n".encode("utf-8", "replace"))
    survives(book, lambda: import_csv(book, tmp_path / "in.csv"))
