"""Makes the pictures of the README from the demo book, so that they never go stale; a test compares them with what is made now:

python demo_data/make_screens.py
"""

import asyncio
import shutil
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from html import escape
from itertools import groupby
from pathlib import Path

from rich.segment import Segment
from textual.pilot import Pilot

from rangelog.cli.demo_book import lay_down
from rangelog.logbook import Logbook
from rangelog.settings import Settings
from rangelog.tui.app import RangelogApp

NOW = datetime(2026, 11, 25, 17, 42, tzinfo=timezone(timedelta(hours=1)))
HERE = Path(__file__).parent / "screens"
CELL, ROW, MARGIN = 10, 20, 10
"""Size of a character and of the edge, in the units of the picture."""

QUARTERS = {
    "█": "1111", "▀": "1100", "▄": "0011", "▌": "1010", "▐": "0101", "▟": "0111", "▙": "1011", "▜": "1101", "▛": "1110",
    "▖": "0010", "▗": "0001", "▘": "1000", "▝": "0100", "▚": "1001", "▞": "0110",
}  # fmt: skip
"""Block characters by the quarters they fill: upper left, upper right, lower left, lower right. Drawn, so that no font leaves gaps."""


@dataclass(frozen=True, slots=True)
class Picture:
    """One picture: its name, the look, the size in columns and rows, an act and keys that lead there, large letters."""

    name: str
    look: str
    size: tuple[int, int] = (80, 24)
    act: str = ""
    keys: tuple[str, ...] = ()
    large: bool = False


PICTURES = (
    Picture("tee", "light"),
    Picture("bracketed", "dark", keys=("s", "j")),
    Picture("help", "light", act="log.help"),
    Picture("review", "dark", (100, 28), keys=("tab", "tab", "right", "right")),
    Picture("large", "contrast-dark", large=True),
)


class Row:
    """One row of the screen as parts of an SVG."""

    def __init__(self, at: int, segments: Sequence[Segment]) -> None:
        self.top = MARGIN + at * ROW
        self.parts: list[str] = []
        column = 0
        for segment in segments:
            style = segment.style
            if style is not None and style.color is not None and style.bgcolor is not None:
                letter, ground = style.color.get_truecolor().hex, style.bgcolor.get_truecolor().hex
                if style.reverse:
                    letter, ground = ground, letter
                self._rect(column * CELL, 0, len(segment.text) * CELL, ROW, ground)
                self._text(column, segment.text, letter, bool(style.bold))
            column += len(segment.text)

    def _rect(self, x: float, y: float, wide: float, high: float, colour: str) -> None:
        self.parts.append(f'<rect x="{MARGIN + x:g}" y="{self.top + y:g}" width="{wide:g}" height="{high:g}" fill="{colour}"/>')

    def _text(self, column: int, text: str, colour: str, bold: bool) -> None:
        """Blocks as rectangles, words as text of a fixed length, so that any font keeps the columns."""
        for drawn, group in groupby(enumerate(text), key=lambda pair: pair[1] in QUARTERS):
            cells = list(group)
            first, said = column + cells[0][0], "".join(character for _, character in cells)
            if drawn:
                self._blocks(first, said, colour)
                continue
            for start, word in _words(said):
                weight = ' font-weight="bold"' if bold else ""
                self.parts.append(
                    f'<text x="{MARGIN + (first + start) * CELL}" y="{self.top + 15}" fill="{colour}"{weight} '
                    f'textLength="{len(word) * CELL}" lengthAdjust="spacingAndGlyphs">{escape(word)}</text>'
                )

    def _blocks(self, column: int, said: str, colour: str) -> None:
        for half in (0, 1):
            bits = "".join(QUARTERS[character][2 * half : 2 * half + 2] for character in said)
            at = 0
            for bit, run in groupby(bits):
                wide = len(list(run))
                if bit == "1":
                    self._rect(column * CELL + at * CELL / 2, half * ROW / 2, wide * CELL / 2, ROW / 2, colour)
                at += wide


def _words(said: str) -> Iterator[tuple[int, str]]:
    """Runs of text between wide gaps, with their columns."""
    at = 0
    for word in said.split("  "):
        lead = len(word) - len(word.lstrip())
        if word.strip():
            yield at + lead, word.strip()
        at += len(word) + 2


def svg(app: RangelogApp, ground: str) -> str:
    """The screen of an app as a picture."""
    columns, rows = app.size
    parts = [part for at, strip in enumerate(app.screen._compositor.render_strips()) for part in Row(at, list(strip)).parts]
    wide, high = columns * CELL + 2 * MARGIN, rows * ROW + 2 * MARGIN
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}" width="{wide}" height="{high}"'
    style = 'font-family="ui-monospace, \'DejaVu Sans Mono\', Menlo, Consolas, monospace" font-size="16" shape-rendering="crispEdges"'
    page = f'<rect width="{wide}" height="{high}" rx="8" fill="{ground}"/>'
    return "\n".join([f"{head} {style}>", "<title>Rangelog</title>", page, *parts, "</svg>", ""])


async def _still(app: RangelogApp, pilot: Pilot[int]) -> None:
    """Until nothing is read or thought of any more, and all of it is painted."""
    for _ in range(3):
        await app.workers.wait_for_complete()
        await pilot.pause()


async def made(picture: Picture, book: Path) -> str:
    """One picture of a copy of the demo book."""
    with tempfile.TemporaryDirectory() as folder, Logbook.open(Path(shutil.copy(book, folder)), now=lambda: NOW) as log:
        log.load_model()
        app = RangelogApp(log, settings=Settings(look=picture.look, large=picture.large), now=lambda: NOW)
        async with app.run_test(size=picture.size) as pilot:
            await _still(app, pilot)
            if picture.act:
                app.choose(picture.act)
            for key in picture.keys:
                await pilot.press(key)
                await _still(app, pilot)
            await _still(app, pilot)
            return svg(app, app.palette.ground)


async def all_made() -> dict[str, str]:
    """Every picture by its file name."""
    with tempfile.TemporaryDirectory() as folder:
        book = lay_down(Path(folder) / "demo.db", NOW)
        return {f"{picture.name}.svg": await made(picture, book) for picture in PICTURES}


def main() -> None:
    HERE.mkdir(exist_ok=True)
    for name, text in asyncio.run(all_made()).items():
        (HERE / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
