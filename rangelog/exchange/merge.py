"""Two books of one player, from two laptops, become one that holds both histories."""

from rangelog.exchange.outcome import Imported
from rangelog.exchange.taking import Progress, Source, no_progress, take_in
from rangelog.logbook.archive import Archive


def merge(into: Archive, other: Archive, *, dry_run: bool = False, same_player: bool = False, progress: Progress = no_progress) -> Imported:
    """Take everything of another book into this one; doing it again, or the other way round, ends in the same balls.

    Args:
        into: the book that grows; open for writing.
        other: the book that is read.
        dry_run: say what would happen and write nothing.
        same_player: the player has said that the two are one, though their ids differ; never across hands.

    Raises:
        Refused: the other book is another player's, or of the other hand; both are named and nothing is changed.
    """
    return take_in(into, _all_rows(other, progress), dry_run=dry_run, same_player=same_player)


def _all_rows(other: Archive, progress: Progress) -> Source:
    for kind in other.kinds():
        for number, row in enumerate(other.rows_of(kind), start=1):
            if not number % 1000:
                progress(1000)
            yield 0, row
