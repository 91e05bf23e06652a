"""What plain lines read from the book as a whole: the list of balls page by page, one ball with its changes, the reviews."""

from pathlib import Path
from typing import TYPE_CHECKING

from rangelog.core.errors import RangelogError
from rangelog.logbook.view import TeeView
from rangelog.tui import words
from rangelog.tui.door import Book

if TYPE_CHECKING:
    from rangelog.core.ball import Ball
    from rangelog.logbook.showing import Showing

PAGE = 20


def balls(book: Book, asked: str, showing: "Showing | None") -> list[str]:
    """A page of the balls of the whole book, newest first; those of the session where the book cannot be read beside the tee.

    Args:
        asked: what was typed after the word: a page, a date, "counted", "not counted", words of a note, or nothing.
    """
    from rangelog.logbook.ball_list import BallList
    from rangelog.logbook.showing import AS_KEPT

    path: Path | None = getattr(book, "path", None)
    if path is None or book.view().unsaved:
        return session_balls(book, showing)
    listed = BallList(path)
    try:
        page = 1
        if asked.isdecimal() and len(asked) < 4:
            page = int(asked)
        elif asked[:4].isdecimal():
            page = listed.place_of(asked) // PAGE + 1
        elif asked in ("counted", "not counted"):
            listed.counted = asked == "counted"
            listed.refresh()
        elif asked:
            listed.words = asked
            listed.refresh()
        lines = list(listed.spoken(page, PAGE, showing or AS_KEPT))
        if page * PAGE < len(listed) and not asked[:4].isalpha():
            lines.append(f"balls {page + 1} goes on. Also: balls 2026-05, balls not counted, balls and a word of a note.")
        return lines
    finally:
        listed.close()


def session_balls(book: Book, showing: "Showing | None") -> list[str]:
    """The balls of the running session from memory, oldest first."""
    view = book.view()
    mine = [ball for ball in book.balls() if not ball.voided]
    return [
        f"{len(mine)} balls this session, {sum(ball.counted for ball in mine)} counted.",
        *(said(ball, view, showing) for ball in mine),
    ]


def said(ball: "Ball", view: TeeView, showing: "Showing | None") -> str:
    """A ball of the session in one sentence."""
    parts = (
        words.flight(ball, view, showing),
        words.setting(ball.setup, showing).replace("  ", " "),
        words.not_counted(ball),
        words.clean(ball.note, 200),
    )
    return f"Ball {ball.seq}: {'; '.join(part for part in parts if part)}."


def find(book: Book, number: str) -> "Ball | None":
    """A ball of the running session by its number."""
    return next((ball for ball in book.balls() if not ball.voided and str(ball.seq) == number), None)


def one_ball(book: Book, number: str, showing: "Showing | None") -> list[str]:
    """One ball of the session, whole, with its changes."""
    from rangelog.logbook.ball_list import BallList
    from rangelog.tui.screens.ball_lines import lines

    ball = find(book, number)
    if ball is None:
        return [f"There is no ball {words.clean(number, 20)} in this session."]
    path: Path | None = getattr(book, "path", None)
    history = []
    if path is not None and not book.view().unsaved:
        listed = BallList(path)
        history = listed.history(ball.id)
        listed.close()
    clubs = {club.id: club.label for club in book.clubs()}
    told = lines(ball, book.view(), history, clubs, 10_000, showing)
    rows = (" ".join(text.strip() for text, _ in line if text.strip()) for line in told)
    return [f"Ball {ball.seq}, {ball.at[11:16]}.", *(f"{row[0].upper()}{row[1:].rstrip('.')}." for row in rows if row)]


def reviews(book: Book, asked: str, showing: "Showing | None") -> list[str]:
    """One review as lines, or the names of all where none is asked for.

    Args:
        asked: a name or its number, then, parted by commas, parts of the filter: "strike, turf, 4 weeks".
    """
    from rangelog.logbook.review_names import QUESTIONS

    name, _, rest = (part.strip() for part in asked.partition(","))
    names = list(QUESTIONS)
    if name.isdecimal() and 1 <= int(name) <= len(names):
        name = names[int(name) - 1]
    if name not in QUESTIONS:
        unknown = [f"There is no review {words.clean(name, 30)}."] if name else []
        return [
            *unknown,
            *(f"review {each}: {question}" for each, question in QUESTIONS.items()),
            "A filter may follow, such as: review strike, turf, 4 weeks.",
        ]
    path: Path | None = getattr(book, "path", None)
    if path is None:
        return ["The book has no file to read yet."]
    from rangelog.logbook.review_room import ReviewRoom, filter_from
    from rangelog.logbook.showing import AS_KEPT

    try:
        room = ReviewRoom.open(path)
        if name == "map":
            room.read_all()
            room.think()
        return list(room.spoken(name, filter_from(room, rest), showing or AS_KEPT))
    except RangelogError as problem:
        return [str(problem)]
