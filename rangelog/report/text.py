"""The coach's page as plain text: at most 60 lines of at most 100 signs, no drawing, every line readable aloud."""

import textwrap
from collections.abc import Sequence

from rangelog.report.page import Page, Section

MOST_LINES = 60
WIDTH = 100


def text(page: Page) -> str:
    """The whole page, ending in one newline.

    Where the sentences would need more than 60 lines, blank lines go first, then the last sentences of the longest sections; what
    was left out is said.
    """
    sections = list(page.sections)
    for blank in (True, False):
        lines = _lines(page.title, sections, blank=blank)
        if len(lines) <= MOST_LINES:
            return _ended(lines)
    dropped = 0
    while len(lines := _lines(page.title, sections, blank=False)) + 1 > MOST_LINES:
        at = max(range(len(sections)), key=lambda place: len(sections[place].lines))
        if len(sections[at].lines) < 2:
            break
        sections[at] = Section(sections[at].heading, sections[at].lines[:-1])
        dropped += 1
    return _ended([*lines, f"{dropped} more lines are in the HTML page."])


def _ended(lines: Sequence[str]) -> str:
    return "\n".join(lines) + "\n"


def _lines(title: str, sections: Sequence[Section], *, blank: bool) -> list[str]:
    lines = textwrap.wrap(_printable(title), WIDTH)
    for section in sections:
        if blank:
            lines.append("")
        lines.append(section.heading)
        for sentence in section.lines:
            lines += _wrapped(sentence)
    return lines


def _printable(words: str) -> str:
    """Without signs that could steer a terminal or turn the writing direction."""
    return "".join(sign if sign.isprintable() else " " for sign in words)


def _wrapped(sentence: str) -> list[str]:
    """Lines of one sentence; a number keeps its per cent sign."""
    tied = _printable(sentence).replace(" %", "\u00a0%")
    lines = textwrap.wrap(tied, WIDTH, initial_indent="  ", subsequent_indent="    ", break_on_hyphens=False) or [""]
    return [line.replace("\u00a0", " ") for line in lines]
