"""The flight window: five sides by three heights, seen from behind the ball, with the last ball as a mark."""

from rangelog.core.words import Height, Side
from rangelog.tui.draw.bracket import BALL, LARGE, LATEST, LATEST_NOT_COUNTED, NOT_COUNTED, ROLES, Piece

HEIGHTS = (Height.HIGH, Height.MID, Height.LOW)
_LARGE = {True: LARGE[BALL], False: LARGE[NOT_COUNTED]}


def columns(large: bool) -> int:
    """Columns of the window, small or large."""
    return 5 + 5 * 4 if large else 9


def draw(side: Side | None, height: Height | None, counted: bool = True, large: bool = False) -> list[list[Piece]]:
    """Three lines, or six large ones with the heights named.

    A ball of unknown height is drawn as a bar through its column; a ball not seen leaves the window empty.
    """
    return _draw_large(side, height, counted) if large else _draw_small(side, height, counted)


def _draw_small(side: Side | None, height: Height | None, counted: bool) -> list[list[Piece]]:
    lines: list[list[Piece]] = []
    for row in HEIGHTS:
        pieces: list[Piece] = []
        for column in Side:
            if column is not Side.FAR_LEFT:
                pieces.append((" ", "rule"))
            if column is side and height is None:
                pieces.append(("┃", f"{ROLES[column]} bold"))
            elif column is side and height is row:
                pieces.append((LATEST if counted else LATEST_NOT_COUNTED, f"{ROLES[column]} bold"))
            else:
                pieces.append(("│" if column is Side.ON_LINE else "·", "rule"))
        lines.append(pieces)
    return lines


def _draw_large(side: Side | None, height: Height | None, counted: bool) -> list[list[Piece]]:
    lines: list[list[Piece]] = []
    for row in HEIGHTS:
        for half in (0, 1):
            pieces: list[Piece] = [(f"{row.value if half == 0 else '':>4} ", "quiet")]
            for column in Side:
                if column is side and height is None:
                    pieces.append((" ┃  ", f"{ROLES[column]} bold"))
                elif column is side and height is row:
                    pieces.append((f"{_LARGE[counted][half]} ", f"{ROLES[column]} bold"))
                else:
                    pieces.append((" │  " if column is Side.ON_LINE else " ·  " if half == 0 else "    ", "rule"))
            lines.append(pieces)
    return lines
