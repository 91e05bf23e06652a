"""The pages of several players' books in one folder, each opened for reading only."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from rangelog.core.errors import RangelogError, Refused
from rangelog.logbook.archive import Archive
from rangelog.logbook.showing import AS_KEPT, Showing
from rangelog.report.collect import collect
from rangelog.report.page import Page

ENDINGS = frozenset({".book", ".db", ".sqlite", ".rangelog"})


@dataclass(frozen=True, slots=True)
class Read:
    """One book of a folder: its page, or why there is none."""

    path: Path
    page: Page | None
    why: str = ""


def pages(folder: Path, since: str = "", showing: Showing = AS_KEPT) -> Iterator[Read]:
    """The page of every book in a folder, by file name; a book that cannot be read is said and does not stop the others.

    Raises:
        Refused: there is no such folder, or it holds no book.
    """
    if not folder.is_dir():
        raise Refused(f"{folder} is no folder.", "Name the folder that holds the books.")
    found = sorted(path for path in folder.iterdir() if path.is_file() and path.suffix in ENDINGS)
    if not found:
        raise Refused(f"{folder} holds no book.", f"A book ends in one of: {', '.join(sorted(ENDINGS))}.")
    for path in found:
        try:
            with Archive.look(path) as archive:
                yield Read(path, collect(archive, since, showing))
        except RangelogError as error:
            yield Read(path, None, str(error))
