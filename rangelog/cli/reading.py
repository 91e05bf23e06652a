"""Reading the book without the screen: sessions, one session's summary, the coach's page."""

from __future__ import annotations

import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from rangelog import paths
from rangelog.cli.shared import as_json_option, book_of, open_archive, print_json
from rangelog.core.errors import Refused
from rangelog.logbook.review_names import QUESTIONS

if TYPE_CHECKING:
    from rangelog.logbook.archive import Archive
    from rangelog.logbook.showing import Showing
    from rangelog.report.page import Page


@click.command(epilog="\b\nExamples:\n  rangelog sessions\n  rangelog sessions --last 5\n  rangelog sessions --json")
@click.option("--last", type=click.IntRange(1), help="Only the last so many.")
@as_json_option
@click.pass_obj
def sessions(choices: dict[str, Any], last: int | None, as_json: bool) -> int:
    """List the sessions of the book, newest first: date, balls, on line, solid."""
    with open_archive(choices) as archive:
        found = archive.session_counts(archive.edges()[0], limit=last)
    if as_json:
        print_json([asdict(one) for one in found])
        return 0
    for one in found:
        unsure = " ?" if one.session.date_uncertain else "  "
        shares = f"on line {one.on_line:>3} of {one.seen:<3}  solid {one.solid:>3} of {one.strike_known:<3}"
        when = f"{one.session.started_at[:10]}{unsure} {one.session.started_at[11:16]}"
        click.echo(f"{when}  {one.balls:>4} balls  {shares}  {one.session.surface:<4}  {one.session.id[:8]}")
    if not found:
        click.echo("There is no session yet. Open the tee with: rangelog")
    return 0


REVIEW_EXAMPLES = """\b
Examples:
  rangelog review
  rangelog review 2026-10-12
  rangelog review --question map
  rangelog review --question all --filter "all dates, turf, stick off"
"""


@click.command(epilog=REVIEW_EXAMPLES)
@click.argument("session", default="last")
@click.option("--question", type=click.Choice([*QUESTIONS, "all"]), help="A question to the whole book, answered in plain lines.")
@click.option("--filter", "words", default="", metavar="WORDS", help="Which balls, in words parted by commas; the last 26 weeks else.")
@as_json_option
@click.pass_obj
def review(choices: dict[str, Any], session: str, question: str | None, words: str, as_json: bool) -> int:
    """A plain summary of one session with intervals, or one question of the reviews over many.

    SESSION is "last", a date, or the beginning of a session's id as `rangelog sessions` lists it.
    """
    if question is not None or words:
        return _questions(choices, question or "all", words, as_json)
    from rangelog.logbook.review_session import summary
    from rangelog.logbook.review_shown import Shown

    with open_archive(choices) as archive:
        chosen = _chosen(archive, session)
        window, wide = archive.edges()
        told = summary(archive.balls(chosen.id), f"session of {chosen.started_at[:10]}, {chosen.surface}", window, wide)
    if as_json:
        print_json(asdict(told) | {"session": asdict(chosen)})
        return 0
    click.echo(told.first_line)
    shown = Shown(showing())
    for line in told.lines:
        click.echo(shown.said(line))
    return 0


def _questions(choices: dict[str, Any], question: str, words: str, as_json: bool) -> int:
    from rangelog.exchange.cells import harmless
    from rangelog.logbook.review_room import ReviewRoom, filter_from

    room = ReviewRoom.open(book_of(choices))
    chosen = filter_from(room, words)
    asked = tuple(QUESTIONS) if question == "all" else (question,)
    if "map" in asked:
        room.think()
    if as_json:
        print_json({view: asdict(room.answer(view, chosen)) for view in asked})
        return 0
    for place, view in enumerate(asked):
        if place:
            click.echo("")
        for line in room.spoken(view, chosen, showing()):
            click.echo(harmless(line))
    return 0


def showing() -> Showing:
    """Units and decimal sign of the player's settings."""
    from rangelog.core.units import Units
    from rangelog.logbook.showing import Showing
    from rangelog.settings import load

    found, _ = load(paths.settings_file())
    return Showing(Units(found.units), found.decimal == "comma")


def _chosen(archive: Archive, name: str) -> Any:
    found = archive.sessions()
    if not found:
        raise Refused("There is no session yet.", "Open the tee with: rangelog")
    if name == "last":
        return found[0]
    fits = [one for one in found if one.id.startswith(name) or one.started_at.startswith(name)]
    if not fits:
        raise Refused(f"No session fits {name!r}.", "List them with: rangelog sessions")
    return fits[0]


@click.command(
    epilog="\b\nExamples:\n  rangelog report\n  rangelog report --html page.html\n  rangelog report --folder players/ --html pages/"
)
@click.option("--html", "html_to", type=click.Path(path_type=Path), help='Write one self-contained HTML file; "-" is standard output.')
@click.option("--text", "text_to", type=click.Path(path_type=Path), help="Write the text to this file.")
@click.option("--since", default="", metavar="DATE", help="First date, YYYY-MM-DD. Default: 26 weeks before the last session.")
@click.option(
    "--folder", type=click.Path(path_type=Path, exists=True, file_okay=False), help="A coach's folder of books: a page for each, read-only."
)
@as_json_option
@click.pass_obj
def report(choices: dict[str, Any], html_to: Path | None, text_to: Path | None, since: str, folder: Path | None, as_json: bool) -> int:
    """One page for the coach: plain text of at most 60 lines, or one HTML file with drawn charts. Nothing is graded."""
    if folder is not None:
        return _pages(folder, html_to, since, as_json)
    from rangelog.logbook.showing import AS_KEPT
    from rangelog.report.collect import collect

    with open_archive(choices) as archive:
        page = collect(archive, since, AS_KEPT if as_json else showing())
    _write(page, html_to, text_to, as_json)
    return 0


def _write(page: Page, html_to: Path | None, text_to: Path | None, as_json: bool) -> None:
    from rangelog.exchange.files import text_out
    from rangelog.report.html import html
    from rangelog.report.text import text

    if as_json:
        print_json(asdict(page))
    if html_to is not None:
        with text_out(html_to) as stream:
            stream.write(html(page))
    if text_to is not None:
        with text_out(text_to) as stream:
            stream.write(text(page))
    if html_to is None and text_to is None and not as_json:
        click.echo(text(page).rstrip("\n"))
    for path in (html_to, text_to):
        if path is not None and str(path) != "-":
            print(f"Written: {path}", file=sys.stderr)


def _pages(folder: Path, html_to: Path | None, since: str, as_json: bool) -> int:
    from rangelog.logbook.showing import AS_KEPT
    from rangelog.report.folder import pages

    if html_to is not None:
        html_to.mkdir(parents=True, exist_ok=True)
    good = 0
    for read in pages(folder, since, AS_KEPT if as_json else showing()):
        if read.page is None:
            print(f"{read.path.name}: {read.why}", file=sys.stderr)
            continue
        if good and html_to is None and not as_json:
            click.echo("")
        _write(read.page, html_to / f"{read.path.stem}.html" if html_to else None, None, as_json)
        good += 1
    return 0 if good else 2
