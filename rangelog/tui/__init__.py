"""The screen at the tee, and its twin in plain lines. `run` is the door; the terminal library waits until it is called."""

from __future__ import annotations

import os
import shutil
import sys
import time
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from rangelog import paths
from rangelog import settings as settings_file
from rangelog.settings import Settings

if TYPE_CHECKING:
    from rangelog.tui.keymap import KeyMap

SMALLEST = (40, 12)
"""Columns and rows below which the plain lines are used from the start; a terminal made that small later shows one plain line."""


def run(
    book_path: Path | str,
    *,
    look: str | None = None,
    mouse: bool | None = None,
    keymap_set: str | None = None,
    plain: bool = False,
    read_only: bool = False,
    settings: Settings | None = None,
    notices: tuple[str, ...] = (),
) -> int:
    """Open a book at the tee and stay until the player leaves. Returns the exit code.

    Plain lines are used where they are asked for, where input or output is no terminal, and where it is smaller than 40x12.

    Args:
        book_path: the book; it is begun where it is not there yet.
        look, mouse, keymap_set: what the command line asks for; None leaves it to the settings.
        settings: the player's settings; read from the settings file where none are given.
        notices: lines to show at the start, such as what is wrong with the settings.

    Raises:
        RangelogError: the book cannot be used; it is left as it was.
    """
    from rangelog.logbook import Logbook

    chosen, said = settled(settings, look, mouse, keymap_set)
    keys, more = keyboard(chosen)
    said = (*notices, *said, *more)
    with Logbook.open(Path(book_path), read_only=read_only) as book:
        if plain or not fits_a_screen():
            from rangelog.tui.plain import PlainLog

            return PlainLog(book, keys, clock=time.monotonic, notices=said, settings=chosen).run(sys.stdin, sys.stdout)
        from rangelog.tui.app import RangelogApp

        app = RangelogApp(
            book, settings=chosen, keys=keys, colourless=bool(os.environ.get("NO_COLOR")), notices=said, book_path=Path(book_path)
        )
        if chosen.window_title:
            sys.stdout.write("\x1b]2;Rangelog\x07")
            sys.stdout.flush()
        result = app.run(mouse=chosen.mouse)
        return app.return_code or int(app.broken) or result or 0


def settled(given: Settings | None, look: str | None, mouse: bool | None, keymap_set: str | None) -> tuple[Settings, tuple[str, ...]]:
    """The settings with what the command line asks for laid over them."""
    said: tuple[str, ...] = ()
    if given is None:
        path = paths.settings_file()
        given, problems = settings_file.load(path)
        said = tuple(f"{path.name} {problem}" for problem in problems)
    chosen = replace(given, look=look or given.look, keyboard=keymap_set or given.keyboard, mouse=given.mouse and mouse is not False)
    return chosen, said


def keyboard(chosen: Settings) -> tuple[KeyMap, tuple[str, ...]]:
    """The keymap of the settings; where the player's own keys are wrong, the ready set and every problem with its line."""
    from rangelog.tui import keymap

    base = keymap.ready(chosen.keyboard, chosen.swapped)
    keys, problems = keymap.own(base, chosen.keys)
    lines = {problem: chosen.key_lines.get(problem.action_id, 0) for problem in problems}
    said = tuple(f"settings line {lines[problem]}: {problem.text}" if lines[problem] else problem.text for problem in problems)
    return keys, (*said, "The default keys are used.") if said else ()


def fits_a_screen() -> bool:
    """Whether there is a terminal on both sides, and it is large enough for a screen."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return False
    columns, lines = shutil.get_terminal_size()
    return columns >= SMALLEST[0] and lines >= SMALLEST[1]
