"""Every command: help with an example, JSON where a script wants it, and one clear line on bad input."""

import json
import re
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog import __version__, paths
from rangelog.cli import main
from rangelog.cli.root import COMMANDS
from rangelog.core.flight import Flight
from rangelog.core.words import Side, Strike
from rangelog.logbook import Logbook
from rangelog.logbook.review_names import QUESTIONS
from rangelog.store import Book

Capture = pytest.CaptureFixture[str]
READING = ["sessions", "review", "report", "check", "export", "backup"]


@pytest.fixture
def stocked(logbook: Logbook, book_path: Path) -> Path:
    """A closed book of ten balls, invented."""
    for number in range(10):
        logbook.hit(Flight(Side.RIGHT if number % 3 else Side.LEFT))
        logbook.amend(strike=Strike.SOLID)
    logbook.close()
    return book_path


def one_line(capsys: Capture, code: int) -> str:
    """The one line that bad input is answered with; nothing else was said."""
    told = capsys.readouterr()
    assert code == 2, told.err
    assert told.out == ""
    lines = told.err.splitlines()
    assert len(lines) == 1, told.err
    assert "Traceback" not in told.err
    return lines[0]


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_with_an_example(name: str, capsys: Capture) -> None:
    assert main([name, "--help"]) == 0
    text = capsys.readouterr().out
    assert "Example" in text
    assert f"rangelog {name}" in text or f"rangelog --look light {name}" in text


def test_the_group_lists_every_command_with_examples(capsys: Capture) -> None:
    assert main(["--help"]) == 0
    text = capsys.readouterr().out
    assert all(name in text for name in COMMANDS)
    assert "Examples:" in text


def test_the_version_is_told(capsys: Capture) -> None:
    assert main(["--version"]) == 0
    assert capsys.readouterr().out == f"rangelog {__version__}\n"


def test_the_module_runs_as_the_command() -> None:
    done = subprocess.run([sys.executable, "-m", "rangelog", "--version"], capture_output=True, text=True, check=True)
    assert done.stdout == f"rangelog {__version__}\n"


@pytest.mark.parametrize(
    "words",
    [
        ["review", "--question", "map"], ["review", "--filter", "all dates"],
        ["sessions"], ["review"], ["report"], ["check"], ["backup"], ["backup", "--list"], ["settings"],
        ["gate", "--distance", "3"], ["gate", "--width", "0.5", "--distance", "3", "--offset", "1", "--launch", "17"],
        ["wrist"], ["wrist", "--table"], ["wrist", "--set", "25"], ["loft", "--loft", "30", "--lean", "10"], ["ball-position"],
    ],
)  # fmt: skip
def test_json_parses(words: list[str], stocked: Path, capsys: Capture) -> None:
    assert main(["--book", str(stocked), *words, "--json"]) == 0
    json.loads(capsys.readouterr().out)


def test_export_as_json_lines_is_one_object_a_line(stocked: Path, capsys: Capture) -> None:
    assert main(["--book", str(stocked), "export", "--format", "jsonl", "-"]) == 0
    kinds = [json.loads(line)["kind"] for line in capsys.readouterr().out.splitlines()]
    assert kinds.count("ball") == 10


def test_export_import_and_merge_tell_json(stocked: Path, tmp_path: Path, capsys: Capture) -> None:
    lines, other = tmp_path / "out.jsonl", tmp_path / "other.db"
    assert main(["--book", str(stocked), "export", str(lines), "--json"]) == 0
    json.loads(capsys.readouterr().out)
    assert main(["--book", str(other), "import", str(lines), "--json"]) == 0
    json.loads(capsys.readouterr().out)
    assert main(["--book", str(other), "merge", str(stocked), "--json"]) == 0
    json.loads(capsys.readouterr().out)
    with Book.open(other, read_only=True) as book:
        assert book.total_balls() == 10, "the same balls once"


@pytest.mark.parametrize(
    "words",
    [
        ["review", "--question", "putts"], ["review", "--filter", "dusk"],
        ["putt"], ["--colour"], ["--look", "pink", "sessions"], ["gate"], ["gate", "--distance", "far"], ["gate", "--distance", "0"],
        ["gate", "--width", "0.04", "--distance", "3"], ["gate", "--distance", "nan"], ["loft"], ["loft", "--loft", "300"],
        ["loft", "--loft", "30", "--lean", "40"], ["ball-position", "--balls", "15"], ["wrist", "--grip", "120"],
        ["wrist", "--delta", "inf"],
        ["report", "--since", "yesterday"], ["review", "1999-01-01"], ["sessions", "--last", "0"], ["hint", "nowhere.jsonl"],
        ["import", "nowhere.jsonl"], ["merge", "nowhere.db"], ["backup", "--restore", "nowhere.db"], ["export", "--format", "xml"],
    ],
)  # fmt: skip
def test_bad_input_is_answered_with_one_line(words: list[str], stocked: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(stocked.parent)
    before = stocked.read_bytes()
    assert one_line(capsys, main(["--book", str(stocked), *words]))
    assert stocked.read_bytes() == before


def test_a_gate_the_ball_cannot_pass_is_told_as_such(capsys: Capture) -> None:
    assert "Ball cannot pass" in one_line(capsys, main(["gate", "--width", "0.04", "--distance", "3"]))


def test_a_distance_of_nothing_is_told_as_such(capsys: Capture) -> None:
    assert "Distance must be over 0" in one_line(capsys, main(["gate", "--distance", "0"]))


def missing(path: Path) -> Path:
    return path.with_name("nowhere.db")


def text_file(path: Path) -> Path:
    path.write_text("not a book, only words\n" * 50)
    return path


def foreign_database(path: Path) -> Path:
    other = path.with_name("foreign.db")
    with sqlite3.connect(other) as connection:
        connection.execute("CREATE TABLE notes (words TEXT)")
    connection.close()
    return other


def newer(path: Path) -> Path:
    with sqlite3.connect(path) as connection:
        connection.execute("PRAGMA user_version = 9999")
    connection.close()
    return path


def empty(path: Path) -> Path:
    path.write_bytes(b"")
    return path


def folder(path: Path) -> Path:
    made = path.with_name("folder.db")
    made.mkdir()
    return made


@pytest.mark.parametrize("spoil", [missing, text_file, foreign_database, newer, empty, folder])
@pytest.mark.parametrize("name", READING)
def test_a_book_that_cannot_be_used_is_told_in_one_line_and_left_alone(
    name: str, spoil: Callable[[Path], Path], stocked: Path, capsys: Capture
) -> None:
    shutil.rmtree(stocked.parent / "backups", ignore_errors=True)
    path = spoil(stocked)
    before = path.read_bytes() if path.is_file() else None
    assert one_line(capsys, main(["--book", str(path), name]))
    assert (path.read_bytes() if path.is_file() else None) == before


@pytest.mark.parametrize("spoil", [text_file, foreign_database, newer, empty, folder])
def test_the_tee_does_not_open_on_what_is_no_book(spoil: Callable[[Path], Path], stocked: Path, capsys: Capture) -> None:
    path = spoil(stocked)
    assert one_line(capsys, main(["--book", str(path), "--plain"]))


def test_a_book_that_another_program_holds_can_be_read_and_not_written(stocked: Path, tmp_path: Path, capsys: Capture) -> None:
    lines = tmp_path / "out.jsonl"
    assert main(["--book", str(stocked), "export", str(lines)]) == 0
    capsys.readouterr()
    holder = (
        "import sys\nfrom rangelog.store import Book\nbook = Book.open(sys.argv[1])\n"
        "print('held', flush=True)\nsys.stdin.readline()\nbook.close()\n"
    )
    with subprocess.Popen([sys.executable, "-c", holder, str(stocked)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "held\n"
        for name in ("sessions", "review", "report", "check"):
            assert main(["--book", str(stocked), name]) == 0
        capsys.readouterr()
        for words in (["import", str(lines)], ["merge", str(lines)], ["backup", "--restore", "newest"]):
            assert one_line(capsys, main(["--book", str(stocked), *words]))
        other.communicate("go\n")


def test_a_read_only_book_can_be_read_and_says_so_when_written(stocked: Path, tmp_path: Path, capsys: Capture) -> None:
    with Book.open(stocked, read_only=True) as book:
        assert book.read_only
    copy = tmp_path / "shelf" / "book.db"
    copy.parent.mkdir()
    shutil.copy(stocked, copy)
    before = copy.read_bytes()
    for name in ("sessions", "review", "report", "check", "export"):
        assert main(["--book", str(copy), name]) == 0
    capsys.readouterr()
    assert copy.read_bytes() == before


def test_pipes_that_close_early_end_quietly(stocked: Path) -> None:
    with subprocess.Popen(
        [sys.executable, "-m", "rangelog", "--book", str(stocked), "export", "-"], stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        told = process.stderr.read()
        process.wait()
    assert told == b""


def test_the_plain_tee_reads_a_pipe_to_its_end(tmp_path: Path) -> None:
    answers = ["", "", "", "", "28", "", "", "", "", "", "", "", "", "", "", "bow 0 grip 30", "right mid solid", "fj", "number 5R", "leave"]
    done = subprocess.run(
        [sys.executable, "-m", "rangelog", "--book", str(tmp_path / "new.db")],
        input="\n".join(answers) + "\n",
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
    assert "\x1b" not in done.stdout
    with Book.open(tmp_path / "new.db", read_only=True) as book:
        (session,) = book.sessions()
        assert [(ball.side, ball.strike, ball.start_deg) for ball in book.balls(session.id)] == [
            ("right", "solid", None),
            ("right", "solid", 5.0),
        ]


def test_the_environment_names_the_book(stocked: Path, capsys: Capture, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RANGELOG_BOOK", str(stocked))
    assert main(["sessions", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)[0]["balls"] == 10


def test_the_demo_is_laid_down_as_an_invented_season(tmp_path: Path, capsys: Capture) -> None:
    path = tmp_path / "demo.db"
    assert main(["demo", "--to", str(path), "--no-open"]) == 0
    assert capsys.readouterr().out.strip() == str(path)
    with Book.open(path, read_only=True) as book:
        assert book.total_balls() > 200
    assert one_line(capsys, main(["demo", "--to", str(path), "--no-open"]))


def test_a_question_is_answered_in_lines_that_pipe(stocked: Path, capsys: Capture) -> None:
    assert main(["--book", str(stocked), "review", "--question", "starts", "--filter", "all dates"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "Where did the balls start?"
    assert re.match(r"\d+ balls: counted\.$", lines[1])
    assert main(["--book", str(stocked), "review", "--question", "all"]) == 0
    assert sum(line.endswith("?") for line in capsys.readouterr().out.splitlines()) == len(QUESTIONS)


def test_review_and_report_have_the_decimals_of_the_settings(stocked: Path, capsys: Capture) -> None:
    def told(*words: str) -> str:
        assert main(["--book", str(stocked), *words]) == 0
        return capsys.readouterr().out

    before = [told("review"), told("report"), told("review", "--question", "all"), told("report", "--json")]
    paths.settings_file().parent.mkdir(parents=True, exist_ok=True)
    paths.settings_file().write_text('decimal = "comma"\n', encoding="utf-8")
    after = [told("review"), told("report"), told("review", "--question", "all"), told("report", "--json")]
    assert after[3] == before[3], "what a script reads keeps its points"
    for was, now in zip(before[:3], after[:3], strict=True):
        assert now != was
        assert not re.search(r"\d\.\d", now)
