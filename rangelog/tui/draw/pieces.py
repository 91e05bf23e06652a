"""From (text, role) pieces to styled terminal text. Roles name what a piece means; the look says how that is drawn."""

from collections.abc import Iterable, Sequence
from functools import lru_cache

from rich.style import Style
from rich.text import Text

from rangelog.tui.looks import Look

Piece = tuple[str, str]


@lru_cache(maxsize=512)
def style(look: Look, role: str) -> Style:
    """The style of a role such as "left bold" or "asked"."""
    name, *weights = role.split()
    bold = "bold" in weights
    if name == "badge":
        return Style(bold=True, reverse=True) if look.ground == "default" else Style(bold=True, color=look.ground, bgcolor=look.ink)
    colour = getattr(look, name)
    if colour == "default":
        return Style(bold=bold or name in ("act", "alert"))
    return Style(bold=bold or None, color=colour)


def line(look: Look, pieces: Sequence[Piece]) -> Text:
    """One line of pieces."""
    text = Text(no_wrap=True, overflow="crop", end="")
    for words, role in pieces:
        text.append(words, style(look, role))
    return text


def page(look: Look, lines: Iterable[Sequence[Piece]]) -> Text:
    """Lines of pieces, one below the other."""
    return Text("\n", no_wrap=True, overflow="crop", end="").join(line(look, pieces) for pieces in lines)
