"""The one place where a physical side and the open or closed side meet.

open = +start for a right-hander, -start for a left-hander; nothing else in the log knows about mirrors.
"""

from rangelog.core.words import Hand, Side

_MIRROR = {
    Side.FAR_LEFT: Side.FAR_RIGHT,
    Side.LEFT: Side.RIGHT,
    Side.ON_LINE: Side.ON_LINE,
    Side.RIGHT: Side.LEFT,
    Side.FAR_RIGHT: Side.FAR_LEFT,
}


def sign(hand: Hand | str) -> int:
    """+1 for a right-hander, -1 for a left-hander. Raises ValueError for any other word."""
    return 1 if Hand(hand) is Hand.RIGHT else -1


def to_open(start_deg: float, hand: Hand | str) -> float:
    """Open-positive degrees of a physical start direction (+ = right of the line)."""
    return sign(hand) * start_deg


def to_start(open_deg: float, hand: Hand | str) -> float:
    """Physical start direction (+ = right of the line) of open-positive degrees."""
    return sign(hand) * open_deg


def mirrored(side: Side) -> Side:
    """The same class on the other side of the line."""
    return _MIRROR[Side(side)]


def open_word(hand: Hand | str) -> str:
    """The physical word for the open side: "right" for a right-hander."""
    return Hand(hand).value


def closed_word(hand: Hand | str) -> str:
    """The physical word for the closed side: "left" for a right-hander."""
    return Hand(hand).other.value


def side_word(start_deg: float) -> str:
    """ "right", "left" or "on line" by the sign of a physical start direction."""
    return "right" if start_deg > 0 else "left" if start_deg < 0 else "on line"
