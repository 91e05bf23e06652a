"""The other records as rows and back: player, clubs, prescriptions, sessions, blocks, forms, edits.

Each record has a pair of functions, and one entry in SHAPES that names its table and columns.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from rangelog.core import scales
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.session import Block, Edit, Form, Session
from rangelog.core.words import BlockKind, Hand, Lever, Surface, Swing
from rangelog.store import ball_rows, cells, times

Row = tuple[Any, ...]


def player_row(player: Player) -> Row:
    code, height = cells.clean(player.code), cells.finite("hub height", player.hub_height_mm)
    return (player.id, code, str(player.hand), str(player.lead_hand), int(player.junior), height)


def player(values: Row) -> Player:
    player_id, code, hand, lead_hand, junior, hub = values
    return Player(
        cells.text("id", player_id),
        cells.text("code", code),
        cells.word("hand", hand, Hand),
        cells.word("lead_hand", lead_hand, Hand),
        cells.flag("junior", junior),
        cells.number("hub_height_mm", hub, 0),
    )


def club_row(club: Club) -> Row:
    return (club.id, cells.clean(club.name), cells.finite("loft", club.loft_deg))


def club(values: Row) -> Club:
    club_id, name, loft = values
    return Club(cells.text("id", club_id), cells.text("name", name), cells.optional_number("loft_deg", loft, *scales.LOFT_RANGE))


def prescription_row(made: Prescription) -> Row:
    return (
        made.id,
        made.version,
        cells.blank(made.made_at),
        cells.clean(made.set_by),
        cells.clean(made.text),
        cells.blank(made.club_id),
        str(made.swing),
        str(made.first_lever),
        cells.finite("window", made.window_deg),
        cells.finite("wide", made.wide_deg),
        cells.finite("wrist limit", made.wrist_limit_bow),
        int(made.pain_history),
        made.ball_cap,
        cells.finite("solid limit", made.solid_limit),
        cells.clean(made.stop_rules),
    )


def prescription(values: Row) -> Prescription:
    made_id, version, made_at, set_by, words, club_id, swing, lever, window, wide, limit, pain, cap, solid, stop = values
    return Prescription(
        cells.text("id", made_id),
        cells.whole("version", version, 1),
        cells.optional_text("made_at", made_at),
        cells.text("set_by", set_by),
        cells.text("text", words),
        cells.optional_text("club_id", club_id),
        cells.word("swing", swing, Swing),
        cells.word("first_lever", lever, Lever),
        cells.number("window_deg", window, 0),
        cells.number("wide_deg", wide, 0),
        cells.optional_number("wrist_limit_notches", limit, *scales.BOW_RANGE),
        cells.flag("pain_history", pain),
        cells.whole("ball_cap", cap, 0),
        cells.optional_number("solid_limit", solid, 0, 1),
        cells.text("stop_rules", stop),
    )


def session_row(session: Session) -> Row:
    times.instant(session.started_at)
    return (
        session.id,
        session.started_at,
        cells.blank(session.ended_at),
        str(session.surface),
        int(session.date_uncertain),
        int(session.aim_line),
        cells.clean(session.note),
    )


def session(values: Row) -> Session:
    session_id, started_at, ended_at, surface, uncertain, aim_line, note = values
    times.instant(cells.text("started_at", started_at))
    if ended_at is not None:
        times.instant(cells.text("ended_at", ended_at))
    return Session(
        cells.text("id", session_id),
        started_at,
        ended_at or "",
        cells.word("surface", surface, Surface),
        cells.flag("date_uncertain", uncertain),
        cells.flag("aim_line", aim_line),
        cells.text("note", note),
    )


def block_row(block: Block) -> Row:
    started, ended = cells.blank(block.started_at), cells.blank(block.ended_at)
    plan, outcome = cells.blank(block.plan), cells.blank(block.outcome)
    return (block.id, block.session_id, block.seq, str(block.kind), block.planned, started, ended, block.seed, plan, outcome)


def block(values: Row) -> Block:
    block_id, session_id, seq, kind, planned, started_at, ended_at, seed, plan, outcome = values
    return Block(
        cells.text("id", block_id),
        cells.text("session_id", session_id),
        cells.whole("seq", seq, 1),
        cells.word("block_kind", kind, BlockKind),
        cells.whole("planned_balls", planned, 0),
        cells.optional_text("started_at", started_at),
        cells.optional_text("ended_at", ended_at),
        None if seed is None else cells.whole("seed", seed, -(2**63)),
        cells.optional_text("plan_json", plan),
        cells.optional_text("outcome", outcome),
    )


def form_row(form: Form) -> Row:
    times.instant(form.at)
    return (form.id, form.session_id, cells.clean(form.name), form.at, form.after_seq, cells.to_json(form.answers), int(form.complete))


def form(values: Row) -> Form:
    form_id, session_id, name, at, after_seq, answers, complete = values
    found = cells.from_json("answers_json", answers)
    if not isinstance(found, dict):
        raise ValueError("answers_json: an object of answers expected")
    times.instant(cells.text("at", at))
    return Form(
        cells.text("id", form_id),
        cells.text("session_id", session_id),
        cells.text("name", name),
        at,
        cells.whole("after_seq", after_seq, 0),
        found,
        cells.flag("complete", complete),
    )


def edit_row(edit: Edit) -> Row:
    times.instant(edit.at)
    old, new, reason = cells.clean(edit.old), cells.clean(edit.new), cells.clean(edit.reason)
    return (edit.id, edit.ball_id, edit.field, old, new, edit.at, reason, cells.blank(edit.group), cells.blank(edit.undoes))


def edit(values: Row) -> Edit:
    edit_id, ball_id, field, old, new, at, reason, group, undoes = values
    if field not in ball_rows.FIELD_COLUMNS:
        raise ValueError(f"field: {field!r} is not a field of a ball")
    cells.from_json("old_json", old)
    cells.from_json("new_json", new)
    times.instant(cells.text("at", at))
    return Edit(
        cells.text("id", edit_id),
        cells.text("ball_id", ball_id),
        field,
        old,
        new,
        at,
        cells.text("reason", reason),
        cells.optional_text("group_id", group),
        cells.optional_text("undoes_group_id", undoes),
    )


@dataclass(frozen=True, slots=True)
class Shape:
    """How one kind of record stands in the file.

    Attributes:
        kind: the word in every exported row.
        table: its table.
        columns: the columns that make the record, in the order of the pair of functions.
        extra: columns of the book itself: its order and its last change.
        row, record: from the record to the cells of `columns`, and back (ValueError names a cell that does not fit).
    """

    kind: str
    table: str
    columns: tuple[str, ...]
    extra: tuple[str, ...]
    row: Callable[[Any], Row]
    record: Callable[[Row], Any]

    @property
    def all_columns(self) -> tuple[str, ...]:
        return self.columns + self.extra


def _shape(kind: str, table: str, columns: str, extra: str, row: Callable[[Any], Row], record: Callable[[Row], Any]) -> Shape:
    return Shape(kind, table, tuple(columns.split()), tuple(extra.split()), row, record)


PLAYER = _shape("player", "players", "id code hand lead_hand junior hub_height_mm", "saved_utc", player_row, player)
CLUB = _shape("club", "clubs", "id name loft_deg", "saved_utc", club_row, club)
PRESCRIPTION = _shape(
    "prescription",
    "prescriptions",
    "id version made_at set_by text club_id swing first_lever window_deg wide_deg wrist_limit_notches pain_history ball_cap "
    "solid_limit stop_rules",
    "",
    prescription_row,
    prescription,
)
SESSION = _shape(
    "session", "sessions", "id started_at ended_at surface date_uncertain aim_line note", "order_utc saved_utc", session_row, session
)
BLOCK = _shape(
    "block",
    "blocks",
    "id session_id seq block_kind planned_balls started_at ended_at seed plan_json outcome",
    "saved_utc",
    block_row,
    block,
)
BALL = Shape("ball", "balls", ball_rows.COLUMNS, ("keyed_seq",), ball_rows.row, ball_rows.ball)
FORM = _shape("form", "forms", "id session_id name at after_seq answers_json complete", "saved_utc", form_row, form)
EDIT = _shape("edit", "edits", "id ball_id field old_json new_json at reason group_id undoes_group_id", "order_utc", edit_row, edit)

SHAPES: dict[str, Shape] = {shape.kind: shape for shape in (PLAYER, CLUB, PRESCRIPTION, SESSION, BLOCK, BALL, FORM, EDIT)}
"""Every kind of record, parents before children."""
