"""Everything that opens over the tee. Imported when the first of them is opened, so that the tee does not wait for it."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from rangelog.tui import pages
from rangelog.tui.forms import Form
from rangelog.tui.screens.balls import BallsScreen
from rangelog.tui.screens.form import FormScreen
from rangelog.tui.screens.keyed import KeyedScreen
from rangelog.tui.screens.menu import MenuScreen
from rangelog.tui.screens.reading import PauseScreen, ReadingScreen
from rangelog.tui.screens.review import ReviewScreen

if TYPE_CHECKING:
    from rangelog.tui.log_app import LogApp
    from rangelog.tui.screens.calculator import CalculatorScreen

CALCULATOR = "calculator "
"""What the names of the calculators begin with."""

MEASURE = 104
"""Columns of the widest page."""

PEERS: dict[str, Callable[["LogApp"], KeyedScreen]] = {
    "balls": lambda app: BallsScreen(),
    "review": lambda app: ReviewScreen(getattr(app.book, "path", app.book_path)),
}
"""Screens that the other-screens key goes through after the tee, in order. A new one is one entry."""


def form(app: "LogApp", asked: Form) -> FormScreen:
    """The screen that asks a form."""
    return FormScreen(asked, app.keys, app.palette, app.showing)


def intro(app: "LogApp", asked: Form) -> ReadingScreen:
    """What is to be read before a form."""
    return ReadingScreen("Before you start", pages.lines(asked.intro, _columns(app)), app.palette, "any other key goes on")


def page(app: "LogApp", name: str) -> ReadingScreen:
    """A page to read; the pause is one that only Enter closes."""
    if name == "pause":
        return PauseScreen("Pause", pages.pause(f"{app.now():%H:%M}", app.size.width - 8), app.palette, "Enter goes on")
    title, lines = pages.page(name, app.book, app.keys, _columns(app), app.showing)
    return ReadingScreen(title, lines, app.palette)


def calculator(app: "LogApp", name: str) -> "CalculatorScreen":
    """A calculator, with what the tee knows already."""
    from rangelog.tui.calculating import known
    from rangelog.tui.screens.calculator import CalculatorScreen
    from rangelog.tui.units import showing

    view, style = app.book.view(), showing(app.settings)
    hand = view.player.hand if view.player else None
    return CalculatorScreen(name, app.keys, app.palette, style, hand, known(view, style))


def menu(app: "LogApp") -> MenuScreen:
    """The menu, beneath what stays in sight of the tee."""
    return MenuScreen(app.book.view(), app.keys, app.palette, max(app.size.height - app.rows_kept, 4))


def _columns(app: "LogApp") -> int:
    """Columns of a page to read: beside the bar that scrolls it, and no wider than is good to read."""
    return min(max(app.size.width - 8, 20), MEASURE)
