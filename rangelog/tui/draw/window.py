"""The flight window: five sides by three heights, seen from behind the ball, with the last ball as a mark."""

from rangelog.core.words import Height, Side
from rangelog.tui.draw.bracket import LATEST, LATEST_NOT_COUNTED, ROLES, Piece

HEIGHTS = (Height.HIGH, Height.MID, Height.LOW)
COLUMNS = 5 * 3 + 5


def draw(side: Side | None, height: Height | None, counted: bool = True) -> list[list[Piece]]:
    """Three lines. A ball of unknown height is drawn as a bar through its column; a ball not seen leaves the window empty."""
    lines: list[list[Piece]] = []
    for row in HEIGHTS:
        pieces: list[Piece] = [(f"{row.value:>4} ", "quiet")]
        for column in Side:
            if column is side and height is None:
                pieces.append((" ┆ ", f"{ROLES[column]} bold"))
            elif column is side and height is row:
                pieces.append((f" {LATEST if counted else LATEST_NOT_COUNTED} ", f"{ROLES[column]} bold"))
            else:
                pieces.append((" │ " if column is Side.ON_LINE else " · ", "rule"))
        lines.append(pieces)
    return lines
