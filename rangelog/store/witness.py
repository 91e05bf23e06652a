"""Whether the file under our name still holds what we wrote: a synced folder may lay another content into it, in place."""

# ruff: noqa: S608 - only names from our own list are put into SQL

import os
import sqlite3
from dataclasses import dataclass, field
from pathlib import Path

TABLES = ("players", "clubs", "prescriptions", "sessions", "blocks", "balls", "forms", "edits")
"""Every table of records; nothing is ever deleted from one."""


@dataclass(frozen=True, slots=True)
class Stand:
    """A file as the system tells of it: which one, how long, and when last written, in nanoseconds."""

    device: int
    number: int
    size: int
    written_ns: int

    def is_file_of(self, other: "Stand") -> bool:
        """The same file, whatever is in it."""
        return (self.device, self.number) == (other.device, other.number)


def stand_of(path: Path) -> Stand | None:
    """How the file at a path stands, None where there is none."""
    try:
        found = os.stat(path)
    except OSError:
        return None
    return Stand(found.st_dev, found.st_ino, found.st_size, found.st_mtime_ns)


@dataclass(slots=True)
class Witness:
    """What must be in the file for as long as it is ours: the newest row of every table, and the time of the last state.

    Attributes:
        rows: id by table, of rows that are surely in the file.
        stamp: `saved_utc` that the state must have reached.
    """

    rows: dict[str, str] = field(default_factory=dict)
    stamp: str = ""

    @classmethod
    def of(cls, connection: sqlite3.Connection) -> "Witness":
        """What the file holds now; a table that cannot be read is left out."""
        made = cls()
        for table in TABLES:
            try:
                newest = connection.execute(f"SELECT id FROM {table} ORDER BY rowid DESC LIMIT 1").fetchone()
            except sqlite3.Error:
                continue
            if newest is not None:
                made.rows[table] = newest[0]
        try:
            made.stamp = connection.execute("SELECT max(saved_utc) FROM state").fetchone()[0] or ""
        except sqlite3.Error:
            made.stamp = ""
        return made

    def add(self, other: "Witness") -> None:
        """What has been committed since."""
        self.rows |= other.rows
        self.stamp = max(self.stamp, other.stamp)

    def speaks_for(self, path: Path) -> bool:
        """Whether the file holds all of it, read afresh and past any cache. Raises sqlite3.OperationalError where it is busy."""
        connection = sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True, timeout=0, isolation_level=None)
        try:
            found = all(
                connection.execute(f"SELECT 1 FROM {table} WHERE id = ?", (row_id,)).fetchone() is not None
                for table, row_id in self.rows.items()
            )
            return found and (connection.execute("SELECT max(saved_utc) FROM state").fetchone()[0] or "") >= self.stamp
        finally:
            connection.close()
