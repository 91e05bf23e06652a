"""From a book to the coach's page."""

from rangelog.charts.shapes import BandPoint, Bar, Spot, Strip
from rangelog.logbook.archive import Archive
from rangelog.report import open_points, sentences
from rangelog.report.facts import Facts, read
from rangelog.report.page import SIGNATURE, Drawing, Page, Section, Table

MOST_SPOTS = 30


def collect(archive: Archive, since: str = "") -> Page:
    """The page of one book. Nothing in the book is changed.

    Args:
        archive: the open book.
        since: first date, YYYY-MM-DD; 26 weeks before the last session where empty.

    Raises:
        Refused: the book has no player, or no session yet.
    """
    return compose(read(archive, since))


def compose(facts: Facts) -> Page:
    """The page from its facts."""
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
        spots=tuple(Spot(cell.setting.bow, cell.setting.grip, cell.start.bias.mean, cell.n) for cell in cells),
        line=tuple(BandPoint(point.grip, point.bow, point.low, point.high) for point in facts.grid.line),
    )


def _strips(facts: Facts) -> Drawing:
    window, wide = facts.prescription.window_deg, facts.prescription.wide_deg
    rows = []
    if facts.baseline is not None:
        bias = facts.baseline.start.bias
        rows.append(Strip("baseline", facts.baseline.tally.points(window, wide), bias.mean, bias.low, bias.high))
    for row in facts.tests.conditions:
        bias = row.start.bias
        rows.append(Strip(f"{row.block}, {'on' if row.stick else 'off'}", row.points, bias.mean, bias.low, bias.high))
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
        bars=tuple(Bar(day.date[5:], day.start.bias.mean, day.start.bias.low, day.start.bias.high) for day in days.days),
    )
