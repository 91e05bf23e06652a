"""The looks: one small palette each, from which both the terminal theme and every drawn line take their colours."""

from dataclasses import dataclass, fields

from rangelog.core.words import Side


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """Colours by what they mean. Sides are told apart by word, place and sign as well; colour only helps.

    Attributes:
        name: as the settings file has it.
        dark: light letters on a dark ground.
        ground, raised: the page, and the band of the hint, header and footer.
        ink, quiet: letters, and letters of lesser rank.
        setup: the large digits of the next setup.
        act: the action of the hint.
        left, right, line: the sides as seen, and on line.
        alert: what must not be missed.
        rule: thin lines and empty places; carries no meaning of its own.
    """

    name: str
    dark: bool
    ground: str
    raised: str
    ink: str
    quiet: str
    setup: str
    act: str
    left: str
    right: str
    line: str
    alert: str
    rule: str

    def side(self, side: Side | None) -> str:
        """Colour of a side."""
        if side is None:
            return self.quiet
        if side is Side.ON_LINE:
            return self.line
        return self.left if side in (Side.LEFT, Side.FAR_LEFT) else self.right

    def letters(self) -> dict[str, str]:
        """Every colour that letters and marks are set in, by name."""
        return {field.name: getattr(self, field.name) for field in fields(self) if field.name not in ("name", "dark", "ground", "raised")}


LOOKS: dict[str, Look] = {
    look.name: look
    for look in (
        Look(
            "light", False, ground="#f6f2e7", raised="#e9e3d2", ink="#1b2421", quiet="#4c5a55", setup="#1b2421",
            act="#7a3b00", left="#1c4a9e", right="#8a2c5d", line="#0b5c3c", alert="#a01818", rule="#64655a",
        ),
        Look(
            "dark", True, ground="#10181a", raised="#1a2629", ink="#efeadd", quiet="#a3b3ae", setup="#efeadd",
            act="#f2c14e", left="#8cbcff", right="#f29bc1", line="#86d9a8", alert="#ff9d8a", rule="#858d89",
        ),
        Look(
            "contrast", False, ground="#ffffff", raised="#f0f0f0", ink="#000000", quiet="#2b2b2b", setup="#000000",
            act="#5a2a00", left="#00308f", right="#6d0047", line="#00401f", alert="#8b0000", rule="#505050",
        ),
        Look(
            "contrast-dark", True, ground="#000000", raised="#161616", ink="#ffffff", quiet="#d6d6d6", setup="#ffffff",
            act="#ffd84d", left="#a9d0ff", right="#ffb8dc", line="#9df2bf", alert="#ffb3a6", rule="#a3a3a3",
        ),
    )
}  # fmt: skip
"""Looks with colours of their own, by name."""

TERMINAL = Look("terminal", True, *(["default"] * 11))
"""The terminal's own letters on its own ground: no colour at all, weight and shape only. Also what NO_COLOR gets."""

DEFAULT = "dark"
NAMES = (*LOOKS, TERMINAL.name)


def look(name: str) -> Look:
    """A look by name. Raises KeyError where there is none."""
    return TERMINAL if name == TERMINAL.name else LOOKS[name]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two #rrggbb colours, 1 to 21 (WCAG 2.x, relative luminance)."""
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    channels = [int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5)]
    red, green, blue = (value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4 for value in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
