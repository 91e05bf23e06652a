"""Power cuts while a book is begun, brought forward, backed up or restored; the harness beside this file looks at each in more ways."""

import sqlite3
from pathlib import Path

import pytest

from rangelog.store import backup, opening, places
from tests.harness.power_names import SCENES, cut_everywhere


@pytest.mark.parametrize("scene", SCENES)
def test_wherever_the_power_is_cut_the_book_is_whole_or_offered(tmp_path: Path, scene: str) -> None:
    outcome = cut_everywhere(tmp_path, scene, ways=1, seed=5)
    assert outcome.failures == []
    assert outcome.points >= 40
    assert outcome.syncs >= 5


@pytest.mark.parametrize("scene", ["begin", "back up", "restore"])
def test_the_harness_finds_out_a_folder_that_is_not_synced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, scene: str) -> None:
    monkeypatch.setattr(places, "sync_folder", lambda folder: None)
    assert cut_everywhere(tmp_path, scene, ways=2, seed=5).failures != []


@pytest.mark.parametrize("scene", ["begin", "bring forward", "back up", "restore"])
def test_the_harness_finds_out_a_file_that_is_not_synced(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, scene: str) -> None:
    connect = sqlite3.connect

    def careless(*words: object, **options: object) -> sqlite3.Connection:
        made: sqlite3.Connection = connect(*words, **options)  # type: ignore[call-overload]
        made.execute("PRAGMA synchronous = OFF")
        return made

    monkeypatch.setattr(opening, "_PRAGMAS", tuple(pragma for pragma in opening._PRAGMAS if not pragma.startswith("synchronous")))
    monkeypatch.setattr(backup.sqlite3, "connect", careless)
    monkeypatch.setattr(places, "sync_file", lambda path: None)
    assert cut_everywhere(tmp_path, scene, ways=3, seed=5).failures != []
