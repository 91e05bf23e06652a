"""The keyboard drawn: the two blocks for the tee, the whole main block for the help screen."""

from rangelog.core.words import Side
from rangelog.tui import layouts
from rangelog.tui.actions import ACTIONS, FLIGHT_PLACES, SIDES, STRIKE_PLACES
from rangelog.tui.draw.bracket import ROLES, Piece
from rangelog.tui.keymap import KeyMap, fold
from rangelog.tui.words import SIGNS

_CAPS = {
    "ball.touched": "stick", "flight.not_seen": "unseen", "ball.uncount": "skip", "ball.note": "note", "range.pain": "pain",
    "log.why": "why", "log.menu": "menu", "setup.position_back": "back", "setup.position_forward": "fwd",
    "curve.left": "curve<", "curve.straight": "flew |", "curve.right": "curve>",
}  # fmt: skip
NO_HEIGHT = "-"
CELL, WIDE_CELL = 7, 10
"""Columns of a key in the whole keyboard, and where there is room for more."""


def flight_block(keys: KeyMap) -> list[list[Piece]]:
    """Four lines of the flight block with heights at the side: the keys as they lie."""
    lines: list[list[Piece]] = []
    for height, _ in FLIGHT_PLACES:
        pieces: list[Piece] = []
        for side in SIDES:
            action_id = f"flight.{side.replace(' ', '_')}" + (f".{height}" if height else "")
            pieces.append((f" {keys.shown(action_id):<3}", f"{ROLES[side]} bold"))
        lines.append([*pieces, (height.value if height else "height not seen", "quiet")])
    return lines


def blocks(keys: KeyMap, columns: int) -> list[list[Piece]]:
    """Both blocks side by side in seven lines: where the ball went, and how it was struck."""
    wide, label, gap = (5, 9, "     ") if columns >= 66 else (4, 4, "  ")
    heights = ("not seen" if label == 9 else "", "high", "mid", "low")
    lines: list[list[Piece]] = [[(f"{'':{label + 1}}{'seen from behind':^{wide * 5}}", "quiet")]]
    lines.append([(" " * (label + 1), "quiet"), *((f"{SIGNS[side]:^{wide}}", f"{ROLES[side]} bold") for side in SIDES)])
    for (height, _), said in zip(FLIGHT_PLACES, heights, strict=True):
        row: list[Piece] = [(f"{said:>{label}} ", "quiet")]
        for side in SIDES:
            action_id = f"flight.{side.replace(' ', '_')}" + (f".{height}" if height else "")
            row.append((f"{keys.shown(action_id):^{wide}}", f"{ROLES[side]} bold"))
        lines.append(row)
    beside = _strike_lines(keys)
    blank: list[Piece] = [(" " * (label + 1 + wide * 5), "quiet")]
    lines += [blank] * (len(beside) - len(lines))
    return [[*left, (gap, "quiet"), *right] for left, right in zip(lines, beside, strict=True)]


def _strike_lines(keys: KeyMap) -> list[list[Piece]]:
    words = [(keys.shown(f"strike.{strike}"), strike.value) for strike in STRIKE_PLACES]
    others = [
        (keys.shown("curve.left"), "curved left"),
        (keys.shown("curve.straight"), "flew straight"),
        (keys.shown("curve.right"), "curved right"),
    ]
    rest = [(keys.shown("ball.touched"), "stick touched"), (keys.shown("flight.not_seen"), "hit, not seen")]
    pairs = [*zip(words[:3], others, strict=True), (words[3], rest[0]), (words[4], rest[1]), (words[5], words[6])]
    lines: list[list[Piece]] = [[("then, for the same ball", "quiet")]]
    for one, two in pairs:
        lines.append([(f"{one[0]} ", "ink bold"), (f"{one[1]:<8}", "ink"), (f"{two[0]} ", "ink bold"), (two[1], "ink")])
    return lines


def whole(keys: KeyMap, columns: int) -> list[list[Piece]]:
    """The main block as the hand finds it, two lines a row: the key, and beneath it what it does. Where it is too narrow, the blocks."""
    if columns < 10 * CELL:
        return blocks(keys, columns)
    cell = WIDE_CELL if columns >= 10 * WIDE_CELL else CELL
    owner = {key: action for action in reversed(ACTIONS) for key in keys.keys.get(action.id, ())}
    lines: list[list[Piece]] = []
    if not keys.swapped:
        lines.append([(f"{word:<{cell}}", ROLES[side]) for side, word in zip(SIDES, ("far", "left", "on", "right", "far"), strict=True)])
        lines.append([(f"{word:<{cell}}", ROLES[side]) for side, word in zip(SIDES, ("left", "", "line", "", "right"), strict=True)])
    for row, characters in enumerate(layouts.LAYOUTS[keys.layout]):
        top: list[Piece] = [(" " * row, "quiet")]
        low: list[Piece] = [(" " * row, "quiet")]
        for character in characters:
            action = owner.get(fold(character))
            cap, role = _cap(action.id, action.label, keys.swapped) if action else ("", "rule")
            top.append((f"{character:<{cell}}", f"{role} bold"))
            low.append((f"{cap:<{cell}.{cell}}", "quiet" if cap == NO_HEIGHT else role))
        lines += [top, low]
    return lines


def _cap(action_id: str, label: str, signed: bool) -> tuple[str, str]:
    """The word on a key and its role; a sign stands for the side where no heading can."""
    if action_id.startswith("flight.") and action_id != "flight.not_seen":
        _, side_slug, *height = action_id.split(".")
        side = Side(side_slug.replace("_", " "))
        said = height[0] if height else NO_HEIGHT
        return (f"{SIGNS[side]}{said}" if signed else said), ROLES[side]
    return _CAPS.get(action_id, label), "ink"
