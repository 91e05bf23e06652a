"""How the columns of a foreign table become balls: declared once, saved by name, read back."""

import json
import re
from collections.abc import Mapping as AnyMapping
from dataclasses import asdict, dataclass, field
from pathlib import Path
from typing import Any

from rangelog.core import scales
from rangelog.core.errors import OffScale, Refused
from rangelog.core.words import Curve, Hand, Height, Side, Strike, Surface, Swing
from rangelog.exchange.files import text_in, text_out

UNITS: dict[str, dict[str, float]] = {
    "start": {"deg": 1.0, "rad": 57.29577951308232},
    "launch": {"deg": 1.0, "rad": 57.29577951308232},
    "grip": {"deg": 1.0, "steps": scales.GRIP_STEP_DEG},
    "apex": {"m": 1.0, "yd": 0.9144, "ft": 0.3048},
    "position": {"balls": 1.0, "mm": 1 / scales.BALL_DIAMETER_MM, "in": 25.4 / scales.BALL_DIAMETER_MM},
}
"""Units a column may be in, and what one of them is in the unit of the book."""

WORDS: dict[str, tuple[str, ...]] = {
    "side": tuple(Side),
    "height": tuple(Height),
    "strike": tuple(Strike),
    "curve": tuple(Curve),
    "swing": tuple(Swing),
    "surface": tuple(Surface),
    "stick": ("on", "off"),
    "counted": ("yes", "no"),
}
"""Fields with closed words; a table's own words are declared in `words`."""

FIELDS = ("date", "time", "session", "club", "bow", *UNITS, *WORDS, "felt_bow", "comfort", "note")
"""What a column may be."""

SIGNS = ("right", "left", "open")
"""What a positive start means: right of the line, left of it, or the open side of the stated hand."""

_NAME = re.compile(r"^[A-Za-z0-9][A-Za-z0-9 _-]{0,60}$")


@dataclass(frozen=True, slots=True)
class Mapping:
    """A declared way to read a foreign table.

    Attributes:
        name: what it is saved as.
        hand: the hand the table's balls were hit with; it must be that of the book.
        columns: field of FIELDS to the name of the column.
        positive: what a positive start means, one of SIGNS.
        units: field to its unit, where it is not that of the book.
        words: field to the table's own words for ours, such as {"side": {"R": "right"}}.
        fixed: field to a value that holds for every row, such as {"bow": "2", "stick": "off"}.
        date_form: form of the date for strptime, empty for ISO 8601.
        delimiter: sign between cells.
        decimal: "." or ",".
    """

    name: str
    hand: str
    columns: dict[str, str]
    positive: str = "right"
    units: dict[str, str] = field(default_factory=dict)
    words: dict[str, dict[str, str]] = field(default_factory=dict)
    fixed: dict[str, str] = field(default_factory=dict)
    date_form: str = ""
    delimiter: str = ","
    decimal: str = "."

    def __post_init__(self) -> None:
        """Raises OffScale naming what is declared wrongly."""
        if not _NAME.match(self.name):
            raise OffScale("name", "A mapping's name is letters, digits, spaces, - and _.")
        scales.word("hand", self.hand, Hand)
        if self.positive not in SIGNS:
            raise OffScale("positive", f"A positive start means one of: {', '.join(SIGNS)}.")
        for each in (*self.columns, *self.units, *self.words, *self.fixed):
            if each not in FIELDS:
                raise OffScale(each, f"{each!r} is not a field.", f"Fields are: {', '.join(FIELDS)}.")
        for each, unit in self.units.items():
            if unit not in UNITS.get(each, {}):
                raise OffScale(each, f"{each} is in one of: {', '.join(UNITS.get(each, {})) or 'no unit'}.")
        for each, own in self.words.items():
            for word in own.values():
                if word and word not in WORDS.get(each, ()):
                    raise OffScale(each, f"{each} is one of: {', '.join(WORDS.get(each, ()))}.")
        if len(self.delimiter) != 1 or self.decimal not in {".", ","} or self.delimiter == self.decimal:
            raise OffScale("delimiter", "The delimiter is one sign, and not that of the decimals.")
        if "date" not in self.columns and "date" not in self.fixed:
            raise OffScale("date", "Every ball needs a date: a column, or one fixed date.")


def from_values(values: AnyMapping[str, Any]) -> Mapping:
    """A mapping from plain values, as they stand in its file. Raises OffScale."""
    texts = {"name", "hand", "positive", "date_form", "delimiter", "decimal"}
    tables = {"columns", "units", "fixed"}
    for key, value in values.items():
        fits = (
            isinstance(value, str)
            if key in texts
            else _is_texts(value)
            if key in tables
            else key == "words" and isinstance(value, dict) and all(_is_texts(each) for each in value.values())
        )
        if not fits:
            raise OffScale(key, f"{key!r} is not a part of a mapping, or not of its form.")
    if missing := {"name", "hand", "columns"} - values.keys():
        raise OffScale(min(missing), f"A mapping needs {min(missing)}.")
    return Mapping(**values)


def _is_texts(value: Any) -> bool:
    return isinstance(value, dict) and all(isinstance(key, str) and isinstance(each, str) for key, each in value.items())


def save(mapping: Mapping, folder: Path) -> Path:
    """Keep a mapping under its name in a folder; one of the same name is replaced."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{mapping.name}.json"
    with text_out(path) as stream:
        json.dump(asdict(mapping), stream, ensure_ascii=False, indent=2)
        stream.write("\n")
    return path


def load(name: str, folder: Path) -> Mapping:
    """A mapping by its name in a folder, or by the path of its file. Raises Refused, OffScale."""
    path = folder / f"{name}.json" if _NAME.match(name) else Path(name)
    if not path.is_file():
        raise Refused(f"There is no mapping {name!r}.", f"Saved ones: {', '.join(saved(folder)) or 'none yet'}.")
    with text_in(path) as stream:
        try:
            values = json.load(stream)
        except (ValueError, RecursionError):
            raise Refused(f"{path.name} is no mapping.", "It is a JSON object with name, hand and columns.") from None
    if not isinstance(values, dict):
        raise Refused(f"{path.name} is no mapping.", "It is a JSON object with name, hand and columns.")
    return from_values(values)


def saved(folder: Path) -> list[str]:
    """Names of the mappings kept in a folder."""
    return sorted(path.stem for path in folder.glob("*.json"))
