"""From a book to the coach's page."""

from dataclasses import replace

from rangelog.logbook.archive import Archive
from rangelog.logbook.review_shown import Shown
from rangelog.logbook.showing import AS_KEPT, Showing
from rangelog.report import open_points, sentences
from rangelog.report.facts import Facts, read
from rangelog.report.page import SIGNATURE, Drawing, Page, Section, Table

MOST_SPOTS = 30


def collect(archive: Archive, since: str = "", showing: Showing = AS_KEPT) -> Page:
    """The page of one book. Nothing in the book is changed.

    Args:
        archive: the open book.
        since: first date, YYYY-MM-DD; 26 weeks before the last session where empty.
        showing: the decimal sign of its numbers; what a player wrote is left as it is.

    Raises:
        Refused: the book has no player, or no session yet.
    """
    return compose(read(archive, since), showing)


def compose(facts: Facts, showing: Showing = AS_KEPT) -> Page:
    """The page from its facts."""
    page = _composed(facts)
    own = (facts.prescription.text, facts.prescription.set_by, facts.player.code, *(reason for reason, _ in facts.relabelled))
    return shown(page, Shown(showing, [facts.club.label if facts.club else "", *own]))


def shown(page: Page, words: Shown) -> Page:
    """The page with its numbers as the player has them."""
    return Page(
        page.title,
        tuple(Section(section.heading, tuple(words.said(line) for line in section.lines)) for section in page.sections),
        tuple(
            replace(
                drawing,
                description=words.said(drawing.description),
                table=replace(drawing.table, rows=tuple(tuple(words.said(cell) for cell in row) for row in drawing.table.rows)),
            )
            for drawing in page.drawings
        ),
        page.window_deg,
        words.showing.comma,
    )


def _composed(facts: Facts) -> Page:
    dates = [session.started_at[:10] for session in facts.sessions]
    span = f"{dates[0]} to {dates[-1]}" if dates and dates[0] != dates[-1] else (dates or [facts.since])[0]
    sections = (
        ("Balls", sentences.who(facts)),
        ("Prescription", sentences.prescription(facts)),
        ("Kit and reading", sentences.kit(facts)),
        ("Body", sentences.body(facts)),
        ("Baseline and now", sentences.baseline(facts)),
        ("What the levers do", sentences.effects(facts)),
        ("Combination", sentences.combination(facts)),
        ("Tests", [*sentences.tests(facts), *sentences.days(facts)]),
        ("Height and ball position", sentences.height(facts)),
        ("Comfort and pain", sentences.wellbeing(facts)),
        ("Not known", open_points.unknown(facts)),
        ("Questions for the coach", sentences.listing(open_points.questions(facts))),
        (SIGNATURE, sentences.signature()),
    )
    return Page(
        f"Range report: {facts.player.code}, {facts.player.hand}-handed, {span}",
        tuple(Section(heading, tuple(lines)) for heading, lines in sections),
        (_map(facts), _strips(facts), *([_days(facts)] if len(facts.days.days) > 1 else [])),
        facts.prescription.window_deg,
    )


def _map(facts: Facts) -> Drawing:
    cells = sorted(facts.grid.cells, key=lambda cell: -cell.n)[:MOST_SPOTS]
    return Drawing(
        "grid",
        "Mean start by grip and bow",
        f"{facts.grid.first_line}. {facts.grid.sentence} A triangle points to the side a setting starts, a dot is on line.",
        Table("Mean start by grip and bow", facts.grid.columns, facts.grid.rows),
        spots=tuple(cell.spot for cell in cells),
        line=facts.grid.line,
    )


def _strips(facts: Facts) -> Drawing:
    window, wide = facts.prescription.window_deg, facts.prescription.wide_deg
    rows = []
    if facts.baseline is not None:
        rows.append(facts.baseline.start.strip("baseline", facts.baseline.tally.points(window, wide)))
    rows += [row.start.strip(f"{row.block}, {'on' if row.stick else 'off'}", row.points) for row in facts.tests.conditions]
    words = "; ".join(f"{row.label}: {row.n} balls" for row in rows) or "No balls."
    return Drawing(
        "strips",
        "Starts: baseline and tests (stick on or off)",
        f"{words}. Left and right as seen; the shaded band counts as on line, the bar is the mean with its 90 % interval.",
        Table(facts.tests.question, facts.tests.columns, facts.tests.rows),
        strips=tuple(rows),
    )


def _days(facts: Facts) -> Drawing:
    days = facts.days
    return Drawing(
        "bars",
        "Mean start by session, chosen combination",
        f"{days.first_line}. {days.sentence}",
        Table(days.question, days.columns, days.rows),
        bars=tuple(day.start.bar(day.date[5:]) for day in days.days),
    )
