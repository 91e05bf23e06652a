"""Nothing leaves the computer, nobody else reads the book, nothing lies about outside the log's own folders, and a crash tells no words."""

import asyncio
import os
import stat
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from rangelog.cli import main
from rangelog.core.flight import Flight
from rangelog.core.words import Side
from rangelog.logbook import Logbook
from rangelog.store import Book
from rangelog.tui.app import RangelogApp
from tests.harness.terminal import PUT_BACK, ROOT, Terminal, environment

SECRET = "the words of the player"
WATCH = """
import sys
def watch(event, args):
    if event in ("socket.connect", "socket.bind", "socket.getaddrinfo", "socket.sendto", "socket.sendmsg", "socket.gethostbyname"):
        sys.stderr.write(f"NETWORK {event}")
        raise SystemExit(77)
sys.addaudithook(watch)
"""
"""Ends a process that reaches out, or waits to be reached, by any library: the interpreter itself tells of every such act."""
PROGRAM = "from rangelog.cli import main; sys.exit(main(sys.argv[1:]))"


def tree(folder: Path) -> dict[str, int]:
    """Every file and folder beneath one, with its permissions."""
    return {str(path.relative_to(folder)): stat.S_IMODE(path.lstat().st_mode) for path in sorted(folder.rglob("*"))}


def played(book: Path, home: Path, *words: str, typed: str = "") -> subprocess.CompletedProcess[str]:
    """A command of the log on a book, in a process whose every audited act is watched: opening a socket beyond itself ends it."""
    return subprocess.run(
        [sys.executable, "-c", f"{WATCH}{PROGRAM}", "--book", str(book), *words],
        input=typed, env=environment(home), cwd=ROOT, text=True, capture_output=True, timeout=120,
    )  # fmt: skip


def test_a_session_and_its_report_open_no_connection_and_leave_nothing_outside(begun: Path, tmp_path: Path) -> None:
    home = tmp_path / "home of its own"
    home.mkdir()
    before = tree(home)
    for words, typed in (
        (("--plain",), "fj\nbow 2 grip 30\na\nnote windy\nundo\n"),
        (("report",), ""),
        (("export", "-"), ""),
        (("check",), ""),
    ):
        run = played(begun, home, *words, typed=typed)
        assert "NETWORK" not in run.stderr
        assert run.returncode == 0, run.stderr
    assert tree(home) == before


def test_the_guard_of_that_test_sees_a_connection() -> None:
    reach = "import socket; socket.socket().bind(('127.0.0.1', 0))"
    assert subprocess.run([sys.executable, "-c", f"{WATCH}{reach}"], timeout=60, capture_output=True).returncode == 77


def test_a_first_start_stays_in_the_data_folder_and_is_the_owners_alone(tmp_path: Path) -> None:
    home = tmp_path / "new" / "home"
    run = subprocess.run(
        [sys.executable, "-m", "rangelog", "--plain"],
        input="\n" * 15 + "fj\n", env=environment(home), cwd=ROOT, text=True, capture_output=True, timeout=120,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    assert "Ball 1" in run.stdout, run.stdout
    found = tree(home)
    assert found
    data = Path(".local/share/rangelog")
    for name, mode in found.items():
        assert Path(name) == data or data in Path(name).parents or Path(name) in data.parents, name
        assert mode & 0o077 == 0, (name, oct(mode))


def test_every_file_beside_a_book_is_the_owners_alone(tmp_path: Path) -> None:
    old = os.umask(0)
    try:
        path = tmp_path / "folder" / "book.db"
        with Logbook.open(path) as book:
            book.first_start(code="test", hand="right", club_name="iron", loft_deg=28.0)
            book.start_session()
            book.hit(Flight(Side.RIGHT))
            during = tree(tmp_path / "folder")
        with Book.open(path) as other:
            other.backup()
        assert main(["--book", str(path), "export", str(tmp_path / "folder" / "balls.csv")]) == 0
        assert main(["--book", str(path), "report", "--html", str(tmp_path / "folder" / "page.html")]) == 0
    finally:
        os.umask(old)
    assert stat.S_IMODE((tmp_path / "folder").stat().st_mode) == 0o700
    for name, mode in {**during, **tree(tmp_path / "folder")}.items():
        assert mode & 0o077 == 0, (name, oct(mode))


def test_a_book_with_spaces_and_other_letters_in_a_home_that_is_not_there(tmp_path: Path) -> None:
    path = tmp_path / "мой дом 高尔夫 ü" / "book of balls.db"
    run = subprocess.run(
        [sys.executable, "-m", "rangelog", "--plain"],
        input="\n" * 15 + "fj\n", env=environment(tmp_path / "not there", RANGELOG_BOOK=str(path), PYTHONIOENCODING="utf-8"),
        cwd=ROOT, text=True, capture_output=True, timeout=120,
    )  # fmt: skip
    assert run.returncode == 0, run.stderr
    with Book.open(path, read_only=True) as book:
        assert book.total_balls() == 1
    assert not (tmp_path / "not there").exists()


def test_a_crash_tells_where_and_none_of_the_players_words(logbook: Logbook, capsys: pytest.CaptureFixture[str]) -> None:
    logbook.hit(Flight(Side.RIGHT))
    logbook.note(SECRET)

    def breaks() -> None:
        words = SECRET
        raise ValueError(words)

    async def drive() -> RangelogApp:
        app = RangelogApp(logbook)
        async with app.run_test() as pilot:
            app.call_later(breaks)
            await pilot.pause()
        return app

    with pytest.raises(ValueError, match=SECRET):
        asyncio.run(drive())
    printed = "".join(capsys.readouterr())
    assert SECRET not in printed
    assert not [thread for thread in threading.enumerate() if isinstance(thread, threading.Timer)], "nothing waits to end this process"


def test_a_crash_in_a_terminal_gives_it_back_and_keeps_the_words(begun: Path, tmp_path: Path) -> None:
    code = (
        "import sys\n"
        "from rangelog.logbook import Logbook\n"
        "whole = Logbook.step\n"
        f"def broken(self, *a, **k):\n    words = {SECRET!r}\n    raise ValueError(words)\n"
        "Logbook.step = broken\n"
        "from rangelog.cli import main\n"
        "sys.exit(main(['--book', sys.argv[1]]))\n"
    )
    terminal = Terminal([sys.executable, "-c", code, str(begun)], environment(tmp_path))
    try:
        terminal.until("0 of 300")
        terminal.send("f")
        terminal.until("Ball 1:")
        terminal.send("\x1b[A")
        assert terminal.finish() == 1
    finally:
        terminal.close()
    assert terminal.modes() == PUT_BACK
    assert "Rangelog stopped on an error of its own (ValueError" in " ".join(terminal.text.split())
    assert SECRET not in terminal.text
    with Book.open(begun, read_only=True) as book:
        assert book.total_balls() == 1
