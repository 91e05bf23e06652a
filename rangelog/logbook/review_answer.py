"""What every review gives: n and filter first, one sentence that answers, and the numbers behind it."""

from dataclasses import dataclass, field

from rangelog.logbook.review_words import balls


@dataclass(frozen=True, slots=True)
class Answer:
    """A question answered from balls.

    Attributes:
        question: the player's question.
        n: balls that enter.
        chosen: words of the filter.
        sentence: the one sentence that answers.
        columns, rows: the numbers behind it as a table of text.
        notes: what was left out, or what must be kept in mind; may be empty.
    """

    question: str
    n: int
    chosen: str
    sentence: str
    columns: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    notes: tuple[str, ...] = field(default=())

    @property
    def first_line(self) -> str:
        """n and filter: "64 balls: counted, stick on"."""
        return f"{balls(self.n)}: {self.chosen}"
