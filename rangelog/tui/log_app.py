"""The app as its screens know it, and nothing else of it. Screens lean on this and not on the app, which opens them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Protocol

if TYPE_CHECKING:
    from collections.abc import Callable
    from datetime import datetime
    from pathlib import Path

    from textual.geometry import Size
    from textual.screen import Screen

    from rangelog.core.ball import Ball
    from rangelog.logbook.showing import Showing
    from rangelog.settings import Settings
    from rangelog.tui.door import Book
    from rangelog.tui.forms import Form
    from rangelog.tui.keymap import KeyMap
    from rangelog.tui.looks import Look


class LogApp(Protocol):
    """What a screen may ask of the app.

    Attributes:
        book: the logbook.
        keys: what each key stands for.
        palette: the look that is worn.
        settings: the player's settings.
        now: the time of day.
        book_path: the file the book was opened from, where there is one.
    """

    book: Book
    keys: KeyMap
    palette: Look
    settings: Settings
    now: Callable[[], datetime]
    book_path: Path | None

    @property
    def showing(self) -> Showing | None: ...
    @property
    def size(self) -> Size: ...
    @property
    def rows_kept(self) -> int: ...

    def press(self, key: str, scope: str) -> None: ...
    def choose(self, action_id: str) -> None: ...
    def edit(self, ball: Ball, form: Form) -> None: ...
    def push_screen(self, screen: Screen[Any], callback: Callable[[Any], Any] | None = None) -> Any: ...
