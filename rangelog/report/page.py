"""The one source of the coach's page: what it says, section by section, and what it draws."""

from dataclasses import dataclass

from rangelog.core.picture import BandPoint, Bar, Spot, Strip

SIGNATURE = "Revised prescription"
"""Heading of the section that is filled in and signed by hand."""


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and the sentences under it; each sentence stands by itself when read aloud."""

    heading: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A picture's numbers as a table of text."""

    caption: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class Drawing:
    """What one picture shows: exactly one of strips, spots or bars is filled.

    Attributes:
        name: "strips", "grid" or "bars".
        title, description: in words.
        table: the same numbers.
    """

    name: str
    title: str
    description: str
    table: Table
    strips: tuple[Strip, ...] = ()
    spots: tuple[Spot, ...] = ()
    line: tuple[BandPoint, ...] = ()
    bars: tuple[Bar, ...] = ()


@dataclass(frozen=True, slots=True)
class Page:
    """The coach's page. Nothing on it is graded.

    Attributes:
        title: who and over which dates.
        sections: what it says, in order.
        drawings: what it draws.
        window_deg: half-width that counts as on line.
        comma: numbers in the drawings have a decimal comma, as those in the words have already.
    """

    title: str
    sections: tuple[Section, ...]
    drawings: tuple[Drawing, ...]
    window_deg: float
    comma: bool = False
