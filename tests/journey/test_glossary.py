"""Every word in plain sentences, with pictures that fit."""

import pytest

from rangelog.core.words import BlockKind
from rangelog.journey import cautions, glossary

WORDS = (
    "hand",
    "start direction",
    "open side",
    "closed side",
    "window",
    "bow",
    "grip",
    "ball position",
    "height",
    "strike",
    "grip stick",
    "aim line",
    "curve",
    "counted",
    "setting",
    "combination",
    "bias",
    "spread",
    "crossing",
    "bracket",
    "ladder",
    "block",
    "prescription",
)


@pytest.mark.parametrize("word", WORDS)
def test_every_word_of_the_log_is_explained(word):
    entry = glossary.lookup(word.upper())
    assert entry is not None
    assert 1 <= entry.meaning.count(".") <= 4


@pytest.mark.parametrize(
    "word", [*(kind.value for kind in BlockKind), "felt bow", "drift", "fit", "launch", "apex", "offset", "gate", "loft"]
)
def test_every_block_and_every_term_of_a_screen_is_explained(word):
    assert glossary.lookup(word) is not None


def test_an_unknown_word_has_no_entry():
    assert glossary.lookup("birdie") is None


@pytest.mark.parametrize("word", ["bow", "grip", "grip stick", "ball position"])
def test_what_a_picture_says_better_has_one_that_fits(word):
    entry = glossary.lookup(word)
    assert entry is not None
    assert entry.picture
    assert all(len(row) <= 72 and row.isascii() for row in entry.picture)


def test_the_bow_picture_shows_its_three_marks():
    text = "\n".join(glossary.BOW_PICTURE)
    assert all(mark in text for mark in ("bow 0", "bow 5", "bow -2"))


def test_the_glossary_reads_as_lines():
    assert len(glossary.lines()) > len(glossary.GLOSSARY)


def test_the_cautions_defer():
    text = " ".join(cautions.FIRST_START)
    for who in ("Range staff", "physician", "coach", "guardian"):
        assert who in text
    assert "not medical or coaching advice" in text
