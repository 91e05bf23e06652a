"""The pages to read: title and lines, from the book and the keymap."""

import re
from collections.abc import Callable
from typing import TYPE_CHECKING

from rangelog.journey import glossary
from rangelog.tui import words
from rangelog.tui.actions import ACTIONS, GROUPS, Action
from rangelog.tui.door import Book
from rangelog.tui.draw import keyboard, large, wrapping
from rangelog.tui.draw.bracket import Piece
from rangelog.tui.keymap import KeyMap, shown

if TYPE_CHECKING:
    from rangelog.logbook.showing import Showing

KEY, LABEL = 10, 22
"""Columns of the key and of the name of an act on the help page."""

Page = tuple[str, list[list[Piece]]]
Say = Callable[[str], str]
"""Puts a text of the log into the player's units and decimal sign."""


def page(name: str, book: Book, keys: KeyMap, columns: int = 74, showing: "Showing | None" = None) -> Page:
    """A page by name, its lines no longer than `columns`, in the player's units. Raises KeyError where there is none."""
    said: Say = showing.said if showing is not None else str
    return {"why": _why, "help": _help, "cautions": _cautions, "plan": _plan, "glossary": _glossary}[name](book, keys, columns, said)


def _hanging(head: str, role: str, said: str, columns: int, indent: int) -> list[list[Piece]]:
    """A head word and its text, wrapped beneath itself."""
    wrapped = wrapping.wrap(words.clean(said, 600), max(columns - indent, 16), 40) or [""]
    first: list[Piece] = [(f"{head:<{indent}}", role), (wrapped[0], "ink")]
    return [first, *([(" " * indent, "ink"), (line, "ink")] for line in wrapped[1:])]


def lines(said: tuple[str, ...], columns: int) -> list[list[Piece]]:
    """Sentences, wrapped."""
    return [line for one in said for line in _hanging("-", "quiet", one, columns, 2)]


def pause(since: str, columns: int) -> list[list[Piece]]:
    """What is read while the keys rest."""
    drawn, _ = large.fit(["PAUSE"], columns, 3)
    said = ("Every ball is in the book. Keys do nothing until Enter.", "After more than 5 minutes the kit is checked again.")
    return [[], *([(row, "act bold")] for row in drawn), [], [(f"since {since}", "ink bold")], [], *lines(said, columns)]


def _why(book: Book, keys: KeyMap, columns: int, say: Say) -> Page:
    said = tuple(map(say, book.why()))
    head: list[list[Piece]] = [[(line, "ink bold")] for line in wrapping.wrap(words.clean(said[0], 200), columns, 4)] if said else []
    return "Why this hint", [*head, [], *lines(said[1:], columns)] if said else [[("There is no hint yet.", "ink")]]


def _cautions(book: Book, keys: KeyMap, columns: int, say: Say) -> Page:
    return "Cautions", lines(tuple(map(say, book.cautions())), columns)


PLAN_LABEL = 16
PLANNED = re.compile(r"^\s*(\d+) ([\w -]+): (.+)$")


def _plan(book: Book, keys: KeyMap, columns: int, say: Say) -> Page:
    """The blocks that lie ahead, each with a mark a ball."""
    made: list[list[Piece]] = []
    for line in map(say, book.plan_today()):
        found = PLANNED.match(line)
        if found is None:
            made += [[], *([(part, "ink bold")] for part in wrapping.wrap(words.clean(line, 300), columns, 4))]
            continue
        balls, kind, reason = found.groups()
        marks = " ".join("●" * min(5, int(balls) - done) for done in range(0, int(balls), 5))
        drawn = f"  {marks}" if PLAN_LABEL + 4 + len(marks) <= columns else ""
        made += [[], [(f"{kind:<{PLAN_LABEL}}", "act bold"), (f"{balls:>2}", "ink bold"), (drawn, "line")]]
        made += _hanging("", "ink", reason, columns, PLAN_LABEL)
    return "Today's plan", made[1:] or [[("Nothing is planned.", "ink")]]


def _glossary(book: Book, keys: KeyMap, columns: int, say: Say) -> Page:
    made: list[list[Piece]] = []
    for entry in glossary.GLOSSARY:
        made.append([(entry.word, "act bold")])
        made += _hanging("", "ink", say(entry.meaning), columns, 0)
        if max((len(drawn) for drawn in entry.picture), default=0) + 2 <= columns:
            made += [[("  " + say(drawn), "ink")] for drawn in entry.picture]
        made.append([])
    return "What the words mean", made


def _help(book: Book, keys: KeyMap, columns: int, say: Say) -> Page:
    made = [*keyboard.whole(keys, columns), []]
    made += _hanging(
        "",
        "ink",
        "One key is a ball: its column says where it started, its row how high. The next keys tell more of that ball.",
        columns,
        0,
    )
    for group, title in GROUPS.items():
        if group in ("flight", "strike"):
            continue
        made += [[], [(title, "act bold")]]
        for action in (action for action in ACTIONS if action.group == group):
            named = " or ".join(shown(one) for one in keys.keys.get(action.id, ())[:2])
            named = named if len(named) < KEY else keys.shown(action.id)
            made += _act(named, action, columns)
    return f"Keys ({keys.layout}{', blocks swapped' if keys.swapped else ''})", made


def _act(key: str, action: Action, columns: int) -> list[list[Piece]]:
    """An act of the help page: key, name, and what it does beside them or, where that is too long, beneath."""
    head: list[Piece] = [(f"{key or 'menu':<{KEY}}", "ink bold" if key else "quiet"), (f"{action.label:<{LABEL}}", "ink bold")]
    if len(action.help) <= columns - KEY - LABEL:
        return [[*head, (action.help, "ink")]]
    return [head, *([(" " * (KEY + 2), "ink"), (line, "ink")] for line in wrapping.wrap(action.help, columns - KEY - 2, 3))]
