"""From balls to one hint: the model learns, the charts are read, the rules choose."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from itertools import compress
from typing import TYPE_CHECKING

from rangelog.core.ball import Ball
from rangelog.core.results import Crossing, Estimate, Hint, Setting
from rangelog.hints import limits
from rangelog.hints.line import CLOSE_NOTCHES
from rangelog.hints.rules import choose
from rangelog.logbook.block_results import Confirmed
from rangelog.logbook.desk import Desk
from rangelog.logbook.facts import Evidence, Reading, gather
from rangelog.logbook.growing import Growing
from rangelog.logbook.past import Past, feeding, grip_key, habit, past
from rangelog.logbook.planning import Known, Planning
from rangelog.logbook.start_line import SESSIONS_EXACT, StartLine, interval_of, set_of
from rangelog.logbook.strikes import evidence
from rangelog.store.errors import BackupRefused
from rangelog.store.tee_book import TeeBook

if TYPE_CHECKING:
    from rangelog.bracketing import Bracket
    from rangelog.hints.facts import Facts

LEAST_GRIP_BALLS = 3
KNOWN_NOTCHES = 1.0
"""A straight combination may be chosen from once its crossing is known to +-1 notch (90 %)."""

Z90 = 1.6449
"""Two-sided 90 % quantile of the normal distribution."""


class Thinking:
    """Chooses the hint for the present state. Without the model it still speaks, of what needs no model."""

    def __init__(self, desk: Desk, planning: Planning) -> None:
        self._desk = desk
        self._planning = planning
        self._line: StartLine | None = None
        self._before = Past()
        self._session = ""
        self._confirmed: tuple[str, Confirmed] | None = None
        self._readings: Growing[Reading | None] = Growing()
        self._feeds: Growing[bool] = Growing()
        self._grips: Growing[tuple[str, bool, float] | None] = Growing()
        self.ready = False
        self.fresh = False
        self.crossing: Crossing | None = None
        self.share_at_crossing: float | None = None

    # the model

    def load(self) -> None:
        """Import the model, and let it learn the balls of the book from a reader of its own. For a worker thread."""
        desk = self._desk
        if desk.player is not None and desk.prescription is not None:
            session = desk.session.id if desk.session else ""
            with desk.book.reader() as reader:
                with suppress(BackupRefused):  # a full backup disk must not keep the model away; the check command tells of it
                    reader.daily_backup()
                before = self._read_past(reader, session or None)
            line = StartLine(desk.player, desk.prescription, self._bow_range())
            line.learn([*before.fitted, *self._fitted_today()], desk.state.setup, session)
            self._session, self._before, self._line = session, before, line
        else:
            from rangelog import bracketing  # noqa: F401 - only so that it is loaded
        from rangelog.evidence import charts  # noqa: F401 - only so that it is loaded

        self.ready = True
        self.fresh = False

    def forget(self) -> None:
        """The prescription or another session changed what was learned: learn anew."""
        self._line = None
        self._session = ""
        self.fresh = False

    @staticmethod
    def _read_past(book: TeeBook, before: str | None) -> Past:
        balls = book.recent_balls(SESSIONS_EXACT, before=before, include_voided=True)
        sessions = dict.fromkeys(ball.session_id for ball in balls)
        return past(balls, [block for session in sessions for block in book.blocks(session)])

    def _past(self) -> Past:
        """Earlier sessions, read once a session."""
        desk = self._desk
        assert desk.session is not None
        if self._session != desk.session.id:
            self._before = self._read_past(desk.book, desk.session.id)
            self._session = desk.session.id
        return self._before

    def _fitted_today(self) -> list[Ball]:
        balls, kinds = self._desk.balls, {block.id: block.kind for block in self._desk.blocks}
        feeds = self._feeds.of(balls, kinds, lambda ball: feeding(ball, kinds))
        return list(compress(balls, feeds))

    def _bow_range(self) -> tuple[float, float]:
        desk = self._desk
        return limits.bow_range(desk.known_prescription(), self._planning.pains(), desk.known_player().junior)

    def bracket(self) -> Bracket | None:
        """The model, up to the last ball and for the setup of the next; None until it is loaded, or outside a session."""
        desk = self._desk
        if not self.ready or desk.session is None or desk.player is None or desk.prescription is None:
            return None
        legal = self._bow_range()
        if self._line is None or self._line.bow_range != legal:
            self._line = StartLine(desk.player, desk.prescription, legal)
        return self._line.learn([*self._past().fitted, *self._fitted_today()], desk.state.setup, desk.session.id)

    # the hint

    def think(self) -> Hint | None:
        """Choose the hint, and keep it as the one on show. None before the first start, or outside a session."""
        desk = self._desk
        if desk.player is None or desk.prescription is None or desk.session is None:
            return None
        bracket = self.bracket()
        facts = self._facts(bracket)
        known = self._known(facts, bracket)
        if not known.same_way_as(self._planning.known):
            # the next block is proposed from what is known: from what this ball, or a restart, has changed
            self._planning.heard(facts, known)
            facts = self._facts(bracket)
        hint = choose(facts)
        self._planning.heard(facts, known)
        told = desk.state.told if hint.rule in desk.state.told else {**desk.state.told, hint.rule: len(desk.standing)}
        proposal = hint.setting if hint.setting is not None and hint.rule != "one_thing" else desk.state.proposal
        desk.state = replace(desk.state, hint=hint, told=told, proposal=proposal)
        self.fresh = self.ready
        return hint

    def _facts(self, bracket: Bracket | None) -> Facts:
        desk, planning = self._desk, self._planning
        setup = desk.state.setup
        balls = len(desk.standing)
        facts = gather(
            player=desk.known_player(),
            prescription=desk.known_prescription(),
            setup=setup,
            balls=desk.standing,
            blocks=desk.blocks,
            forms=desk.forms,
            pains=planning.pains(),
            model=bracket,
            evidence=self._evidence() if self.ready else None,
            progress=planning.progress(),
            previous=desk.state.proposal,
            told={rule: balls - since for rule, since in desk.state.told.items()},
            club_name=desk.clubs[setup.club_id].label if setup.club_id in desk.clubs else "",
            confirmed=self._confirm_to_hold_against(),
            habit=self._habit(),
            fit=self._fit if self.ready else None,
            readings=self._readings,
        )
        model = facts.model
        self.crossing = model.crossing if model else None
        self.share_at_crossing = model.on_line_share if model else None
        return facts

    def _known(self, facts: Facts, bracket: Bracket | None) -> Known:
        crossing = facts.model.crossing if facts.model else None
        between_blocks = facts.block is None or facts.finished is not None
        return Known(
            crossing_known=crossing is not None and crossing.known and crossing.half_width <= CLOSE_NOTCHES,
            on_line=self._straight(bracket, facts.bow_range) if between_blocks else self._planning.known.on_line,
            spread_deg=facts.model.diagnosis.spread_deg.mean if facts.model else None,
            body_failed=facts.ladder is not None and facts.ladder.verdict == "does not follow" and facts.ladder.low,
        )

    def _straight(self, bracket: Bracket | None, legal: tuple[float, float]) -> tuple[Setting, ...]:
        """The straight combination of every grip that was tried with this set, the surest first; a crossing nobody knows is none."""
        if bracket is None:
            return ()
        setup, kinds = self._desk.state.setup, {block.id: block.kind for block in self._desk.blocks}
        keys = self._grips.of(self._desk.standing, kinds, lambda ball: grip_key(ball, kinds))
        tried = self._past().grips + Counter(key for key in keys if key is not None)
        mine = (set_of(setup), setup.stick)
        chosen = sorted(grip for (name, stick, grip), count in tried.items() if (name, stick) == mine and count >= LEAST_GRIP_BALLS)
        found = [
            (crossing.half_width, Setting(round(crossing.bow * 2) / 2, grip))
            for grip, crossing in zip(chosen, bracket.straight_line(chosen), strict=True)
        ]
        return tuple(setting for width, setting in sorted(found) if width <= KNOWN_NOTCHES and legal[0] < setting.bow < legal[1])

    def _fit(self, balls: Sequence[Ball]) -> tuple[Estimate, float] | None:
        """Mean start and spread of balls of one setting on their own, by maximum likelihood of numbers and classes together."""
        from rangelog.bracketing.maximum_likelihood import fit_mean

        prescription = self._desk.known_prescription()
        ends = [interval_of(ball, prescription.window_deg, prescription.wide_deg) for ball in balls if ball.seen]
        fitted = fit_mean(ends)
        if fitted is None:
            return None
        mean, standard_error, spread = fitted
        return Estimate(mean, standard_error, mean - Z90 * standard_error, mean + Z90 * standard_error), spread

    # what today is held against

    def _evidence(self) -> Evidence:
        desk = self._desk
        limit = desk.known_prescription().solid_limit
        return evidence(desk.standing, desk.blocks, self._past(), desk.state.setup.surface, limit, desk.clubs)

    def _habit(self) -> Setting | None:
        return self._past().habit or habit(self._desk.standing, {block.id: block.kind for block in self._desk.blocks})

    def _confirm_to_hold_against(self) -> Confirmed | None:
        block = self._planning.last_confirm()
        if block is None:
            return None
        if self._confirmed is None or self._confirmed[0] != block.id:
            found = self._confirmed_of(block.id, block.session_id)
            self._confirmed = (block.id, found) if found else None
        return self._confirmed[1] if self._confirmed else None

    def _confirmed_of(self, block_id: str, session_id: str) -> Confirmed | None:
        desk = self._desk
        assert desk.session is not None
        balls = desk.standing if session_id == desk.session.id else desk.book.balls(session_id)
        mine = [ball for ball in balls if ball.block_id == block_id and ball.counted and ball.seen and ball.setup.stated]
        if not mine:
            return None
        last = mine[-1].setup
        assert last.setting is not None
        rules = desk.known_prescription()
        hits = sum(ball.shown_side(rules.window_deg, rules.wide_deg) == "on line" for ball in mine)
        return Confirmed(hits, len(mine), last.setting, last.stick, last.club_id)
