"""Where the keys lie: the letters a keyboard sends from each place of its main block.

A terminal sends letters and not places. Every action is tied to a place, named by the letter that QWERTY has there, so that the
flight block keeps its shape under the hand on every keyboard.
"""

ROWS = ("1234567890", "qwertyuiop", "asdfghjkl;", "zxcvbnm,./")
"""The places, named by QWERTY."""

LAYOUTS: dict[str, tuple[str, str, str, str]] = {
    "qwerty": ROWS,
    "qwertz": ("1234567890", "qwertzuiop", "asdfghjklö", "yxcvbnm,.-"),
    "azerty": ("&é\"'(-è_çà", "azertyuiop", "qsdfghjklm", "wxcvbn,;:!"),
    "dvorak": ("1234567890", "',.pyfgcrl", "aoeuidhtns", ";qjkxbmwvz"),
    "colemak": ("1234567890", "qwfpgjluy;", "arstdhneio", "zxcvbkm,./"),
}

_SWAPPED_KEYS = {
    # flight block to the right half, columns still far left .. far right
    **{place: ROWS[row][5 + column] for row in range(4) for column, place in enumerate(ROWS[row][:5])},
    # strike block to the left half, finger for finger
    "j": "f",
    "u": "r",
    "m": "v",
    "i": "e",
    "h": "g",
    "k": "d",
    "l": "s",
    # curve keeps its order left, straight, right
    "6": "1",
    "7": "2",
    "8": "3",
    "9": "4",
    "0": "5",
    "o": "w",
    "p": "q",
    "y": "t",
    "n": "b",
    ";": "a",
    "/": "z",
    ",": "x",
    ".": "c",
}


def place_to_character(layout: str, swapped: bool = False) -> dict[str, str]:
    """The character each place sends on a keyboard; with `swapped`, flight and strike change hands.

    Raises:
        KeyError: no such layout.
    """
    rows = LAYOUTS[layout]
    sends = {place: rows[row][column] for row, places in enumerate(ROWS) for column, place in enumerate(places)}
    return {place: sends[_SWAPPED_KEYS[place]] if swapped else sends[place] for place in sends}


def digit_characters(layout: str) -> dict[str, str]:
    """Characters of the number row that stand for a digit without shift, where the layout has such a row."""
    row = LAYOUTS[layout][0]
    return {} if row == ROWS[0] else dict(zip(row, ROWS[0], strict=True))


def fold_digit(layout: str, character: str, typed_before: str) -> str:
    """What a character of the number row means in a number field.

    A minus sign that opens the number stays a minus sign, although AZERTY sends it from the place of 6.
    """
    if character == "-" and not typed_before:
        return character
    return digit_characters(layout).get(character, character)
