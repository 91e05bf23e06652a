"""The log in a real terminal: two extremes keyed, the process killed between two keys, and taken up again."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from rangelog.store import Book
from tests.stories.terminal import Terminal

pytestmark = pytest.mark.skipif(shutil.which("tmux") is None, reason="tmux is not installed")

AT_0 = ("6R", "4.5R", "7.5R", "4R")
AT_4 = ("3L", "6.5L", "4L", "4.5L")


@pytest.fixture
def terminal(tmp_path: Path) -> Iterator[Terminal]:
    made = Terminal(tmp_path)
    yield made
    made.close()


def begin(terminal: Terminal, path: Path) -> None:
    """First start with every default but the loft, then the first visit."""
    terminal.run("--book", str(path))
    terminal.wait("any other key goes on")
    terminal.press("Enter")
    for question in ("A short name", "You swing", "Lead hand", "Club you start with"):
        terminal.wait(question)
        terminal.press("Enter")
    terminal.wait("Its loft")
    terminal.type("28")
    for question in ("counts as on line", "surgery before", "Bow never above", "a junior", "Balls a day"):
        terminal.wait(question)
        terminal.press("Enter")
    for question in ("The ball lies on", "aim line on the ground", "Swing length", "Grip stick on", "Club"):
        terminal.wait(question)
        terminal.press("Enter")
    terminal.wait("Session started")


def ball(terminal: Terminal, number: int, start: str) -> None:
    """One ball with its number; its echo is waited for."""
    terminal.press("4" if start.endswith("R") else "2")
    terminal.wait(f"Ball {number}:")
    terminal.press("Enter")
    terminal.wait("NUMBER FOR THE LAST BALL")
    terminal.type(start)
    side = "right" if start.endswith("R") else "left"
    size = f"{float(start[:-1]):.1f}"
    terminal.wait(lambda screen: f"Ball {number}: {size} {side}" in screen or f"{size} {side} but keyed" in screen)


def test_extremes_a_killed_process_and_a_resume_in_a_real_terminal(terminal: Terminal, tmp_path: Path) -> None:
    path = tmp_path / "book.db"
    begin(terminal, path)
    terminal.press("Space")
    terminal.wait("Next: bow 0, grip 30")
    for number, start in enumerate(AT_0, start=1):
        ball(terminal, number, start)
    for bow in (1, 2, 3, 4):
        terminal.press("Up")
        terminal.wait(f"Next: bow {bow}, grip 30")
    for number, start in enumerate(AT_4, start=5):
        if number < 8:
            assert "Bracketed" not in terminal.screen()
        ball(terminal, number, start)
    screen = terminal.wait("Bracketed 0 to 4. Try 2.")
    assert "crosses at 2.2" in screen
    assert "8 of 60" in screen

    terminal.press("3")
    terminal.wait("Ball 9: on line")
    terminal.kill()
    with Book.open(path, read_only=True) as book:
        (session,) = book.sessions()
        assert [ball.start_deg for ball in book.balls(session.id)] == [6.0, 4.5, 7.5, 4.0, -3.0, -6.5, -4.0, -4.5, None]

    terminal.run("--book", str(path))
    screen = terminal.wait("9 balls restored; ball 9 has no strike.")
    assert "9 of 60" in screen
    terminal.press("j")
    terminal.wait("Ball 9: on line, solid.")
    terminal.press("Escape")
    terminal.wait("Leave the log?")
    terminal.press("Enter")
    terminal.wait_end()
    with Book.open(path, read_only=True) as book:
        balls = book.balls(session.id)
    assert len(balls) == 9
    assert balls[-1].strike == "solid"
    assert balls[-1].setup.bow == 4.0
