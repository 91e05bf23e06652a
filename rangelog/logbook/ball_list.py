"""Every ball of a book as lines of a list, newest first, a heading above each session. Only the lines that are looked at are read."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, groupby
from pathlib import Path

from rangelog.core.ball import Ball
from rangelog.core.errors import OffScale
from rangelog.core.session import Edit
from rangelog.logbook import spoken
from rangelog.logbook.archive import Archive
from rangelog.logbook.showing import AS_KEPT, Showing
from rangelog.store.review import BallFilter

PAGE = 120
PAGES_KEPT = 12
MOST_FOUND = 500


@dataclass(frozen=True, slots=True)
class Heading:
    """The line above the balls of a session.

    Attributes:
        session_id: of the session.
        started_at: local time with offset.
        balls: how many of its balls are in the list.
    """

    session_id: str
    started_at: str
    balls: int


Line = Heading | Ball


class BallReader(Archive):
    """A book opened to list its balls."""

    def runs(self, chosen: BallFilter) -> list[tuple[str, int]]:
        """Sessions, newest first, with how many balls a filter finds in each."""
        return self._runs(chosen, newest_first=True)

    def starts(self) -> dict[str, str]:
        """When each session began, by id."""
        return dict(self._fetch("SELECT id, started_at FROM sessions"))


class BallList:
    """The list, through one filter. Each look is one short read, so that a commit never waits for it.

    Attributes:
        counted: True counted balls, False the others, None both.
        words: only balls whose note holds them; empty for all.
        balls: how many balls are in the list.
        cut: more notes hold the words than are listed.
    """

    def __init__(self, path: Path) -> None:
        """Open the book of a path for reading. Raises a RangelogError where it cannot be read."""
        self.path = path
        self.counted: bool | None = None
        self.words = ""
        self.balls = 0
        self.cut = False
        reader = BallReader.look(path)
        assert isinstance(reader, BallReader)
        self._reader = reader
        self._heads: list[Heading] = []
        self._firsts: list[int] = []
        self._found: list[Ball] | None = None
        self._pages: dict[int, list[Ball]] = {}
        self.refresh()

    def close(self) -> None:
        """Let the book go."""
        self._reader.close()

    @property
    def _chosen(self) -> BallFilter:
        return replace(BallFilter(), counted=self.counted)

    def refresh(self) -> None:
        """Read anew which sessions there are; to be called when the book has changed or a filter was set."""
        self._pages.clear()
        starts = self._reader.starts()
        runs: Sequence[tuple[str, int]]
        if self.words:
            noted = self._reader.find_notes(self.words, MOST_FOUND + 1)
            self.cut = len(noted) > MOST_FOUND
            self._found = [ball for ball in noted[:MOST_FOUND] if self.counted is None or ball.counted == self.counted]
            runs = [(session_id, len(list(group))) for session_id, group in groupby(self._found, key=lambda ball: ball.session_id)]
        else:
            self._found, self.cut = None, False
            runs = self._reader.runs(self._chosen)
        self._heads = [Heading(session_id, starts.get(session_id, ""), count) for session_id, count in runs]
        self._firsts = [0, *accumulate(head.balls + 1 for head in self._heads)]
        self.balls = sum(head.balls for head in self._heads)

    def __len__(self) -> int:
        return self._firsts[-1]

    def line(self, at: int) -> Line | None:
        """One line by its place from the top; None outside the list."""
        if not 0 <= at < len(self):
            return None
        session = bisect_right(self._firsts, at) - 1
        if at == self._firsts[session]:
            return self._heads[session]
        return self._ball(at - session - 1)

    def _ball(self, place: int) -> Ball | None:
        """A ball by its place among the balls alone; None where the book has lost balls since it was listed."""
        if self._found is not None:
            return self._found[place] if place < len(self._found) else None
        page, within = divmod(place, PAGE)
        if page not in self._pages:
            while len(self._pages) >= PAGES_KEPT:
                del self._pages[next(iter(self._pages))]
            self._pages[page] = self._reader.window(page * PAGE, PAGE, self._chosen)
        balls = self._pages[page]
        return balls[within] if within < len(balls) else None

    def place_of(self, date: str) -> int:
        """The line of the newest session that began on a date or before it; the last heading where all are later.

        Args:
            date: YYYY-MM-DD, or only a year or a month of it.

        Raises:
            OffScale: no such date is written.
        """
        parts = date.strip().split("-")
        sizes = (4, 2, 2)
        well = len(parts) <= 3 and all(part.isdecimal() and 0 < len(part) <= size for part, size in zip(parts, sizes, strict=False))
        if not well or len(parts[0]) != 4:
            raise OffScale("date", "A date is written 2026-05-31, or 2026-05, or 2026.")
        wanted = "-".join(part.zfill(size) for part, size in zip(parts, sizes, strict=False))
        for at, head in enumerate(self._heads):
            if head.started_at[: len(wanted)] <= wanted:
                return self._firsts[at]
        return self._firsts[max(len(self._heads) - 1, 0)]

    def spoken(self, page: int, size: int = 20, showing: Showing = AS_KEPT) -> tuple[str, ...]:
        """One page in lines that read aloud, the newest balls on page 1: which page it is, then a line for each ball and session.

        Args:
            page: 1-based; a page that is not there is the nearest one.
            size: balls and headings on a page.
            showing: units and decimal sign.
        """
        pages = max(1, -(-len(self) // size))
        page = min(max(page, 1), pages)
        which = {True: "counted", False: "not counted", None: "counted or not"}[self.counted]
        noted = f", note holds {self.words}" if self.words else ""
        lines = [f"Page {page} of {pages}: {self.balls} {'ball' if self.balls == 1 else 'balls'}, {which}{noted}."]
        for at in range((page - 1) * size, min(page * size, len(self))):
            line = self.line(at)
            if isinstance(line, Heading):
                balls = "1 ball" if line.balls == 1 else f"{line.balls} balls"
                lines.append(f"Session of {line.started_at[:10]}, {line.started_at[11:16]}: {balls}.")
            elif line is not None:
                lines.append(_spoken(line, showing))
        return tuple(lines)

    def history(self, ball_id: str) -> list[Edit]:
        """Every correction of a ball, oldest first."""
        return self._reader.edits(ball_id=ball_id)

    def club_names(self) -> dict[str, str]:
        """Labels of all clubs by id."""
        return {club.id: club.label for club in self._reader.clubs()}


def _spoken(ball: Ball, showing: Showing) -> str:
    """ "Ball 12: right, mid, solid; bow 1, grip 30, centre; not counted, interrupted. Note: wind." """
    said = showing.said(f"Ball {ball.seq}: {spoken.flight(ball)}; {spoken.setup(ball.setup)}")
    out = "" if ball.counted else f"; not counted, {ball.reason or 'no reason'}"
    note = " ".join(ball.note.split())
    return f"{said}{out}." + (f" Note: {note}" if note else "")
