"""The pages to read: title and lines, from the book and the keymap."""

from rangelog.journey import glossary
from rangelog.tui import words
from rangelog.tui.actions import ACTIONS, GROUPS
from rangelog.tui.door import Book
from rangelog.tui.draw import keyboard, wrapping
from rangelog.tui.draw.bracket import Piece
from rangelog.tui.keymap import KeyMap, shown

Page = tuple[str, list[list[Piece]]]


def page(name: str, book: Book, keys: KeyMap, columns: int = 74) -> Page:
    """A page by name, its lines no longer than `columns`. Raises KeyError where there is none."""
    return {"why": _why, "help": _help, "cautions": _cautions, "plan": _plan, "glossary": _glossary}[name](book, keys, columns)


def _hanging(head: str, role: str, said: str, columns: int, indent: int) -> list[list[Piece]]:
    """A head word and its text, wrapped beneath itself."""
    wrapped = wrapping.wrap(words.clean(said, 600), max(columns - indent, 16), 40) or [""]
    first: list[Piece] = [(f"{head:<{indent}}", role), (wrapped[0], "ink")]
    return [first, *([(" " * indent, "ink"), (line, "ink")] for line in wrapped[1:])]


def lines(said: tuple[str, ...], columns: int) -> list[list[Piece]]:
    """Sentences, wrapped."""
    return [line for one in said for line in _hanging("-", "quiet", one, columns, 2)]


def _why(book: Book, keys: KeyMap, columns: int) -> Page:
    said = tuple(book.why())
    head: list[list[Piece]] = [[(line, "ink bold")] for line in wrapping.wrap(words.clean(said[0], 200), columns, 4)] if said else []
    return "Why this hint", [*head, [], *lines(said[1:], columns)] if said else [[("There is no hint yet.", "ink")]]


def _cautions(book: Book, keys: KeyMap, columns: int) -> Page:
    return "Cautions", lines(tuple(book.cautions()), columns)


def _plan(book: Book, keys: KeyMap, columns: int) -> Page:
    return "Today's plan", lines(tuple(book.plan_today()), columns) or [[("Nothing is planned.", "ink")]]


def _glossary(book: Book, keys: KeyMap, columns: int) -> Page:
    made: list[list[Piece]] = []
    for entry in glossary.GLOSSARY:
        made.append([(entry.word, "act bold")])
        made += _hanging("", "ink", entry.meaning, columns, 0)
        if max((len(drawn) for drawn in entry.picture), default=0) + 2 <= columns:
            made += [[("  " + drawn, "quiet")] for drawn in entry.picture]
        made.append([])
    return "What the words mean", made


def _help(book: Book, keys: KeyMap, columns: int) -> Page:
    made = [*keyboard.whole(keys, columns), []]
    made += _hanging(
        "",
        "ink",
        "One key is a ball: its column says where it started, its row how high. The next keys tell more of that ball.",
        columns,
        0,
    )
    for group, title in GROUPS.items():
        mine = [action for action in ACTIONS if action.group == group]
        if group in ("flight", "strike"):
            continue
        made += [[], [(title, "act bold")]]
        for action in mine:
            named = " or ".join(shown(one) for one in keys.keys.get(action.id, ())[:2])
            named = named if len(named) < 11 else keys.shown(action.id)
            said = action.help if named else f"{action.label}: {action.help[0].lower()}{action.help[1:]}"
            made += _hanging(named or "menu", "ink bold" if named else "quiet", said, columns, 12)
    return f"Keys ({keys.layout}{', blocks swapped' if keys.swapped else ''})", made
