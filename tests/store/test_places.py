"""Network file systems are named; private files stay private."""

import os
import stat
import sys
from pathlib import Path

import pytest

from rangelog.store import places
from tests.store.makers import open_book

MOUNTS = """\
/dev/sda1 / ext4 rw 0 0
server:/home /home nfs4 rw 0 0
/dev/sdb1 /home/player/disk\\040of\\040mine ext4 rw 0 0
//box/share /mnt/golf cifs rw 0 0
me@host:/data /mnt/far fuse.sshfs rw 0 0
tmpfs /home/player/memory tmpfs rw 0 0
broken line
"""


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/var/lib/book.db", ""),
        ("/home/player/book.db", "nfs4"),
        ("/home/player/disk of mine/book.db", ""),
        ("/home/player/memory/book.db", ""),
        ("/mnt/golf/book.db", "cifs"),
        ("/mnt/golf-clubs/book.db", ""),
        ("/mnt/far/a/b/book.db", "fuse.sshfs"),
    ],
)
def test_the_nearest_mount_decides(path: str, kind: str) -> None:
    assert places.network_kind(Path(path), MOUNTS) == kind


def test_no_table_of_mounts_means_no_warning(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(places, "MOUNTS", tmp_path / "none")
    assert places.network_kind(tmp_path) == ""
    monkeypatch.setattr(sys, "platform", "elsewhere")
    assert places.network_kind(tmp_path) == ""


def test_a_book_on_a_network_warns_and_works(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    table = tmp_path / "mounts"
    table.write_text(f"server:/home {tmp_path} nfs rw 0 0\n")
    monkeypatch.setattr(places, "MOUNTS", table)
    monkeypatch.setattr(sys, "platform", "linux")
    with open_book(tmp_path / "book.db") as book:
        assert book.warnings == ["The book lies on a network file system (nfs); keep it on a disk of this computer."]
        assert not book.read_only


def test_private_folders_leave_existing_ones_alone(tmp_path: Path) -> None:
    os.chmod(tmp_path, 0o755)
    places.make_private_folder(tmp_path / "a" / "b")
    assert [stat.S_IMODE((tmp_path / part).stat().st_mode) for part in (".", "a", "a/b")] == [0o755, 0o700, 0o700]
    places.make_private_folder(tmp_path / "a" / "b")


def test_a_private_file_is_never_made_over_another(tmp_path: Path) -> None:
    places.make_private_file(tmp_path / "f")
    with pytest.raises(FileExistsError):
        places.make_private_file(tmp_path / "f")


def test_a_free_name_is_found(tmp_path: Path) -> None:
    names = []
    for _ in range(3):
        name = places.free_name(tmp_path / "book.db")
        name.touch()
        names.append(name.name)
    assert names == ["book.db", "book.2.db", "book.3.db"]


@pytest.mark.parametrize("links", [True, False])
def test_a_name_is_never_given_over_another_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, links: bool) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError("no links here")

    if not links:
        monkeypatch.setattr(os, "link", refuse)
    draft, name = tmp_path / "draft", tmp_path / "name"
    draft.write_text("new")
    places.give_name(draft, name)
    assert (name.read_text(), draft.exists()) == ("new", False)
    draft.write_text("newer")
    with pytest.raises(FileExistsError):
        places.give_name(draft, name)
    assert (name.read_text(), draft.read_text()) == ("new", "newer")
