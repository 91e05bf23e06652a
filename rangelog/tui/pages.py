"""The pages to read: title and lines, from the book and the keymap."""

from rangelog.tui import glossary, questions, words
from rangelog.tui.actions import ACTIONS, GROUPS
from rangelog.tui.door import Book
from rangelog.tui.draw import keyboard
from rangelog.tui.draw.pieces import Piece
from rangelog.tui.keymap import KeyMap, shown

Page = tuple[str, list[list[Piece]]]


def page(name: str, book: Book, keys: KeyMap) -> Page:
    """A page by name. Raises KeyError where there is none."""
    return {"why": _why, "help": _help, "cautions": _cautions, "plan": _plan, "glossary": _glossary}[name](book, keys)


def _lines(said: tuple[str, ...]) -> list[list[Piece]]:
    return [[(words.clean(line, 400), "ink")] for line in said]


def _why(book: Book, keys: KeyMap) -> Page:
    hint = book.view().hint
    head: list[list[Piece]] = [[(words.clean(hint.words, 200), "ink bold")], [("", "ink")]] if hint else []
    return "Why this hint", head + (_lines(book.why()) or [[("There is no hint yet.", "ink")]])


def _cautions(book: Book, keys: KeyMap) -> Page:
    return "Cautions", _lines(tuple(book.cautions()) or questions.CAUTIONS)


def _plan(book: Book, keys: KeyMap) -> Page:
    return "Today's plan", _lines(tuple(book.plan_today())) or [[("Nothing is planned.", "ink")]]


def _glossary(book: Book, keys: KeyMap) -> Page:
    lines: list[list[Piece]] = []
    for entry in glossary.ENTRIES:
        lines.append([(f"{entry.word:<16}", "act bold"), (entry.meaning, "ink")])
        lines += [[("    " + drawn, "ink")] for drawn in entry.drawing]
        lines.append([("", "ink")])
    return "What the words mean", lines


def _help(book: Book, keys: KeyMap) -> Page:
    lines = keyboard.whole(keys)
    lines += [[("", "ink")], [("One key is a ball: column = where it started, row = height. The next keys tell more of it.", "ink")], [("", "ink")]]
    blocks = ("flight", "strike")
    for group, title in GROUPS.items():
        if group in blocks:
            continue
        lines.append([(title, "act bold")])
        for action in ACTIONS:
            if action.group == group:
                key = " or ".join(shown(one) for one in keys.keys.get(action.id, ())[:2]) or "menu"
                lines.append([(f"  {key:<12}", "ink bold" if action.keys else "quiet"), (f"{action.label:<24}", "ink"), (action.help, "quiet")])
    return f"Keys ({keys.layout})", lines
