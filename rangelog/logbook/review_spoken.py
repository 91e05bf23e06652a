"""An answer in lines that read aloud: for plain lines, pipes and screen readers."""

import re

from rangelog.logbook.review_answer import Answer

_PER_CENT = re.compile(r"(\d)-(\d+) %")


def spoken_lines(answer: Answer) -> tuple[str, ...]:
    """The question, n and filter, the sentence that answers; then the numbers, a line for each row, every cell with its name; the notes."""
    rows = ("; ".join(f"{column} {cell}" for column, cell in zip(answer.columns, row, strict=True) if cell) + "." for row in answer.rows)
    lines = (answer.question, f"{answer.first_line}.", answer.sentence, *rows, *answer.notes)
    return tuple(aloud(" ".join(line.split())) for line in lines)


def aloud(line: str) -> str:
    """The signs of a table as words: "+-1.7" as "plus or minus 1.7", "11-60 %" as "11 to 60 per cent"."""
    line = _PER_CENT.sub(r"\1 to \2 per cent", line)
    return line.replace("+- ", "plus or minus ").replace("+-", "plus or minus ").replace(" %", " per cent")
