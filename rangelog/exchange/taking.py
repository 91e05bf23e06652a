"""Rows into a book: who they belong to is asked first, bad ones are set aside by line number, the rest goes in as one change."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from rangelog.core.entry import clean_note
from rangelog.core.errors import Refused
from rangelog.exchange.outcome import BadLine, Imported
from rangelog.logbook.archive import Archive

Row = Mapping[str, Any]
Source = Iterable[tuple[int, Row | BadLine]]
"""Line number and row, or what is wrong with the line."""

Progress = Callable[[int], None]
"""Told how many rows were done since the last call."""


def no_progress(_: int) -> None:
    """For callers without a progress bar."""


def take_in(archive: Archive, source: Source, *, dry_run: bool = False, same_player: bool = False) -> Imported:
    """Put rows into a book in one change; see import_jsonl for what is refused."""
    bad: list[BadLine] = []
    fresh = archive.last_session() is None
    kinds = archive.kinds()

    def good() -> Iterable[tuple[int, Row]]:
        for number, row in source:
            if isinstance(row, BadLine):
                bad.append(row)
                continue
            wrong = _unnamed(row, kinds)
            if wrong:
                bad.append(BadLine(number, wrong))
                continue
            if row.get("kind") == "state" and not fresh:
                continue  # what a program had in mind on another day is no part of a book that goes on
            if row.get("kind") == "player":
                row = checked_player(archive, row, same_player=same_player)
            yield number, row

    merged = archive.take_rows(good(), dry_run=dry_run)
    bad += [BadLine(each.line, clean_note(each.why)) for each in merged.refused]
    known = {kind: merged.same.get(kind, 0) + merged.changed.get(kind, 0) for kind in {*merged.same, *merged.changed}}
    return Imported(
        dict(merged.added),
        known,
        tuple(sorted(bad, key=lambda each: each.line)),
        dry=dry_run,
        differing=merged.differing,
    )


def _unnamed(row: Row, kinds: Sequence[str]) -> str:
    """Why a row has no name in the book; empty where it has one."""
    if row.get("kind") not in kinds:
        return f"Kind is one of: {', '.join(kinds)}."
    return "" if row.get("id") or row.get("key") else f"A {row['kind']} row needs an id."


def checked_player(archive: Archive, row: Row, *, same_player: bool) -> Row:
    """The row of a player as it may enter this book.

    Raises:
        Refused: the book's own player is another, or has the other hand; both are named.
    """
    mine = archive.player()
    if mine is None or (row.get("id") == mine.id and row.get("hand") == mine.hand):
        return row
    theirs = clean_note(f"{row.get('code') or 'a player'}, {row.get('hand')}-handed")
    ours = clean_note(f"{mine.code}, {mine.hand}-handed")
    if row.get("hand") != mine.hand:
        raise Refused(f"These balls are of {theirs}; this book is of {ours}.", "Hands never mix: keep them in another book.")
    if not same_player:
        raise Refused(f"These balls are of {theirs}; this book is of {ours}.", "If both are you, say so with --same-player.")
    return {**row, "id": mine.id}
