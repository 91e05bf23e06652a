"""The tables of a book, as SQL written by hand: STRICT, with CHECKs, plain names and units."""

from collections.abc import Iterable
from enum import StrEnum

from rangelog.core import scales
from rangelog.core.words import BlockKind, Curve, Hand, Height, Lever, Reason, Side, Strike, Surface, Swing

APPLICATION_ID = 0x524E474C
"""Our own mark in the header of the file: the letters RNGL."""

_TIME = "GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]*'"


def _one_of(column: str, kind: type[StrEnum]) -> str:
    """Written with OR: SQLite would build a table for every IN list of every row."""
    return " OR ".join(f"{column} = '{word}'" for word in kind)


def _word(column: str, kind: type[StrEnum], *, required: bool = False) -> str:
    return f"{column} TEXT {'NOT NULL ' if required else ''}CHECK ({_one_of(column, kind)})"


def _flag(column: str) -> str:
    return f"{column} INTEGER NOT NULL CHECK ({column} BETWEEN 0 AND 1)"


def _number(column: str, low_high: tuple[float, float], *, required: bool = False, extra: str = "") -> str:
    low, high = low_high
    return f"{column} REAL {'NOT NULL ' if required else ''}CHECK ({column} BETWEEN {low} AND {high}{extra})"


def _key(column: str = "id") -> str:
    return f"{column} TEXT PRIMARY KEY NOT NULL CHECK ({column} <> '')"


def _table(name: str, lines: Iterable[str]) -> str:
    return f"CREATE TABLE {name} (\n    " + ",\n    ".join(lines) + "\n) STRICT"


def _half_notches(column: str) -> str:
    return f" AND {column} * 2 = CAST({column} * 2 AS INTEGER)"


def _quarters(column: str) -> str:
    return f" AND {column} * 4 = CAST({column} * 4 AS INTEGER)"


_FIRST_TABLES = (
    _table(
        "players",
        (
            _key(),
            "code TEXT NOT NULL",
            _word("hand", Hand, required=True),
            _word("lead_hand", Hand, required=True),
            _flag("junior"),
            "hub_height_mm REAL NOT NULL CHECK (hub_height_mm > 0)",
            "saved_utc TEXT NOT NULL",
        ),
    ),
    _table("clubs", (_key(), "name TEXT NOT NULL", _number("loft_deg", scales.LOFT_RANGE), "saved_utc TEXT NOT NULL")),
    _table(
        "prescriptions",
        (
            _key(),
            "version INTEGER NOT NULL CHECK (version >= 1)",
            "made_at TEXT",
            "set_by TEXT NOT NULL",
            "text TEXT NOT NULL",
            "club_id TEXT REFERENCES clubs (id)",
            _word("swing", Swing, required=True),
            _word("first_lever", Lever, required=True),
            "window_deg REAL NOT NULL CHECK (window_deg > 0)",
            "wide_deg REAL NOT NULL CHECK (wide_deg > window_deg)",
            _number("wrist_limit_notches", scales.BOW_RANGE),
            _flag("pain_history"),
            "ball_cap INTEGER NOT NULL CHECK (ball_cap >= 0)",
            "solid_limit REAL CHECK (solid_limit BETWEEN 0 AND 1)",
            "stop_rules TEXT NOT NULL",
        ),
    ),
    _table(
        "sessions",
        (
            _key(),
            f"started_at TEXT NOT NULL CHECK (started_at {_TIME})",
            "ended_at TEXT",
            _word("surface", Surface, required=True),
            _flag("date_uncertain"),
            _flag("aim_line"),
            "note TEXT NOT NULL",
            "order_utc TEXT NOT NULL",
            "saved_utc TEXT NOT NULL",
        ),
    ),
    _table(
        "blocks",
        (
            _key(),
            "session_id TEXT NOT NULL REFERENCES sessions (id)",
            "seq INTEGER NOT NULL CHECK (seq >= 1)",
            _word("block_kind", BlockKind, required=True),
            "planned_balls INTEGER NOT NULL CHECK (planned_balls >= 0)",
            "started_at TEXT",
            "ended_at TEXT",
            "seed INTEGER",
            "plan_json TEXT",
            "outcome TEXT CHECK (outcome IN ('done', 'abandoned', 'centred', 'not centred', 'not shown'))",
            "saved_utc TEXT NOT NULL",
        ),
    ),
    _table(
        "balls",
        (
            _key(),
            "session_id TEXT NOT NULL REFERENCES sessions (id)",
            "seq INTEGER NOT NULL CHECK (seq >= 1)",
            f"at TEXT NOT NULL CHECK (at {_TIME})",
            "block_id TEXT REFERENCES blocks (id)",
            "prescription_id TEXT REFERENCES prescriptions (id)",
            "club_id TEXT REFERENCES clubs (id)",
            _number("bow_notches", scales.BOW_RANGE, extra=_half_notches("bow_notches")),
            _number("grip_deg", scales.GRIP_RANGE),
            _number("position_balls", scales.POSITION_RANGE, required=True, extra=_quarters("position_balls")),
            _word("swing", Swing, required=True),
            _flag("stick"),
            _word("surface", Surface, required=True),
            _flag("aim_line"),
            _word("side", Side),
            _number("start_deg", scales.START_RANGE),
            _word("height", Height),
            _number("launch_deg", scales.LAUNCH_RANGE),
            _number("apex_m", scales.APEX_RANGE),
            _word("strike", Strike),
            _word("curve", Curve),
            _flag("touched"),
            _number("felt_bow_notches", scales.BOW_RANGE, extra=_half_notches("felt_bow_notches")),
            "comfort INTEGER CHECK (comfort BETWEEN {} AND {})".format(*scales.COMFORT_RANGE),
            _word("called", Height),
            "target TEXT NOT NULL",
            _flag("counted"),
            _word("reason", Reason),
            _flag("voided"),
            "aim_correction_deg REAL NOT NULL CHECK (aim_correction_deg BETWEEN -90 AND 90)",
            "note TEXT NOT NULL",
            "keyed_seq INTEGER NOT NULL CHECK (keyed_seq >= 1)",
            "UNIQUE (session_id, seq)",
        ),
    ),
    _table(
        "edits",
        (
            _key(),
            "ball_id TEXT NOT NULL REFERENCES balls (id)",
            "field TEXT NOT NULL",
            "old_json TEXT NOT NULL",
            "new_json TEXT NOT NULL",
            f"at TEXT NOT NULL CHECK (at {_TIME})",
            "reason TEXT NOT NULL",
            "group_id TEXT",
            "undoes_group_id TEXT",
            "order_utc TEXT NOT NULL",
        ),
    ),
    _table(
        "forms",
        (
            _key(),
            "session_id TEXT NOT NULL REFERENCES sessions (id)",
            "name TEXT NOT NULL",
            f"at TEXT NOT NULL CHECK (at {_TIME})",
            "after_seq INTEGER NOT NULL CHECK (after_seq >= 0)",
            "answers_json TEXT NOT NULL",
            _flag("complete"),
            "saved_utc TEXT NOT NULL",
        ),
    ),
    _table("state", (_key("key"), "value_json TEXT NOT NULL", "saved_utc TEXT NOT NULL")),
    "CREATE INDEX sessions_in_order ON sessions (order_utc, id)",
    "CREATE INDEX blocks_of_session ON blocks (session_id, seq)",
    "CREATE INDEX forms_of_session ON forms (session_id, at)",
    "CREATE INDEX edits_of_ball ON edits (ball_id, field)",
    "CREATE INDEX edits_in_order ON edits (order_utc, id)",
    "CREATE INDEX balls_shown ON balls (session_id, voided, counted)",
    "CREATE INDEX balls_with_note ON balls (session_id, seq) WHERE note <> ''",
)

_FIRST_VIEWS = (
    """CREATE VIEW ball_list AS
SELECT substr(sessions.started_at, 1, 10) AS date, balls.seq AS ball, balls.at, blocks.block_kind AS block,
       clubs.name AS club, clubs.loft_deg, balls.swing, balls.surface, balls.stick, balls.bow_notches, balls.grip_deg, balls.position_balls,
       balls.side, balls.start_deg - balls.aim_correction_deg AS corrected_start_deg, balls.start_deg, balls.aim_correction_deg,
       balls.height, balls.launch_deg, balls.apex_m, balls.strike, balls.curve, balls.touched, balls.felt_bow_notches, balls.comfort,
       balls.counted, balls.reason, balls.note, balls.session_id, balls.id
FROM balls
JOIN sessions ON sessions.id = balls.session_id
LEFT JOIN blocks ON blocks.id = balls.block_id
LEFT JOIN clubs ON clubs.id = balls.club_id
WHERE NOT balls.voided
ORDER BY sessions.order_utc, sessions.id, balls.seq""",
    """CREATE VIEW session_list AS
SELECT substr(sessions.started_at, 1, 10) AS date, sessions.started_at, sessions.ended_at, sessions.surface,
       count(balls.id) AS balls, coalesce(sum(balls.counted), 0) AS counted,
       coalesce(sum(balls.strike = 'solid'), 0) AS solid, coalesce(sum(balls.strike IS NOT NULL), 0) AS strike_known,
       sessions.date_uncertain, sessions.note, sessions.id
FROM sessions
LEFT JOIN balls ON balls.session_id = sessions.id AND NOT balls.voided
GROUP BY sessions.id
ORDER BY sessions.order_utc, sessions.id""",
    """CREATE VIEW edit_list AS
SELECT edits.at, substr(sessions.started_at, 1, 10) AS date, balls.seq AS ball, edits.field, edits.old_json AS old, edits.new_json AS new,
       edits.reason, edits.undoes_group_id IS NOT NULL AS takes_back, edits.ball_id
FROM edits
JOIN balls ON balls.id = edits.ball_id
JOIN sessions ON sessions.id = balls.session_id
ORDER BY edits.order_utc, edits.id""",
)

FIRST = (*_FIRST_TABLES, *_FIRST_VIEWS)
"""Statements of schema 1. Released, so never edited: a change is a new step in migrations.py."""
