"""The book: one SQLite file per player."""

from rangelog.store.check import CheckReport, check_connection
from rangelog.store.merge import Merge
from rangelog.store.review import Review
from rangelog.store.tee_book import TeeBook


class Book(TeeBook, Review, Merge):
    """An open book with everything: balls, reviews, export and merge."""

    def check(self) -> CheckReport:
        """Is the book whole? Reads all of it and changes nothing."""
        return check_connection(self._connection)
