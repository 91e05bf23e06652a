"""Text cells that no spreadsheet takes for a formula, and that come back unchanged.

A cell that could be taken for one gets an apostrophe in front; so does a cell that already starts with apostrophes before such
a sign, so that taking one apostrophe off is always right.
"""

import re

_RISKY = r"[=+\-@\t\r\n＝＋－＠]"
_OUT = re.compile(rf"'*\s*{_RISKY}")
_IN = re.compile(rf"'+\s*{_RISKY}")


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
