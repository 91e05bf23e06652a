"""A coach reads a folder of books."""

import hashlib
from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog.core.errors import Refused
from rangelog.core.words import BlockKind, Hand
from rangelog.report.folder import pages


def test_every_book_gets_its_page_and_no_book_is_changed(new_story: Callable, tmp_path: Path) -> None:
    for name, hand in (("anna", Hand.RIGHT), ("linus", Hand.LEFT)):
        story = new_story(name, hand=hand)
        story.day(0)
        story.block(BlockKind.BASELINE, 0, 30, "rrol")
        story.archive.close()
    (tmp_path / "torn.book").write_bytes(b"SQLite format 3\0 torn")
    (tmp_path / "notes.txt").write_text("no book")
    before = {path.name: hashlib.sha256(path.read_bytes()).digest() for path in tmp_path.iterdir()}
    found = list(pages(tmp_path))
    assert [(read.path.name, read.page is not None) for read in found] == [("anna.book", True), ("linus.book", True), ("torn.book", False)]
    assert found[1].page is not None
    assert "linus, left-handed" in found[1].page.title
    assert "torn.book" in found[2].why
    assert {path.name: hashlib.sha256(path.read_bytes()).digest() for path in tmp_path.iterdir()} == before


def test_a_folder_without_books_is_told(tmp_path: Path) -> None:
    with pytest.raises(Refused, match="holds no book"):
        next(pages(tmp_path))
    with pytest.raises(Refused, match="no folder"):
        next(pages(tmp_path / "nowhere"))
