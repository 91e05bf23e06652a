"""Questions put to the columns of one book: what is held, which combination is spoken of, and what it is held against."""

from collections.abc import Sequence
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
