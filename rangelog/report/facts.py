"""Everything the coach's page speaks of, read from one book in a few short fetches."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from rangelog.core.errors import OffScale, Refused
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.results import Setting
from rangelog.core.session import Form, Session
from rangelog.core.words import BlockKind, PainSite
from rangelog.logbook import review
from rangelog.logbook.archive import Archive
from rangelog.logbook.review import Answer, Filter, Grid, LadderReview, SideBySide, Tally
from rangelog.logbook.review_days import Day, DayToDay
from rangelog.logbook.review_model import ModelReview, model_review
from rangelog.logbook.review_start import StartLine
from rangelog.logbook.review_table import BallTable

WEEKS = 26
"""How far back a page looks from the last session, unless it is told."""

PRACTICE = frozenset(
    {BlockKind.BASELINE, BlockKind.BOW_BRACKET, BlockKind.GRIP_BRACKET, BlockKind.CHOOSE, BlockKind.CONFIRM, BlockKind.FREE}
)
"""Blocks whose balls may share a row: none in random order, none on another day, none away from the stock ball position."""

TESTS = frozenset({BlockKind.CONFIRM, BlockKind.STICK_OFF, BlockKind.RANDOM, BlockKind.RETENTION})


@dataclass(frozen=True, slots=True)
class Group:
    """Balls of one row of the page: what they are, their tally, and where they started."""

    label: str
    tally: Tally
    start: StartLine


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
    reading = _Reading(table, _held(table, asked, club), (asked.window_deg, asked.wide_deg))
    forms = [form for form in archive.forms() if form.complete and any(form.session_id == session.id for session in sessions)]
    settings = reading.settings(reading.chosen)
    model = model_review(archive, player, asked, asked.club_id, reading.chosen.stick)
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
        pain=pain,
        comfort=archive.comfort(start),
    )


def _held(table: BallTable, asked: Prescription, club: Club | None) -> Filter:
    """What is held while settings are looked at: the prescribed club and swing where they were hit, and the stick on where it was."""
    held = Filter(clubs=frozenset({club.id}) if club else frozenset(), blocks=PRACTICE)
    for wanted in (replace(held, swing=asked.swing, stick=True), replace(held, swing=asked.swing), replace(held, stick=True), held):
        if table.chosen(wanted).any():
            return wanted
    return Filter(blocks=PRACTICE)


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


class _Reading:
    """Questions put to the columns of one book, always for one club."""

    def __init__(self, table: BallTable, chosen: Filter, edges: tuple[float, float]) -> None:
        self.table = table
        self.chosen = chosen
        self.edges = edges

    def _in(self, *kinds: BlockKind) -> Filter:
        """The club's counted balls in blocks of some kinds, whatever the stick and the swing."""
        return Filter(clubs=self.chosen.clubs, blocks=frozenset(kinds))

    def whole(self, chosen: Filter) -> Tally:
        """All balls of a filter as one, of every club."""
        return self.table.tallies((), self.table.chosen(chosen), *self.edges).get((), Tally())

    def settings(self, chosen: Filter) -> dict[Setting, Tally]:
        """Balls of a filter by setting."""
        return self.table.settings(self.table.chosen(chosen), *self.edges)

    def left_out(self, words: str) -> review.Uncounted:
        """What was not counted, over every club."""
        mask = self.table.chosen(Filter(counted=False))
        reasons = {reason: tally.n for (reason,), tally in self.table.tallies(("reason",), mask, *self.edges).items()}
        return review.uncounted(self.whole(Filter()), self.whole(Filter(counted=False)), reasons, words, *self.edges)

    def tests(self, chosen: Setting | None) -> dict[tuple[BlockKind, bool, bool], Tally]:
        """Counted balls of test blocks at the chosen setting by kind, stick and drawn order."""
        if chosen is None:
            return {}
        mask = self.table.chosen(self._in(*TESTS)) & self.table.at(chosen)
        return self.table.tallies(("block", "stick", "drawn"), mask, *self.edges)

    def _by_session(self, chosen: Filter) -> dict[str, dict[Setting, Tally]]:
        mask = self.table.chosen(chosen) & self.table.stated()
        found: dict[str, dict[Setting, Tally]] = {}
        for (session, bow, grip), tally in self.table.tallies(("session", "bow", "grip"), mask, *self.edges).items():
            found.setdefault(session, {})[Setting(bow, grip)] = tally
        return found

    def _group(self, label: str, tally: Tally) -> Group:
        return Group(label, tally, review.start_line(tally, *self.edges))

    def baseline(self, sessions: Sequence[Session]) -> Group | None:
        """The first session with a baseline block."""
        found = self._by_session(self._in(BlockKind.BASELINE))
        for session in sessions:
            if session.id in found:
                where = next(iter(found[session.id])) if len(found[session.id]) == 1 else None
                label = f"Baseline, {session.started_at[:10]}" + (f", grip {where.grip:g}, bow {where.bow:g}" if where else "")
                return self._group(label, review.together(found[session.id].values()))
        return None

    def combination(self, sessions: Sequence[Session], model: ModelReview | None) -> tuple[Setting | None, bool]:
        """The setting of the latest confirm block; else the first of the model's list that was hit; and whether it was confirmed."""
        found = self._by_session(self._in(BlockKind.CONFIRM))
        for session in reversed(sessions):
            if session.id in found:
                return max(found[session.id], key=lambda setting: found[session.id][setting].n), True
        tried = self.settings(self.chosen)
        return next((each.setting for each in (model.combinations if model else ()) if each.setting in tried), None), False

    def comparison(self, chosen: Setting | None, runner_up: Setting | None, words: str) -> review.Comparison | None:
        """Chosen against runner-up on the balls hit to choose between them where there are some of both, else on all practice."""
        if chosen is None or runner_up is None:
            return None
        for pool in (self._in(BlockKind.CHOOSE), self.chosen):
            settings = self.settings(pool)
            if chosen in settings and runner_up in settings:
                return review.compare(chosen, runner_up, settings, words, *self.edges)
        return None

    def runner_up(self, chosen: Setting | None) -> Setting | None:
        """The other setting of the choose blocks with the most balls; else of all balls."""
        for pool in (self._in(BlockKind.CHOOSE), self.chosen):
            others = {setting: tally.n for setting, tally in self.settings(pool).items() if setting != chosen}
            if chosen is not None and others:
                return max(others, key=lambda setting: (others[setting], setting))
        return None

    def latest(self, sessions: Sequence[Session], chosen: Setting | None) -> Group | None:
        """The chosen setting in the latest session in which it was hit: the kind of block, and the stick, with the most balls there."""
        if chosen is None:
            return None
        mask = self.table.chosen(Filter(clubs=self.chosen.clubs)) & self.table.stated()
        keys = ("session", "bow", "grip", "block", "stick")
        found: dict[str, list[tuple[str, Tally]]] = {}
        for (session, bow, grip, kind, stick), tally in self.table.tallies(keys, mask, *self.edges).items():
            if Setting(bow, grip) == chosen:
                found.setdefault(session, []).append((f"{kind or BlockKind.FREE}, stick {'on' if stick else 'off'}", tally))
        for session in reversed(sessions):
            if session.id in found:
                words, tally = max(found[session.id], key=lambda each: each[1].n)
                return self._group(f"Now, {session.started_at[:10]}, grip {chosen.grip:g}, bow {chosen.bow:g}, {words}", tally)
        return None

    def days(self, sessions: Sequence[Session], chosen: Setting | None, words: str) -> DayToDay:
        """Session means at the chosen setting."""
        found = self._by_session(self.chosen)
        days = [
            Day(session.started_at[:10], review.start_line(found[session.id][chosen], *self.edges))
            for session in sessions
            if chosen is not None and chosen in found.get(session.id, {})
        ]
        return review.day_to_day(days, f"grip {chosen.grip:g}, bow {chosen.bow:g}" if chosen else "", words)

    def ladder(self, archive: Archive, sessions: Sequence[Session], words: str, loft_deg: float | None) -> LadderReview:
        """The latest session with ladder balls."""
        found = self.table.tallies(("session",), self.table.chosen(self._in(BlockKind.LADDER)), *self.edges)
        for session in reversed(sessions):
            if (session.id,) in found:
                kinds = {block.id for block in archive.blocks(session.id) if block.kind is BlockKind.LADDER}
                clubs = self.chosen.clubs
                balls = [
                    ball for ball in archive.balls(session.id) if ball.block_id in kinds and (not clubs or ball.setup.club_id in clubs)
                ]
                return review.ladder(balls, f"{words}, {session.started_at[:10]}", loft_deg)
        return review.ladder([], words, loft_deg)
