"""One ball, whole: what was meant, what it did, and every correction it has had."""

import json
from collections.abc import Sequence
from typing import TYPE_CHECKING

from rangelog.core.ball import Ball
from rangelog.core.session import Edit
from rangelog.logbook.view import TeeView
from rangelog.tui import words
from rangelog.tui.draw import wrapping
from rangelog.tui.draw.bracket import ROLES
from rangelog.tui.draw.pieces import Piece

if TYPE_CHECKING:
    from rangelog.logbook.showing import Showing

LABEL = 12
NAMES = {
    "side": "start side", "start_deg": "start, deg", "launch_deg": "launch, deg", "apex_m": "apex, m", "position_balls": "ball position",
    "felt_bow": "felt bow", "club_id": "club", "aim_line": "aim line", "aim_correction_deg": "aim correction, deg",
    "touched": "stick touched", "stick": "grip stick", "voided": "taken back",
}  # fmt: skip
"""Fields whose name is not the word for them."""
WORDS = ("note", "target", "called")
"""Fields that hold the player's own words, which are shown as they were typed."""


def _value(text: str, clubs: dict[str, str], name: str) -> str:
    """A stored value in words."""
    value = json.loads(text)
    if value is None or value == "":
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return words.clean(clubs.get(str(value), str(value)) if name == "club_id" else str(value), 60)


def _when(at: str, ball_at: str) -> str:
    """The time of day; the date, where it is another day than the ball's."""
    return at[11:16] if at[:10] == ball_at[:10] else at[:10]


def _row(label: str, said: str, columns: int, role: str = "ink") -> list[list[Piece]]:
    wrapped = wrapping.wrap(said, max(columns - LABEL, 16), 6) or ["-"]
    return [[(f"{label if at == 0 else '':<{LABEL}}", "quiet"), (part, role)] for at, part in enumerate(wrapped)]


def lines(
    ball: Ball, view: TeeView, history: Sequence[Edit], clubs: dict[str, str], columns: int, showing: "Showing | None" = None
) -> list[list[Piece]]:
    """The ball and its history, line by line."""
    setup = ball.setup
    said = showing.said if showing is not None else str
    side = words.side_of(ball, view)
    held = [
        said(words.clean(clubs.get(setup.club_id, ""), 40)),
        f"{setup.swing} swing",
        "stick on" if setup.stick else "stick off",
        setup.surface.value,
        "aim line" if setup.aim_line else "no aim line",
    ]
    more = [
        "" if ball.felt_bow is None else said(f"felt like bow {words.number(ball.felt_bow)}"),
        "" if ball.comfort is None else f"comfort {ball.comfort} of 5",
        f"called {ball.called}" if ball.called else "",
        f"target {words.clean(ball.target, 40)}" if ball.target else "",
        said(f"aim line corrected by {words.degrees(-ball.aim_correction_deg)}") if ball.aim_correction_deg else "",
    ]
    made = [
        *_row(
            "setup",
            f"{words.setting(setup, showing).replace('  ', ', ')}, {said(words.position(setup.position_balls))}",
            columns,
            "ink bold",
        ),
        *_row("with", ", ".join(word for word in held if word), columns),
        *_row("it did", words.flight(ball, view, showing), columns, f"{ROLES[side]} bold" if side else "ink bold"),
        *_row("counted", words.not_counted(ball) or "yes", columns),
    ]
    if any(more):
        made += _row("more", ", ".join(word for word in more if word), columns)
    if ball.note:
        made += _row("note", words.clean(ball.note, 400), columns)
    made += [[], [("CHANGES SINCE ITS FIRST KEY", "act bold")]]
    for edit in history:
        name = NAMES.get(edit.field, edit.field)
        because = ", by undo" if edit.undoes else f", because: {words.clean(edit.reason, 120)}" if edit.reason else ""
        values = [_value(text, clubs, edit.field) for text in (edit.old, edit.new)]
        before, after = values if edit.field in WORDS else map(said, values)
        made += _row(_when(edit.at, ball.at), f"{name}: {before} → {after}{because}", columns)
    if not history:
        made.append([("None: it stands as it was keyed.", "ink")])
    return made
