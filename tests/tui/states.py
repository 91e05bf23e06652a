"""The main states of the screen, each reached by keys on an invented book: for the pictures, and for whatever must hold in all of them."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from textual.pilot import Pilot

from rangelog.core.ball import Ball
from rangelog.core.errors import RangelogError
from rangelog.core.flight import Flight
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.results import Crossing, Hint, Setting
from rangelog.core.session import Block, Session
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Height, Side, Strike
from rangelog.logbook.archive import Archive
from rangelog.settings import Settings
from rangelog.tui import keymap
from rangelog.tui.app import RangelogApp
from tests.tui.conftest import STORY as BRACKET
from tests.tui.conftest import Hand, press
from tests.tui.fake_book import FakeBook

NOW = datetime(2026, 5, 2, 17, 42)
STORY = (*BRACKET[:-1], (2.5, Side.ON_LINE, Height.MID, Strike.SOLID))
"""The bracket that is closing, its last ball at the half notch."""


def bracketed() -> FakeBook:
    """Bow 0 starts right, bow 4 left, and 2.5 comes next; the last balls carry a number, an apex and a note."""
    book = FakeBook()
    for bow, side, height, strike in STORY:
        book.set_setup(bow=bow)
        book.hit(Flight(side, height))
        book.amend(strike=strike)
    book.stored[-2:] = [
        replace(book.stored[-2], start_deg=-3.5, note="wind from the left"),
        replace(book.stored[-1], start_deg=0.5, launch_deg=17.5, apex_m=9.5),
    ]
    book.hint = Hint(
        "bracketed", "BOW 2.5", "Bracketed 0 to 4. Try 2.5.", "crosses at 2.2 +-0.4   on line there about 5 in 10",
        why=(
            "Bracketed 0 to 4. Try 2.5.",
            "bow 0, 4 balls: +5.5 +-1.7; bow 4, 3 balls: -4.5 +-1.9.",
            "What would change it: 2 balls at bow 2.5.",
            "Next in line: not enough: 1 ball - hit 3 more, same setting.",
        ),
        setting=Setting(2.5, 30.0),
    )  # fmt: skip
    book.calls.clear()
    book.crossing = Crossing(2.2, 1.6, 2.8)
    return book


def many() -> FakeBook:
    """So many balls at one bow that they are counted and not drawn one by one."""
    book = bracketed()
    for _ in range(14):
        book.hit(Flight(Side.LEFT, Height.LOW))
    return book


def with_nothing_stated() -> FakeBook:
    book = FakeBook(bow=None, grip=None)
    book.hint = None
    return book


def without_session() -> FakeBook:
    book = FakeBook()
    book.session, book.hint = None, None
    return book


def that_cannot_save() -> FakeBook:
    book = bracketed()
    book.failing = True
    return book


def read_only() -> FakeBook:
    book = bracketed()
    book.read_only, book.notice = True, "Read-only: this book is open in another window since 17:05."
    return book


def due() -> FakeBook:
    book = bracketed()
    book.due = "kit"
    return book


def reviewed(folder: Path) -> Path:
    """A small book on disk for the reviews, which read the file: an invented bracket on mat with the stick on."""
    path = folder / "invented.book"
    at = "2026-05-02T17:00:00+02:00"
    with Archive.take(path, daily_backup=False) as archive:
        archive.save_player(Player("p", "invented"))
        archive.add_club(Club("c", "iron", 28.0))
        archive.add_prescription(Prescription("rx", club_id="c"))
        archive.start_session(Session("s", at))
        archive.start_block(Block("b", "s", 1, BlockKind.BOW_BRACKET))
        archive.add_balls(
            [
                Ball(f"s{seq}", "s", seq, at, Setup(bow, 30.0, club_id="c"), "b", "rx", side, height=height, strike=strike)
                for seq, (bow, side, height, strike) in enumerate(STORY * 2, start=1)
            ]
        )
    return path


@dataclass(frozen=True, slots=True)
class State:
    """One state.

    Attributes:
        book: makes the book it stands on.
        act, keys: what leads there: an act by its name, then keys.
        large: in large letters.
        filed: the reviews of a book on disk.
        held: its keys come in quick succession.
    """

    book: Callable[[], FakeBook] = bracketed
    act: str = ""
    keys: tuple[str, ...] = ()
    large: bool = False
    filed: bool = False
    held: bool = False


STATES: dict[str, State] = {
    "tee": State(),
    "tee far right": State(keys=("g", "m")),
    "tee crowded": State(many),
    "tee nothing stated": State(with_nothing_stated),
    "tee check due": State(due),
    "large letters": State(large=True),
    "first start": State(lambda: FakeBook(fresh=True)),
    "first question": State(lambda: FakeBook(fresh=True), keys=("space",)),
    "first number": State(lambda: FakeBook(fresh=True), keys=("space", "enter", "enter", "enter", "enter")),
    "no session": State(without_session),
    "menu": State(keys=("semicolon",)),
    "menu found": State(keys=("semicolon", *"aim")),
    "help": State(keys=("question_mark",)),
    "choice": State(keys=("p",)),
    "number": State(keys=("enter",)),
    "wrong number": State(act="setup.type", keys=(*"99", "enter")),
    "block": State(act="range.block"),
    "plan": State(act="range.plan"),
    "pause": State(act="range.pause"),
    "why": State(keys=("y",)),
    "balls": State(keys=("tab",)),
    "ball": State(keys=("tab", "enter")),
    "review": State(filed=True, keys=("tab", "tab", "right")),
    "review numbers": State(filed=True, keys=("tab", "tab", "right", "enter")),
    "gate": State(act="calculator.gate"),
    "wrist": State(act="calculator.wrist"),
    "glossary": State(act="log.glossary", keys=("pagedown",)),
    "cautions": State(act="log.cautions"),
    "key hints": State(act="log.key_hints"),
    "asked": State(keys=("s", "s"), held=True),
    "asked to leave": State(keys=("escape",)),
    "left out": State(keys=("o", "1")),
    "not saved": State(that_cannot_save, keys=("f",)),
    "read only": State(read_only),
}


def made(state: State, folder: Path, look: str = "dark", **settings: str | bool) -> RangelogApp:
    """The app on the book of a state, "colourless" for a terminal without colours; `settings` as in the settings file."""
    colourless = look == "colourless"
    chosen = Settings(look="dark" if colourless else look, large=state.large, **settings)  # type: ignore[arg-type]
    clock = Hand()
    clock.step_s = 0.1 if state.held else 5.0
    return RangelogApp(
        state.book(),
        settings=chosen,
        keys=keymap.ready(),
        colourless=colourless,
        clock=clock,
        now=lambda: NOW,
        book_path=reviewed(folder) if state.filed else None,
    )


async def reach(pilot: Pilot[int], state: State) -> None:
    """Press the keys of a state and wait until the screen stands still, its cursor too."""
    app = pilot.app
    assert isinstance(app, RangelogApp)
    while not app.tee.is_mounted:
        await pilot.pause(0)
    if state.act:
        app.choose(state.act)
        for _ in range(3):
            await pilot.pause(0)
    for key in ("", *state.keys):
        if key:
            await press(pilot, key)
        for typed in app.screen.query("#typed"):
            typed.cursor_blink = False  # type: ignore[attr-defined]
    try:
        await app.workers.wait_for_complete()
    except RangelogError:
        raise AssertionError("a worker of the screen failed") from None
    for _ in range(4):
        await pilot.pause(0)
