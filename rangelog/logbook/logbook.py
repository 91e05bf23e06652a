"""The logbook's door: what screens and commands may ask and do. Save first, then learn, then choose the hint."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Any

from rangelog.core.ball import Ball
from rangelog.core.flight import Flight
from rangelog.core.hint import Hint
from rangelog.core.ids import fresh_id
from rangelog.core.player import Club
from rangelog.core.scales import DEFAULT_WINDOW_DEG
from rangelog.core.session import Edit
from rangelog.core.times import local_now
from rangelog.core.words import BlockKind, Curve, PainSite, Reason, Strike
from rangelog.logbook.desk import Desk
from rangelog.logbook.picturing import Picturing
from rangelog.logbook.stating import Stating
from rangelog.logbook.view import Echo, TeeView
from rangelog.logbook.visiting import Visiting
from rangelog.store.tee_book import TeeBook

if TYPE_CHECKING:
    from rangelog.core.session import Session
    from rangelog.journey.forms import Answer, FormKind
    from rangelog.logbook.hitting import Hitting
    from rangelog.logbook.planning import Planning
    from rangelog.logbook.thinking import Thinking
    from rangelog.store.sessions import SessionCount


class Logbook:
    """One open book, and everything a player can do with it.

    Every act that changes something is committed before it returns. Acts return an `Echo`; an act that is refused
    raises a RangelogError whose text is meant for the player, and changes nothing.
    """

    def __init__(self, book: TeeBook, now: Callable[[], datetime] = local_now, new_id: Callable[[], str] = fresh_id) -> None:
        self._desk = Desk(book, now, new_id)
        self._picturing = Picturing(self._desk)
        self._visiting = Visiting(self._desk)
        self._stating = Stating(self._desk)
        self._parts: tuple[Planning, Hitting, Thinking] | None = None
        self._waking = Lock()
        taken_up = "" if self.needs_first_start else self._visiting.take_up()
        self.resume_text = " ".join(filter(None, (taken_up, *self._desk.found_damaged)))

    @classmethod
    def open(
        cls, path: Path, *, now: Callable[[], datetime] = local_now, read_only: bool = False, new_id: Callable[[], str] = fresh_id
    ) -> Logbook:
        """Open a book, or begin one. The clock and the source of ids are handed in.

        Raises:
            RangelogError: the file cannot be used; it is left as it was.
        """
        return cls(TeeBook.open(path, read_only=read_only, now=now, daily_backup=False), now, new_id)

    def _awake(self) -> tuple[Planning, Hitting, Thinking]:
        """The parts that plan, take balls and think. Imported when first needed, so that the first screen does not wait for them."""
        with self._waking:
            if self._parts is None:
                from rangelog.logbook.hitting import Hitting
                from rangelog.logbook.planning import Planning
                from rangelog.logbook.thinking import Thinking

                planning = Planning(self._desk)
                self._parts = planning, Hitting(self._desk, planning), Thinking(self._desk, planning)
            return self._parts

    @property
    def _planning(self) -> Planning:
        return self._awake()[0]

    @property
    def _hitting(self) -> Hitting:
        return self._awake()[1]

    @property
    def _thinking(self) -> Thinking:
        return self._awake()[2]

    def close(self) -> None:
        """Keep the hint on show, and let the book go."""
        self.settle()
        self._desk.book.close()

    def __enter__(self) -> Logbook:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    @property
    def path(self) -> Path:
        """The file of the book, now: it moves when the log goes on elsewhere."""
        return self._desk.book.path

    # what is shown

    def view(self) -> TeeView:
        """Everything the tee screen shows, now. The first one after the model has loaded asks it for a hint."""
        ready = self.model_ready
        if ready and not self._thinking.fresh:
            self._thinking.think()
        desk = self._desk
        state, block, standing = desk.state, desk.block, desk.standing
        return TeeView(
            player=desk.player,
            club=desk.clubs.get(state.setup.club_id),
            prescription=desk.prescription,
            session=desk.session,
            block=block,
            setup=state.setup,
            stated=state.setup.stated,
            offered=None if state.setup.stated else self._stating.offered(),
            last=standing[-1] if standing else None,
            hint=state.hint,
            hint_is_stored=not ready,
            ball_number=len(standing),
            block_hit=sum(ball.block_id == block.id for ball in standing) if block else 0,
            picture=self._picturing.picture(self._thinking.crossing if ready else None),
            share_at_crossing=self._thinking.share_at_crossing if ready else None,
            unsaved=sum(1 for _ in desk.unsaved),
            can_undo=bool(state.done),
            can_redo=bool(state.undone),
            read_only=desk.book.read_only,
            notice=desk.notice(),
            due=self._planning.due() if self._parts is not None else "",
        )

    def why(self) -> tuple[str, ...]:
        """The lines behind the present hint: counts, what would change it, and the runner-up."""
        hint = self._desk.state.hint
        if hint is None:
            return ("No hint yet.",)
        lines = [hint.words, *([hint.numbers] if hint.numbers else []), *hint.why]
        if hint.change:
            lines.append(f"What would change it: {hint.change}")
        if hint.runner_up:
            lines.append(f"Next in line: {hint.runner_up}")
        return tuple(lines)

    @property
    def hint(self) -> Hint | None:
        """The hint on show."""
        return self._desk.state.hint

    # the model

    @property
    def model_ready(self) -> bool:
        """The model has loaded and has answered."""
        return self._parts is not None and self._thinking.ready

    def load_model(self) -> None:
        """Load the model and bring it up to the balls. Slow (about half a second): for a worker thread, after the first paint."""
        self._thinking.load()

    def think(self) -> Hint | None:
        """Choose the hint for the present state."""
        return self._thinking.think()

    def settle(self) -> None:
        """Keep the hint on show in the book, so that the next start can show it before the model has loaded."""
        desk = self._desk
        if not desk.book.read_only and not desk.unsaved and desk.state.hint != desk.kept_hint:
            desk.save_state(desk.state)

    def _acted(self, echo: Echo) -> Echo:
        if self._desk.changed:
            self._thinking.think()
            self._desk.changed = False
        return echo

    # first start and visits

    @property
    def needs_first_start(self) -> bool:
        """The book has no player yet."""
        return self._visiting.needs_first_start

    @property
    def needs_session(self) -> bool:
        """No session runs."""
        return self._visiting.needs_session

    def first_start(self, **answers: Any) -> Echo:
        """See Visiting.first_start."""
        return self._visiting.first_start(**answers)

    def start_session(self, **answers: Any) -> Echo:
        """See Visiting.opening_setup and start_session. A block that was left open is ended first, and keeps its balls."""
        setup = self._visiting.opening_setup(**answers)
        self._planning.end_open_block()
        self._planning.forget()
        self._thinking.forget()
        return self._acted(self._visiting.start_session(setup))

    def end_session(self) -> Echo:
        """See Visiting.end_session. An open block is ended first."""
        self._planning.end_open_block()
        self._planning.forget()
        return self._visiting.end_session()

    def revise_prescription(self, **changes: Any) -> Echo:
        """See Visiting.revise_prescription."""
        echo = self._visiting.revise_prescription(changes)
        self._thinking.forget()
        return self._acted(echo)

    # balls

    def hit(self, flight: Flight) -> Echo:
        """Store a ball. A ball before any session starts one as last time."""
        if self._desk.session is None:
            self.start_session()
        return self._acted(self._hitting.hit(flight))

    def amend(self, *, strike: Strike | None = None, curve: Curve | None = None, touched: bool | None = None) -> Echo:
        """Complete the last ball."""
        return self._acted(self._hitting.amend(strike=strike, curve=curve, touched=touched))

    def number(self, text: str) -> Echo:
        """Give the last ball a number."""
        return self._acted(self._hitting.number(text))

    def number_hint(self) -> str:
        """What can be typed as a number."""
        return "-5   5L   5,5R   launch 14   apex 9 m   2 m at 50 m L"

    def uncount(self, reason: Reason | str) -> Echo:
        """Leave the last ball out of fits."""
        return self._acted(self._hitting.uncount(reason))

    def recount(self) -> Echo:
        """Count the last ball again."""
        return self._acted(self._hitting.recount())

    def note(self, text: str) -> Echo:
        """Add words to the last ball."""
        return self._acted(self._hitting.note(text))

    def felt_bow(self, value: float) -> Echo:
        """What the bow felt like."""
        return self._acted(self._hitting.felt_bow(value))

    def comfort(self, value: int) -> Echo:
        """Comfort of the last ball's setting, 1-5."""
        return self._acted(self._hitting.comfort(value))

    def undo(self) -> Echo:
        """Take back the newest act."""
        return self._acted(self._hitting.undo())

    def redo(self) -> Echo:
        """Bring back what was taken back."""
        return self._acted(self._hitting.redo())

    def relabel(self, last: int, *, bow: float | None = None, grip: float | None = None, reason: str) -> Echo:
        """State the intended setting of the last balls anew."""
        return self._acted(self._hitting.relabel(last, bow=bow, grip=grip, reason=reason))

    def edit_ball(self, ball_id: str, field: str, value: Any, reason: str = "") -> Echo:
        """Correct one field of one of today's balls."""
        return self._acted(self._hitting.edit_ball(ball_id, field, value, reason))

    def correct_aim(self, line_deg: float) -> Echo:
        """The aim line pointed this far beside the target (+ = right)."""
        return self._acted(self._hitting.correct_aim(line_deg))

    # the setup of the next ball

    def step(self, lever: str, direction: int, *, half: bool = False) -> Echo:
        """One step of "bow", "grip" or "position"."""
        return self._acted(self._stating.step(lever, direction, half=half))

    def set_setup(self, **parts: Any) -> Echo:
        """State any part of the setup."""
        return self._acted(self._stating.set_setup(**parts))

    def take_hint(self) -> Echo:
        """Take the setting, or the block, that the hint proposes."""
        hint = self._desk.state.hint
        if hint is not None and hint.block is not None:
            self._planning.start_block(hint.block)
            if hint.setting is None:
                return self._acted(Echo(f"{hint.block.capitalize()} begins."))
        return self._acted(self._stating.take_hint())

    def clubs(self) -> list[Club]:
        """The clubs of the bag."""
        return self._stating.bag()

    def add_club(self, name: str, loft_deg: float | None) -> Echo:
        """A new club."""
        return self._stating.add_club(name, loft_deg)

    # blocks and forms

    def start_block(self, kind: BlockKind | str, planned: int | None = None) -> Echo:
        """Begin a block; the one that runs is ended first, and keeps its balls."""
        return self._acted(self._planning.start_block(kind, planned))

    def end_block(self) -> Echo:
        """End the block that runs."""
        return self._acted(self._planning.end_block())

    def proposed_block(self) -> tuple[str, str]:
        """The next block and why; the kind is empty where today is enough."""
        kind, reason = self._planning.proposed()
        return kind.value if kind else "", reason

    def planned_ball(self) -> Mapping[str, Any]:
        """What the plan of the running block drew for the next ball: "called" height, "target"; empty outside such a block."""
        return self._planning.planned_ball()

    def plan_today(self) -> tuple[str, ...]:
        """The plan for today, in lines."""
        return self._planning.plan_today()

    def open_form(self, name: str) -> tuple[FormKind, dict[str, Answer]]:
        """A form and the answers given so far."""
        return self._planning.form(name)

    def save_form(self, name: str, answers: Mapping[str, Answer], *, complete: bool = True) -> Echo:
        """Keep the answers of a form, half-filled or whole."""
        return self._acted(self._planning.save_form(name, answers, complete=complete))

    def pain(self, site: PainSite | str, level: int, sharp: bool = False) -> Echo:
        """Keep a pain answer."""
        return self._acted(self._planning.pain(site, level, sharp))

    def cautions(self) -> tuple[str, ...]:
        """The usual cautions."""
        from rangelog.journey import cautions

        return cautions.FIRST_START

    # reading

    def balls(self, session_id: str | None = None) -> list[Ball]:
        """Balls of a session in order, voided ones left out; today's by default."""
        if session_id is None or (self._desk.session is not None and session_id == self._desk.session.id):
            return self._desk.standing
        return self._desk.book.balls(session_id)

    def sessions(self) -> list[SessionCount]:
        """Every session with its counts, newest first."""
        prescription = self._desk.prescription
        return self._desk.book.session_counts(prescription.window_deg if prescription else DEFAULT_WINDOW_DEG)

    def history(self, ball_id: str) -> Sequence[Edit]:
        """Every correction of a ball, oldest first."""
        return self._desk.book.edits(ball_id=ball_id)

    @property
    def session(self) -> Session | None:
        """The session that runs."""
        return self._desk.session

    # a book that cannot take what it is given

    def retry_unsaved(self) -> Echo:
        """Try again to save what is kept in memory."""
        waiting = len(self._desk.unsaved)
        if self._desk.flush():
            return Echo(f"Saved: {waiting} waiting." if waiting else "Everything is saved.", "saved")
        return Echo(f"NOT SAVED YET: {len(self._desk.unsaved)} waiting. {self._desk.notice()}", "not saved")

    def save_elsewhere(self, path: Path | str) -> Echo:
        """Lay a whole copy of the book at a free path, with everything that is kept in memory, and go on in it.

        Raises:
            RangelogError: the path is taken, or cannot be written; nothing is lost by trying.
        """
        return self._acted(self._desk.move_to(Path(path).expanduser()))
