"""Questions put to the columns of one book: what is held, which combination is spoken of, and what it is held against."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from rangelog.core.player import Club, Prescription
from rangelog.core.results import Setting
from rangelog.core.session import Session
from rangelog.core.words import BlockKind
from rangelog.logbook import review
from rangelog.logbook.archive import Archive
from rangelog.logbook.review import Filter, LadderReview, Tally
from rangelog.logbook.review_days import Day, DayToDay
from rangelog.logbook.review_model import ModelReview
from rangelog.logbook.review_start import StartLine
from rangelog.logbook.review_table import BallTable

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


def held(table: BallTable, asked: Prescription, club: Club | None) -> Filter:
    """What is held while settings are looked at: the prescribed club and swing where they were hit, and the stick on where it was."""
    held = Filter(clubs=frozenset({club.id}) if club else frozenset(), blocks=PRACTICE)
    for wanted in (replace(held, swing=asked.swing, stick=True), replace(held, swing=asked.swing), replace(held, stick=True), held):
        if table.chosen(wanted).any():
            return wanted
    return Filter(blocks=PRACTICE)


class Reading:
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

    def _in_session(self, chosen: Filter, sessions: Iterable[Session]) -> tuple[Session, dict[Setting, Tally]] | None:
        """The first of some sessions with stated balls of a filter, and those balls by setting."""
        there = self.table.sessions(self.table.chosen(chosen) & self.table.stated())
        for session in sessions:
            if session.id in there:
                return session, self.settings(replace(chosen, session_id=session.id))
        return None

    def _group(self, label: str, tally: Tally) -> Group:
        return Group(label, tally, review.start_line(tally, *self.edges))

    def baseline(self, sessions: Sequence[Session]) -> Group | None:
        """The first session with a baseline block."""
        found = self._in_session(self._in(BlockKind.BASELINE), sessions)
        if found is None:
            return None
        session, settings = found
        where = next(iter(settings)) if len(settings) == 1 else None
        label = f"Baseline, {session.started_at[:10]}" + (f", grip {where.grip:g}, bow {where.bow:g}" if where else "")
        return self._group(label, review.together(settings.values()))

    def combination(self, sessions: Sequence[Session], model: ModelReview | None) -> tuple[Setting | None, bool]:
        """The setting of the latest confirm block; else what was hit beside the first of the model's list; and whether it was confirmed."""
        found = self._in_session(self._in(BlockKind.CONFIRM), reversed(sessions))
        if found is not None:
            settings = found[1]
            return max(settings, key=lambda setting: settings[setting].n), True
        return (model.first_of(self.settings(self.chosen)) if model else None), False

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
        hit = Filter(clubs=self.chosen.clubs)
        at = self.table.at(chosen)
        there = self.table.sessions(self.table.chosen(hit) & at)
        for session in reversed(sessions):
            if session.id in there:
                mask = self.table.chosen(replace(hit, session_id=session.id)) & at
                found = self.table.tallies(("block", "stick"), mask, *self.edges)
                kind, stick = max(found, key=lambda key: found[key].n)
                words = f"{kind or BlockKind.FREE}, stick {'on' if stick else 'off'}"
                label = f"Now, {session.started_at[:10]}, grip {chosen.grip:g}, bow {chosen.bow:g}, {words}"
                return self._group(label, found[kind, stick])
        return None

    def days(self, sessions: Sequence[Session], chosen: Setting | None, words: str) -> DayToDay:
        """Session means at the chosen setting."""
        if chosen is None:
            return review.day_to_day([], "", words)
        found = self.table.tallies(("session",), self.table.chosen(self.chosen) & self.table.at(chosen), *self.edges)
        days = [
            Day(session.started_at[:10], review.start_line(found[session.id,], *self.edges))
            for session in sessions
            if (session.id,) in found
        ]
        return review.day_to_day(days, f"grip {chosen.grip:g}, bow {chosen.bow:g}", words)

    def ladder(self, archive: Archive, sessions: Sequence[Session], words: str, loft_deg: float | None) -> LadderReview:
        """The latest session with ladder balls."""
        there = self.table.sessions(self.table.chosen(self._in(BlockKind.LADDER)))
        for session in reversed(sessions):
            if session.id in there:
                kinds = {block.id for block in archive.blocks(session.id) if block.kind is BlockKind.LADDER}
                clubs = self.chosen.clubs
                balls = [
                    ball for ball in archive.balls(session.id) if ball.block_id in kinds and (not clubs or ball.setup.club_id in clubs)
                ]
                return review.ladder(balls, f"{words}, {session.started_at[:10]}", loft_deg)
        return review.ladder([], words, loft_deg)
