"""Where things lie; nothing is made by asking."""

from pathlib import Path

import pytest

from rangelog import paths


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for name in ("HOME", "XDG_DATA_HOME", "XDG_CONFIG_HOME", "XDG_CACHE_HOME", "LOCALAPPDATA", "APPDATA"):
        monkeypatch.setenv(name, str(tmp_path / "nobody" / name))
    return tmp_path


def test_the_book_lies_in_the_data_folder_unless_named(tmp_path: Path) -> None:
    assert paths.default_book({}) == paths.data_folder() / "rangelog.db"
    assert paths.default_book({"RANGELOG_BOOK": "  "}) == paths.data_folder() / "rangelog.db"
    assert paths.default_book({"RANGELOG_BOOK": str(tmp_path / "my book.db")}) == tmp_path / "my book.db"
    assert paths.default_book({"RANGELOG_BOOK": "~/b.db"}) == Path.home() / "b.db"


def test_asking_makes_nothing(home: Path) -> None:
    asked = [paths.default_book({}), paths.settings_file(), paths.cache_folder(), paths.backups_folder(paths.default_book({}))]
    assert len(set(asked)) == 4
    assert all(home in path.parents for path in asked)
    assert list(home.iterdir()) == []


def test_backups_lie_beside_the_book(tmp_path: Path) -> None:
    from rangelog.store.backup import folder_of

    assert paths.backups_folder(tmp_path / "book.db") == folder_of(tmp_path / "book.db") == tmp_path / "backups"
