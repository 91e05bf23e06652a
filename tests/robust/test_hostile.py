"""Words that would steer a terminal, a page or a spreadsheet, laid into the book by another hand, and settings that make no sense."""

import csv
import json
import random
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog.cli import main
from rangelog.core.flight import Flight
from rangelog.core.words import Side
from rangelog.exchange import cells
from rangelog.logbook import Logbook
from rangelog.settings import Settings, read
from rangelog.tui import keyboard, keymap
from rangelog.tui.plain import PlainLog
from tests.harness import kill_tee
from tests.harness.terminal import ESCAPES, PUT_BACK, Terminal

HOSTILE = (
    '=HYPERLINK("x") \x1b[2J\x1b]0;owned\x07 \x9b31m <script>alert(1)</script> [/b][red]'
    "\u202e\u2066\u200fabc\u061c 🏌️\u200d♂️ e\u0301\x7f\r\n\tend"
)
STEERING = (
    *(chr(code) for code in (*range(9), 11, 12, *range(14, 32), 127, *range(128, 160))),
    *"\u202a\u202b\u202d\u202e\u2066\u2067\u2068\u200e\u200f\u061c",
)
"""Control codes apart from tab and line ends, and marks that turn the direction of writing."""


@pytest.fixture
def poisoned(begun: Path) -> Path:
    """A book whose notes, names and codes another program filled with words that steer."""
    with Logbook.open(begun) as book:
        for _ in range(3):
            book.hit(Flight(Side.LEFT))
        book.note("to be replaced")
    with sqlite3.connect(begun) as connection:
        connection.execute("UPDATE balls SET note = ?", (HOSTILE,))
        connection.execute("UPDATE clubs SET name = ?", (HOSTILE,))
        connection.execute("UPDATE players SET code = ?", (HOSTILE,))
    connection.close()
    return begun


def steering_in(text: str) -> list[str]:
    """What of a text could steer."""
    return sorted({f"{ord(sign):x}" for sign in text if sign in STEERING})


@pytest.mark.parametrize(
    "words",
    [["export", "-"], ["export", "--format", "jsonl", "-"], ["report"], ["review"], ["sessions"], ["report", "--html", "-"]],
    ids=" ".join,
)
def test_nothing_that_steers_is_printed(poisoned: Path, words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--book", str(poisoned), *words]) == 0
    printed = capsys.readouterr().out
    assert "end" in printed or words[0] in ("report", "review", "sessions")
    assert steering_in(printed) == []
    assert "<script>alert" not in printed or "--html" not in words


def test_no_cell_of_a_table_is_a_formula(poisoned: Path, tmp_path: Path) -> None:
    assert main(["--book", str(poisoned), "export", str(tmp_path / "balls.csv")]) == 0
    with (tmp_path / "balls.csv").open(encoding="utf-8", newline="") as file:
        written = [cell for row in csv.reader(file) for cell in row]
    assert any("HYPERLINK" in cell for cell in written)
    assert [cell for cell in written if cell.startswith(("=", "@", "\t", "\r")) or (cell[:1] in "+-" and cell[1:2].isalpha())] == []


def test_the_screen_shows_the_words_and_obeys_none(poisoned: Path, tee: Callable[..., Terminal]) -> None:
    terminal = tee(wait_for="3 balls restored")
    since = len(terminal.seen)
    terminal.send("\t")
    terminal.until("f notes", since)
    terminal.read(0.5)
    assert "HYPERLINK" in ESCAPES.sub(b"", terminal.seen[since:]).decode()
    terminal.send("\x03")
    assert terminal.finish() == 0
    assert b"owned\x07" not in terminal.seen
    assert b"\x1b[2J\x1b]0;" not in terminal.seen
    assert steering_in(ESCAPES.sub(b"", terminal.seen).decode().replace("\x1b[?", "")) == []


def test_plain_lines_say_the_words_and_obey_none(poisoned: Path) -> None:
    with Logbook.open(poisoned) as book:
        plain = PlainLog(book, keymap.ready(), clock=lambda: 0.0)
        said = [*plain.start(), *plain.line("balls"), *plain.line(""), *plain.line("why"), *plain.line("change club")]
    assert any("HYPERLINK" in line for line in said)
    assert steering_in("\n".join(said)) == []


def test_settings_of_any_shape_give_the_defaults_and_name_the_line() -> None:
    luck = random.Random(5)
    good = ['look = "light"', 'keyboard = "qwertz"', "mouse = false", "bell = true", "[keys]", '"ball.undo" = "u"', "swapped = false"]
    bad = [
        "look = 7",
        "look = ",
        "=",
        "mouse = 'x'",
        "[keys",
        "[[keys]]",
        "keys = 3",
        '"ball.undo" = 4',
        "\x00",
        "é = 1",
        'look = "pink"',
        "\x1b[2J",
        "[a.b]",
        "x" * 5000,
    ]
    for _ in range(400):
        lines = [luck.choice(good if luck.random() < 0.5 else bad) for _ in range(luck.randint(0, 6))]
        settings, problems = read("\n".join(lines))
        keyboard(settings)
        assert isinstance(settings, Settings)
        if set(lines) <= {*good[:4]} and len(set(lines)) == len(lines):
            assert problems == ()
        for problem in problems:
            assert problem.line <= len("\n".join(lines).splitlines()) or problem.line <= len(lines)
            assert str(problem)


def test_the_log_starts_on_broken_settings_and_names_the_line(tee: Callable[..., Terminal], tmp_path: Path) -> None:
    folder = tmp_path / "home" / ".config" / "rangelog"
    folder.mkdir(parents=True)
    (folder / "settings.toml").write_text('bell = true\nlook = "pink"\n', encoding="utf-8")
    terminal = tee()
    terminal.until("line 2")
    terminal.send("f")
    terminal.until("Ball 1:")


def test_the_log_starts_on_settings_that_are_no_text(tee: Callable[..., Terminal], tmp_path: Path) -> None:
    folder = tmp_path / "home" / ".config" / "rangelog"
    folder.mkdir(parents=True)
    (folder / "settings.toml").write_bytes(bytes(range(256)))
    terminal = tee()
    terminal.until("cannot be read")
    terminal.send("f")
    terminal.until("Ball 1:")


def test_random_keys_pastes_and_mouse_reports_never_stop_the_screen(tee: Callable[..., Terminal], begun: Path) -> None:
    luck = random.Random(3)
    terminal = tee()
    pieces = [
        *"1234567890qwertyuopasdfghjklzxcvbnm,.;/?[]é", "\x1b[A", "\x1b[B", "\x1b[5~", "\x1b[6~", "\x1bOP", "\r", "\t", "\x7f", " ",
        "\x1b[200~fj pasted \x1b[31m words\x1b[201~", "\x1b[200~" + "asdf" * 50 + "\x1b[201~", "\x1b[<0;10;5M", "\x1b[<0;10;5m",
        "\x1b[<64;3;3M", "\x1b[<35;79;23M", "\x1b[1;5A", "\x1b[27;2;13~", "\x1b]11;rgb:0/0/0\x07", "\x1b[?1;2c", "\x1b[I", "\x1b[O",
        "\x00", "\x1b[99999999;1H", "\x1b[97;1:3u",
    ]  # fmt: skip
    for _ in range(300):
        terminal.send(luck.choice(pieces))
        terminal.read(luck.choice((0.0, 0.0, 0.01)))
        if luck.random() < 0.03:
            terminal.resize(luck.randint(1, 200), luck.randint(1, 60))
    terminal.read(1.0)
    if terminal.process.poll() is None:
        terminal.resize(80, 24)
        terminal.send("\x03")
    assert terminal.finish() == 0, terminal.text[-800:]
    assert "error of its own" not in terminal.text
    fault, _ = kill_tee.look(begun, "", "", kill_tee.Tally())
    assert fault == ""


def test_a_line_of_json_with_steering_signs_reads_back_unchanged() -> None:
    line = json.dumps({"note": HOSTILE}, ensure_ascii=False)
    assert steering_in(cells.escaped(line)) == []
    assert json.loads(cells.escaped(line)) == {"note": HOSTILE}


@pytest.mark.parametrize("report", ["\x1b[97;1:3u", "\x1b[99999999;1u", "\x1b[99999999;1H"], ids=["event", "no character", "no key"])
def test_a_key_report_that_the_library_cannot_read_is_dropped(tee: Callable[..., Terminal], begun: Path, report: str) -> None:
    terminal = tee()
    terminal.send("f")
    terminal.until("Ball 1:")
    terminal.send(report)
    terminal.read(0.3)
    terminal.send("a")
    terminal.until("Ball 2:")
    terminal.send("\x03")
    assert terminal.finish() == 0
    assert terminal.modes() == PUT_BACK
    with Logbook.open(begun) as book:
        assert len(book.balls()) == 2
