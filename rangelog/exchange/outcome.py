"""What came of an import, an export or a merge."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class BadLine:
    """A line that was set aside.

    Attributes:
        line: 1-based number of the line in the file.
        why: what is wrong with it, in one sentence.
    """

    line: int
    why: str


@dataclass(frozen=True, slots=True)
class Imported:
    """What came of an import or a merge.

    Attributes:
        added, known: rows by kind that were new, and that the book already had.
        bad: lines set aside; the book holds none of them.
        differing: ids of balls that both sides hold with different readings and no edit to explain it; the later one stands.
        dry: nothing was written, this is what would be.
    """

    added: Mapping[str, int] = field(default_factory=dict)
    known: Mapping[str, int] = field(default_factory=dict)
    bad: tuple[BadLine, ...] = ()
    differing: tuple[str, ...] = ()
    dry: bool = False

    def sentence(self) -> str:
        """One line for the player."""
        new, had = self.added.get("ball", 0), self.known.get("ball", 0)
        verb = "would be added" if self.dry else "added"
        aside = f" {len(self.bad)} {'line' if len(self.bad) == 1 else 'lines'} set aside." if self.bad else ""
        return f"{new} {'ball' if new == 1 else 'balls'} {verb}, {had} already there.{aside}"


@dataclass(frozen=True, slots=True)
class Exported:
    """What was written: rows by kind, and where."""

    rows: Mapping[str, int]
    target: str

    def sentence(self) -> str:
        """One line for the player."""
        balls = self.rows.get("ball", 0)
        return f"{balls} {'ball' if balls == 1 else 'balls'} written to {self.target}."
