"""A foreign table into a book, by a mapping of its columns: looked at first, bad rows set aside, the same file twice taken once."""

import hashlib
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, TextIO

from rangelog.core import hand as mirror
from rangelog.core import scales
from rangelog.core.entry import clean_note
from rangelog.core.errors import OffScale, Refused
from rangelog.core.player import Player
from rangelog.core.words import Reason, Strike
from rangelog.exchange.csv_in import header, table
from rangelog.exchange.files import text_in
from rangelog.exchange.mapping import UNITS, WORDS, Mapping
from rangelog.exchange.outcome import BadLine, Imported
from rangelog.exchange.taking import Progress, Source, no_progress, take_in
from rangelog.logbook.archive import Archive

_UNKNOWN_OFFSET = UTC
PREVIEW_COLUMNS = ("line", "date", "club", "bow", "grip", "start", "side", "height", "strike", "counted", "note")


@dataclass(frozen=True, slots=True)
class Preview:
    """What a foreign table would become.

    Attributes:
        rows: the first balls as text, in the order of PREVIEW_COLUMNS.
        imported: what would be added, what is known, what is set aside.
    """

    rows: tuple[tuple[str, ...], ...]
    imported: Imported


def import_foreign(archive: Archive, source: Path | str, mapping: Mapping, *, progress: Progress = no_progress) -> Imported:
    """Take a foreign table in. A row makes the same ball each time, so the same table twice adds nothing.

    Raises:
        Refused: no such file, no player yet, a column that is not there, or the table is of the other hand; nothing is changed.
    """
    player = _player(archive, mapping)
    with text_in(source, newline="") as stream:
        return take_in(archive, _source(archive, player, mapping, stream, progress))


def preview(archive: Archive, source: Path | str, mapping: Mapping, rows: int = 10) -> Preview:
    """The first rows as balls, and what the whole table would bring; nothing is written. Raises as import_foreign."""
    player = _player(archive, mapping)
    with text_in(source, newline="") as stream:
        shown: list[tuple[str, ...]] = []

        def watched() -> Source:
            clubs: dict[Any, str] = {club.id: club.name for club in archive.clubs()}
            for line, row in _source(archive, player, mapping, stream, no_progress):
                if not isinstance(row, BadLine):
                    if row["kind"] == "club":
                        clubs[row["id"]] = row["name"]
                    if row["kind"] == "ball" and len(shown) < rows:
                        shown.append(_shown(line, row, clubs))
                yield line, row

        imported = take_in(archive, watched(), dry_run=True)
    return Preview(tuple(shown), imported)


def _shown(line: int, ball: Any, clubs: dict[Any, str]) -> tuple[str, ...]:
    counted = "yes" if ball["counted"] else f"no: {ball['reason']}"
    values = (ball["bow_notches"], ball["grip_deg"], ball["start_deg"], ball["side"], ball["height"], ball["strike"], counted, ball["note"])
    words = ("" if value is None else f"{value:g}" if isinstance(value, float) else str(value) for value in values)
    return (str(line), ball["at"][:10], clubs.get(ball["club_id"], ""), *words)


def _player(archive: Archive, mapping: Mapping) -> Player:
    player = archive.player()
    if player is None:
        raise Refused("The book has no player yet.", "Open it once and answer the first questions; then import.")
    if player.hand != mapping.hand:
        raise Refused(
            f"The table is {mapping.hand}-handed; this book is of {player.code}, {player.hand}-handed.",
            "Hands never mix: use another book.",
        )
    return player


def _source(archive: Archive, player: Player, mapping: Mapping, stream: TextIO, progress: Progress) -> Source:
    lines = table(stream, mapping.delimiter)
    names = header(next((row for _, row in lines), None))
    if lost := [column for column in mapping.columns.values() if column not in names]:
        raise Refused(f"The table has no column {lost[0]!r}.", clean_note(f"It has: {', '.join(names)}."))
    making = _Making(archive, player, mapping)
    for done, (line, found) in enumerate(lines, start=1):
        if not done % 1000:
            progress(1000)
        if isinstance(found, BadLine):
            yield line, found
            continue
        try:
            if len(found) != len(names):
                raise OffScale("row", f"{len(found)} cells where the header names {len(names)}.")
            made = list(making.rows(dict(zip(names, found, strict=True))))
        except OffScale as error:
            yield line, BadLine(line, str(error))
            continue
        yield from ((line, each) for each in made)


class _Making:
    """Rows of the book from rows of the table, with ids that depend on nothing but what the table says."""

    def __init__(self, archive: Archive, player: Player, mapping: Mapping) -> None:
        self._player = player
        self._mapping = mapping
        self._clubs = {club.name.casefold(): club.id for club in archive.clubs()}
        self._new_clubs: set[str] = set()
        asked = archive.prescription()
        self._prescription_id = asked.id if asked else None
        self._seen: Counter[str] = Counter()
        self._sessions: Counter[str] = Counter()

    def rows(self, cells: dict[str, str]) -> Iterator[dict[str, Any]]:
        """The ball of one row, and before it the session and the club where they are new. Raises OffScale naming the field."""
        values = {field: cells[column].strip() for field, column in self._mapping.columns.items()}
        values = {**self._mapping.fixed, **{field: value for field, value in values.items() if value}}
        start = self._moment(values)
        ball = self._ball(values)
        session_id = self._id("session", values.get("session") or start.date().isoformat())
        same = "\x1f".join(f"{field}={values[field]}" for field in sorted(values))
        self._seen[same] += 1
        if session_id not in self._sessions:
            yield self._session(session_id, start, ball, values)
        if ball["club_id"] in self._new_clubs:
            self._new_clubs.discard(ball["club_id"])
            yield {"kind": "club", "id": ball["club_id"], "name": clean_note(values["club"], 60), "loft_deg": None}
        self._sessions[session_id] += 1
        yield {
            "kind": "ball",
            "id": self._id("ball", f"{same}\x1f{self._seen[same]}"),
            "session_id": session_id,
            "seq": self._sessions[session_id],
            "at": start.isoformat(),
            **ball,
        }

    def _id(self, kind: str, text: str) -> str:
        return hashlib.sha256(f"{self._player.id}\x1f{kind}\x1f{text}".encode()).hexdigest()[:32]

    def _session(self, session_id: str, start: datetime, ball: dict[str, Any], values: dict[str, str]) -> dict[str, Any]:
        note = f"imported with {self._mapping.name}" + (f": {clean_note(values['session'], 60)}" if values.get("session") else "")
        return {
            "kind": "session",
            "id": session_id,
            "started_at": start.isoformat(),
            "ended_at": start.isoformat(),
            "surface": ball["surface"],
            "date_uncertain": False,
            "aim_line": True,
            "note": note,
        }

    def _moment(self, values: dict[str, str]) -> datetime:
        text = values.get("date", "")
        try:
            day = datetime.strptime(text, self._mapping.date_form) if self._mapping.date_form else datetime.fromisoformat(text)
            if values.get("time"):
                at = datetime.fromisoformat(f"2000-01-01T{values['time']}")
                day = datetime.combine(day.date(), at.timetz())
        except ValueError:
            wanted = self._mapping.date_form or "YYYY-MM-DD"
            raise OffScale("date", f"date: {text!r} is not of the form {wanted}.") from None
        if not 1900 <= day.year <= 9998:
            raise OffScale("date", f"date: {text!r} is no year of ours.")
        # a table without an offset has none to give: its clock is kept as it reads
        return day if day.tzinfo else day.replace(tzinfo=_UNKNOWN_OFFSET)

    def _ball(self, values: dict[str, str]) -> dict[str, Any]:
        bow, grip = self._number(values, "bow"), self._number(values, "grip")
        start, side = self._start(values), self._word(values, "side")
        stated, seen = bow is not None and grip is not None, start is not None or side is not None
        counted = self._word(values, "counted") != "no"
        reason = None if counted else Reason.NOT_A_REAL_TRY
        if not stated or not seen:
            counted, reason = False, Reason.SETUP_UNKNOWN if not stated else Reason.NOT_SEEN
        position = self._number(values, "position") or 0.0
        felt, launch, apex = self._number(values, "felt_bow"), self._number(values, "launch"), self._number(values, "apex")
        strike = self._word(values, "strike")
        return {
            "block_id": None,
            "prescription_id": self._prescription_id,
            "club_id": self._club(values.get("club", "")),
            "bow_notches": None if bow is None else scales.bow(bow),
            "grip_deg": None if grip is None else scales.grip(grip),
            "position_balls": scales.position(round(position * 4) / 4),
            "swing": self._word(values, "swing") or "half",
            "stick": self._word(values, "stick") != "off",
            "surface": self._word(values, "surface") or "mat",
            "aim_line": True,
            "side": side,
            "start_deg": start,
            "height": self._word(values, "height"),
            "launch_deg": None if launch is None else scales.number("launch", launch, *scales.LAUNCH_RANGE, "deg"),
            "apex_m": None if apex is None else scales.number("apex", apex, *scales.APEX_RANGE, "m"),
            "strike": strike,
            "curve": self._word(values, "curve"),
            "touched": False,
            "felt_bow_notches": None if felt is None else scales.bow(felt),
            "comfort": self._comfort(values),
            "called": None,
            "target": "",
            "counted": counted and strike != Strike.SHANK,
            "reason": Reason.WHIFF_OR_SHANK if counted and strike == Strike.SHANK else reason,
            "voided": False,
            "aim_correction_deg": 0.0,
            "note": clean_note(values.get("note", "")),
        }

    def _number(self, values: dict[str, str], field: str) -> float | None:
        text = values.get(field, "")
        if not text:
            return None
        try:
            value = float(text.replace(",", ".") if self._mapping.decimal == "," else text)
        except ValueError:
            raise OffScale(field, f"{field}: {text!r} is not a number.") from None
        return value * UNITS.get(field, {}).get(self._mapping.units.get(field, ""), 1.0)

    def _start(self, values: dict[str, str]) -> float | None:
        found = self._number(values, "start")
        if found is None:
            return None
        if self._mapping.positive == "left":
            found = -found
        elif self._mapping.positive == "open":
            found = mirror.to_start(found, self._player.hand)
        return scales.start_deg(found)

    def _word(self, values: dict[str, str], field: str) -> str | None:
        text = values.get(field, "")
        word = self._mapping.words.get(field, {}).get(text, text.casefold())
        if not word:
            return None
        if word not in WORDS[field]:
            raise OffScale(field, f"{field}: {text!r} is not one of: {', '.join(WORDS[field])}.", "Say in the mapping what it means.")
        return word

    def _comfort(self, values: dict[str, str]) -> int | None:
        found = self._number(values, "comfort")
        if found is None:
            return None
        checked = scales.number("comfort", found, *scales.COMFORT_RANGE)
        if checked % 1:
            raise OffScale("comfort", "Comfort is a whole number.")
        return int(checked)

    def _club(self, name: str) -> str | None:
        if not name:
            return None
        known = self._clubs.get(name.casefold())
        if known is None:
            known = self._clubs[name.casefold()] = self._id("club", name.casefold())
            self._new_clubs.add(known)
        return known
