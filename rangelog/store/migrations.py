"""Forward steps of the schema, and the record in the book of which were taken.

The record is kept in the table of sqlite-utils' migrations, so that any of its tools can read it. A new book is built with plain
SQL, since loading sqlite-utils would cost the first screen its budget; an older book is brought forward by sqlite-utils itself.
"""

import sqlite3
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from rangelog.store import schema

if TYPE_CHECKING:
    from sqlite_utils import Database

SET_NAME = "rangelog"

_RECORD_TABLE = (
    'CREATE TABLE "_sqlite_migrations" (\n   "id" INTEGER PRIMARY KEY,\n   "migration_set" TEXT,\n   "name" TEXT,\n   "applied_at" TEXT\n)',
    'CREATE UNIQUE INDEX "idx__sqlite_migrations_migration_set_name"\n    ON "_sqlite_migrations" ("migration_set", "name")',
)


@dataclass(frozen=True, slots=True)
class Step:
    """One released change of the schema; never edited afterwards.

    Attributes:
        name: unique, as recorded in the book.
        statements: SQL run in order, in one transaction with the record of the step.
    """

    name: str
    statements: tuple[str, ...]


STEPS: tuple[Step, ...] = (Step("1 the book", schema.FIRST),)
"""All steps in order. The schema version of a book (PRAGMA user_version) is the number of steps taken."""


def build(connection: sqlite3.Connection, now: datetime, steps: Sequence[Step]) -> None:
    """Make an empty database a book: all steps, their record, the version and our mark, in one transaction."""
    connection.execute("BEGIN IMMEDIATE")
    for statement in _RECORD_TABLE:
        connection.execute(statement)
    for step in steps:
        for statement in step.statements:
            connection.execute(statement)
        connection.execute(
            'INSERT INTO "_sqlite_migrations" (migration_set, name, applied_at) VALUES (?, ?, ?)',
            (SET_NAME, step.name, now.isoformat(sep=" ")),
        )
    connection.execute(f"PRAGMA application_id = {schema.APPLICATION_ID}")
    connection.execute(f"PRAGMA user_version = {len(steps)}")
    connection.execute("COMMIT")


def applied(connection: sqlite3.Connection) -> tuple[str, ...]:
    """Names of the steps a book has taken, in order; empty where it has no record."""
    if not connection.execute("SELECT 1 FROM sqlite_master WHERE name = '_sqlite_migrations'").fetchall():
        return ()
    rows = connection.execute('SELECT name FROM "_sqlite_migrations" WHERE migration_set = ? ORDER BY id', (SET_NAME,)).fetchall()
    return tuple(name for (name,) in rows)


def forward(connection: sqlite3.Connection, steps: Sequence[Step]) -> None:
    """Take the pending steps with sqlite-utils, each in its own transaction with its record; an error leaves its step untaken.

    Foreign keys are off while tables change and are checked inside each step before it is committed.
    Raises sqlite3.Error, or sqlite3.IntegrityError where a step would leave a row without its parent.
    """
    from sqlite_utils import Database, Migrations

    plan = Migrations(SET_NAME)
    for version, step in enumerate(steps, start=1):
        plan(name=step.name)(_taker(step, version))
    connection.execute("PRAGMA foreign_keys = OFF")
    try:
        plan.apply(Database(connection, execute_plugins=False))
    finally:
        connection.execute("PRAGMA foreign_keys = ON")


def _taker(step: Step, version: int) -> "Callable[[Database], None]":
    def take(db: "Database") -> None:
        for statement in step.statements:
            db.execute(statement)
        if db.execute("PRAGMA foreign_key_check").fetchall():
            raise sqlite3.IntegrityError(f"step {step.name} leaves a row without its parent")
        db.execute(f"PRAGMA user_version = {version}")

    return take
