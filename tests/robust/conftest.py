"""The whole program in a pseudo-terminal, on a book of an invented player in the middle of a block."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from rangelog.core.ball import Ball
from rangelog.store import Book
from tests.harness.kill_tee import begin
from tests.harness.terminal import Terminal, environment, tee_command


@pytest.fixture
def begun(tmp_path: Path) -> Path:
    """A book with a session, a setup and a free block under way."""
    path = tmp_path / "data" / "book.db"
    path.parent.mkdir()
    begin(path)
    return path


@pytest.fixture
def tee(begun: Path, tmp_path: Path) -> Iterator[Callable[..., Terminal]]:
    """Opens the log on that book, and waits for its first paint."""
    opened: list[Terminal] = []

    def make(*words: str, columns: int = 80, rows: int = 24, wait_for: str = "0 of 300", **variables: str) -> Terminal:
        home = tmp_path / "home"
        home.mkdir(exist_ok=True)
        opened.append(Terminal(tee_command(begun, *words), environment(home, **variables), columns, rows))
        opened[-1].until(wait_for)
        return opened[-1]

    yield make
    for terminal in opened:
        terminal.close()


@pytest.fixture
def stored(begun: Path) -> Callable[[], list[Ball]]:
    """Every ball of the book as another program reads it, the ones taken back included; the book must be whole."""

    def read() -> list[Ball]:
        with Book.open(begun, read_only=True) as book:
            assert book.check().whole
            return [ball for session in book.sessions() for ball in book.balls(session.id, include_voided=True)]

    return read
