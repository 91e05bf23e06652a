"""Everything the coach's page speaks of, read from one book in a few short fetches."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from rangelog.core.errors import OffScale, Refused
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.results import Setting
from rangelog.core.session import Form, Session
from rangelog.core.words import BlockKind, PainSite
from rangelog.logbook import review
from rangelog.logbook.archive import Archive
from rangelog.logbook.review import Answer, Filter, Grid, LadderReview, SideBySide, Tally
from rangelog.logbook.review_days import DayToDay
from rangelog.logbook.review_late import TiredEnd, tired_ends
from rangelog.logbook.review_model import ModelReview, model_review
from rangelog.logbook.start_line import SESSIONS_EXACT
from rangelog.report.reading import Group, Reading, held

WEEKS = 26
"""How far back a page looks from the last session, unless it is told."""


@dataclass(frozen=True, slots=True)
class Facts:
    """What the page is made of.

    Attributes:
        player, club, prescription: who, with what, asked what; club None where the prescription names none.
        since: first date that is looked at.
        sessions: oldest first.
        hit, uncounted: all balls but the warm-up's, and those not counted with their reasons.
        warm_up: warm-up balls, which enter nothing.
        by_eye, in_degrees: balls whose start is a class, and a number.
        settings: counted balls of the club by setting.
        baseline, now: rows to hold against each other; None where there is none.
        chosen, confirmed: the combination that is spoken of, and whether a confirm block stands behind it.
        runner_up: another combination that was hit.
        model, model_without_late: of the last 20 sessions, with every ball, and without those hit while tired.
        tired: ends of sessions, of the last 20, at which strike fell.
        comfort: mean comfort by setting with its number of answers.
    """

    player: Player
    club: Club | None
    prescription: Prescription
    since: str
    sessions: Sequence[Session]
    forms: Sequence[Form]
    hit: Tally
    uncounted: review.Uncounted
    warm_up: int
    by_eye: int
    in_degrees: int
    relabelled: Sequence[tuple[str, int]]
    corrected: int
    asked: Answer
    settings: Mapping[Setting, Tally]
    baseline: Group | None
    now: Group | None
    chosen: Setting | None
    confirmed: bool
    runner_up: Setting | None
    comparison: review.Comparison | None
    grid: Grid
    tests: SideBySide
    days: DayToDay
    ladder: LadderReview
    model: ModelReview | None
    tired: Sequence[TiredEnd]
    model_without_late: ModelReview | None
    pain: Mapping[PainSite, int] | None
    comfort: Mapping[Setting, tuple[float, int]]


def read(archive: Archive, since: str = "") -> Facts:
    """Read a book for its page.

    Args:
        archive: the open book.
        since: first date, YYYY-MM-DD; 26 weeks before the last session where empty.

    Raises:
        Refused: the book has no player, or no session yet.
        OffScale: `since` is no date.
    """
    player, last = archive.player(), archive.last_session()
    if player is None or last is None:
        raise Refused("The book has no ball to report yet.", "Hit a session first.")
    asked = archive.prescription() or Prescription(id="")
    start = _checked_date(since) or _weeks_before(last.started_at[:10])
    sessions = [session for session in archive.sessions(newest_first=False) if session.started_at[:10] >= start]
    clubs = {club.id: club for club in archive.clubs()}
    club = clubs.get(asked.club_id)
    table = archive.table(start)
    reading = Reading(table, held(table, asked, club), (asked.window_deg, asked.wide_deg))
    place = {session.id: number for number, session in enumerate(sessions)}
    forms = sorted(
        (form for form in archive.forms() if form.complete and form.session_id in place), key=lambda form: place[form.session_id]
    )
    settings = reading.settings(reading.chosen)
    model = model_review(archive, player, asked, asked.club_id, reading.chosen.stick)
    tired = [end for end in tired_ends(archive.recent_balls(SESSIONS_EXACT)) if any(end.session_id == each.id for each in sessions)]
    late = {ball_id for end in tired for ball_id in end.ball_ids}
    chosen, confirmed = reading.combination(sessions, model)
    runner_up = reading.runner_up(chosen)
    pain = _pain(forms)
    words = reading.chosen.text({key: each.label for key, each in clubs.items()})
    return Facts(
        player=player,
        club=club,
        prescription=asked,
        since=start,
        sessions=sessions,
        forms=forms,
        hit=reading.whole(Filter(counted=None)),
        uncounted=reading.left_out(words),
        warm_up=reading.whole(Filter(counted=None, blocks=frozenset({BlockKind.WARM_UP}))).n,
        by_eye=sum(reading.whole(Filter()).classed.values()),
        in_degrees=reading.whole(Filter()).numbers,
        relabelled=archive.relabelled(start),
        corrected=archive.corrected(start),
        asked=review.asked_and_done(
            asked, archive.done_under(asked, max(pain.values()) if pain else None), club.label if club else "", words
        ),
        settings=settings,
        baseline=reading.baseline(sessions),
        now=reading.latest(sessions, chosen),
        chosen=chosen,
        confirmed=confirmed,
        runner_up=runner_up,
        comparison=reading.comparison(chosen, runner_up, words),
        grid=review.grid(settings, words, model.line if model else (), *reading.edges),
        tests=review.side_by_side(reading.tests(chosen), words, *reading.edges),
        days=reading.days(sessions, chosen, words),
        ladder=reading.ladder(archive, sessions, words, club.loft_deg if club else None),
        model=model,
        tired=tired,
        model_without_late=model_review(archive, player, asked, asked.club_id, reading.chosen.stick, late) if late else None,
        pain=pain,
        comfort=archive.comfort(start),
    )


def _checked_date(day: str) -> str:
    try:
        return date.fromisoformat(day).isoformat() if day else ""
    except ValueError:
        raise OffScale("since", "Since is a date like 2026-05-01.") from None


def _weeks_before(day: str) -> str:
    try:
        return (date.fromisoformat(day) - timedelta(weeks=WEEKS)).isoformat()
    except (ValueError, OverflowError):
        return ""


def _pain(forms: Sequence[Form]) -> dict[PainSite, int] | None:
    """Highest pain by site, None where it was never asked."""
    asked = [form for form in forms if form.name == "pain"]
    if not asked:
        return None
    highest = dict.fromkeys(PainSite, 0)
    for form in asked:
        for site in PainSite:
            level = form.answers.get(site.value)
            if isinstance(level, int | float) and not isinstance(level, bool):
                highest[site] = max(highest[site], int(level))
    return highest
