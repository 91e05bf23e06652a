"""Whole words to a line: nothing is cut in the middle of one."""

from collections.abc import Sequence


def wrap(text: str, columns: int, rows: int) -> list[str]:
    """Whole words in at most `rows` lines; what does not fit is left out at a word, with an ellipsis."""
    lines: list[str] = []
    words = text.split()
    while words and len(lines) < rows:
        taken = [words.pop(0)]
        while words and len(" ".join([*taken, words[0]])) <= columns:
            taken.append(words.pop(0))
        lines.append(" ".join(taken))
    if words and lines:
        kept = lines[-1].split()
        while len(kept) > 1 and len(" ".join(kept)) + 2 > columns:
            kept.pop()
        lines[-1] = " ".join(kept) + " …"
    return lines


def items(parts: Sequence[str], columns: int, between: str = "  ") -> str:
    """As many whole parts as fit, in order."""
    kept = ""
    for part in parts:
        longer = f"{kept}{between}{part}" if kept else part
        if len(longer) > columns:
            break
        kept = longer
    return kept
