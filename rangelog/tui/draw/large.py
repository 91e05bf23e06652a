"""Letters and digits drawn in block characters, readable from two metres. The drawings are our own: five dots high."""

from collections.abc import Sequence

_DRAWN = {
    "0": "### #.# #.# #.# ###", "1": "##. .#. .#. .#. ###", "2": "### ..# ### #.. ###", "3": "### ..# ### ..# ###",
    "4": "#.# #.# ### ..# ..#", "5": "### #.. ### ..# ###", "6": "### #.. ### #.# ###", "7": "### ..# ..# .#. .#.",
    "8": "### #.# ### #.# ###", "9": "### #.# ### ..# ###",
    "A": ".#. #.# ### #.# #.#", "B": "##. #.# ##. #.# ##.", "C": ".## #.. #.. #.. .##", "D": "##. #.# #.# #.# ##.",
    "E": "### #.. ##. #.. ###", "F": "### #.. ##. #.. #..", "G": ".## #.. #.# #.# .##", "H": "#.# #.# ### #.# #.#",
    "I": "# # # # #", "J": "..# ..# ..# #.# .#.", "K": "#.# #.# ##. #.# #.#", "L": "#.. #.. #.. #.. ###",
    "M": "#...# ##.## #.#.# #...# #...#", "N": "##. #.# #.# #.# #.#", "O": ".##. #..# #..# #..# .##.", "P": "##. #.# ##. #.. #..",
    "Q": ".##. #..# #..# #.## .###", "R": "##. #.# ##. #.# #.#", "S": ".## #.. .#. ..# ##.", "T": "### .#. .#. .#. .#.",
    "U": "#.# #.# #.# #.# ###", "V": "#.# #.# #.# #.# .#.", "W": "#...# #...# #.#.# ##.## #...#", "X": "#.# #.# .#. #.# #.#",
    "Y": "#.# #.# .#. .#. .#.", "Z": "### ..# .#. #.. ###",
    "-": ".. .. ## .. ..", "+": "... .#. ### .#. ...", ".": ". . . . #", ",": ".. .. .. .# #.", ":": ". # . # .",
    "?": "### ..# .## ... .#.", "!": "# # # . #", "/": "..# ..# .#. #.. #..", "%": "#.# ..# .#. #.. #.#", "'": "# # . . .",
    "<": "..# .#. #.. .#. ..#", ">": "#.. .#. ..# .#. #..", "|": "# # # # #",
}  # fmt: skip

HEIGHT = 5
GLYPHS: dict[str, tuple[str, ...]] = {character: tuple(rows.split()) for character, rows in _DRAWN.items()} | {" ": ("",) * HEIGHT}
"""Every drawn character, row by row. A space has no width of its own: the gaps on both its sides part the words."""
_HALVES = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def width(text: str, across: int = 1) -> int:
    """Columns a text takes at `across` columns a dot."""
    drawn = [GLYPHS.get(character, GLYPHS["?"]) for character in text.upper()]
    return across * (sum(len(glyph[0]) for glyph in drawn) + max(len(drawn) - 1, 0))


def rows(tall: int) -> int:
    """Screen rows a text takes at `tall` half rows a dot."""
    return (HEIGHT * tall + 1) // 2


def draw(text: str, across: int = 1, tall: int = 1) -> list[str]:
    """The text as lines of block characters; a dot is `across` columns wide and `tall` half rows high."""
    drawn = [GLYPHS.get(character, GLYPHS["?"]) for character in text.upper()]
    dots = [".".join(glyph[row] for glyph in drawn) for row in range(HEIGHT)]
    wide = ["".join(dot * across for dot in line) for line in dots]
    half_rows = [line for line in wide for _ in range(tall)]
    if len(half_rows) % 2:
        half_rows.append("." * len(half_rows[0]))
    pairs = zip(half_rows[::2], half_rows[1::2], strict=True)
    return ["".join(_HALVES[upper == "#", lower == "#"] for upper, lower in zip(top, low, strict=True)) for top, low in pairs]


def draw_number(text: str, across: int, tall: int) -> list[str]:
    """A setting: its whole part large, the half or quarter behind it smaller and on the same foot."""
    point = "," if "," in text else "."
    whole, point, part = text.partition(point)
    rows_whole = draw(whole, across, tall)
    if not point:
        return rows_whole
    small = draw(f"{point}{part}", *_small(across, tall))
    padded = [" " * len(small[0])] * (len(rows_whole) - len(small)) + small
    return [f"{left} {right}" for left, right in zip(rows_whole, padded, strict=True)]


def number_width(text: str, across: int, tall: int) -> int:
    """Columns that `draw_number` takes."""
    return len(draw_number(text, across, tall)[0])


def _small(across: int, tall: int) -> tuple[int, int]:
    return max(across // 2, 1), max((tall + 1) // 2, 1)


def narrowest(tall: int) -> int:
    """The fewest columns a dot of that height may take."""
    return (tall + 1) // 2


def fit(candidates: Sequence[str], columns: int, tall: int = 1) -> tuple[list[str], str]:
    """The first candidate that fits: square dots where the columns allow, else narrower ones, down to half as wide as they are high.

    Returns:
        The drawn lines and the text that was drawn; where nothing fits, no lines and an empty text.
    """
    for text in candidates:
        for across in range(tall, narrowest(tall) - 1, -1):
            if width(text, across) <= columns:
                return draw(text, across, tall), text
    return [], ""
