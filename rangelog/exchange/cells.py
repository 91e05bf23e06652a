"""Text cells that no spreadsheet takes for a formula, and that come back unchanged.

A cell that could be taken for one gets an apostrophe in front; so does a cell that already starts with apostrophes before such
a sign, so that taking one apostrophe off is always right.
"""

import re

_RISKY = r"[=+\-@\t\r\n＝＋－＠]"
_OUT = re.compile(rf"'*\s*{_RISKY}")
_IN = re.compile(rf"'+\s*{_RISKY}")
_STEERING = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
"""Control codes, tab and line ends apart, and marks that turn the direction of writing."""


def harmless(text: str) -> str:
    """The text with every sign that could steer a terminal turned into a space."""
    return text if text.isprintable() else _STEERING.sub(" ", text)


def escaped(line: str) -> str:
    """A line of JSON with every sign in it that could steer a terminal written as an escape of JSON: it reads back unchanged."""
    return line if line.isprintable() else _STEERING.sub(lambda found: f"\\u{ord(found[0]):04x}", line)


def safe(text: str) -> str:
    """The text as it may stand in a CSV cell."""
    return f"'{text}" if _OUT.match(text) else text


def plain(cell: str) -> str:
    """The text that `safe` was given."""
    return cell[1:] if _IN.match(cell) else cell


def number(value: float | int | None) -> str:
    """A number in the shortest digits that give back the same number; empty for none."""
    if value is None:
        return ""
    return str(int(value)) if isinstance(value, int) or (value == int(value) and abs(value) < 1e15) else repr(value)
