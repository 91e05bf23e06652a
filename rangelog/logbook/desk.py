"""What the logbook holds in its hands: the open book, today's balls, the state of the tee, and what is not yet saved."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

from rangelog.core.ball import Ball
from rangelog.core.errors import NothingToUndo, RangelogError, Refused
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.session import Block, Edit, Form, Session
from rangelog.logbook.tee_state import STATE_KEYS, Act, TeeState
from rangelog.logbook.view import Echo
from rangelog.store.errors import BackupRefused, NotSaved
from rangelog.store.tee_book import TeeBook

Write = Callable[[TeeBook], None]


class Desk:
    """State shared by all acts of the logbook, and the one way of writing.

    Every write is one transaction of the book. A write the book cannot take stays in order in memory until it can.
    """

    def __init__(self, book: TeeBook, now: Callable[[], datetime], new_id: Callable[[], str]) -> None:
        self.book = book
        self.now = now
        self.new_id = new_id
        self.player: Player | None = book.player()
        self.clubs: dict[str, Club] = {club.id: club for club in book.clubs()}
        self._prescriptions = {made.id: made for made in book.prescriptions()}
        self.session: Session | None = None
        self.blocks: list[Block] = []
        self.forms: list[Form] = []
        self.balls: list[Ball] = []
        self._stood: tuple[list[Ball], list[Ball]] = [], []
        self.edits: list[Edit] = []
        self.state, damaged = TeeState.read({key: book.state(key) for key in STATE_KEYS})
        damaged += tuple(key for table, key in book.bad_rows if table == "state" and key in STATE_KEYS)
        self.found_damaged: list[str] = []
        if damaged:
            self.found_damaged.append(
                f"What was kept of the tee cannot be read ({', '.join(damaged)}): it starts anew. Every ball is there."
            )
        self.kept_hint = self.state.hint
        self.unsaved: list[Write] = []
        self.trouble = self._cause = ""
        self.changed = True
        self._taken_up = ("", 0)

    # reading

    @property
    def prescription(self) -> Prescription | None:
        """The prescription in force: the latest."""
        return next(reversed(self._prescriptions.values()), None)

    @prescription.setter
    def prescription(self, made: Prescription) -> None:
        self._prescriptions[made.id] = made

    @property
    def standing(self) -> list[Ball]:
        """Today's balls, voided ones left out."""
        balls, standing = self._stood
        if balls != self.balls:  # lists of the very same balls are compared quickly
            standing = [ball for ball in self.balls if not ball.voided]
            self._stood = list(self.balls), standing
        return list(standing)

    @property
    def last(self) -> Ball | None:
        """The last ball that stands."""
        return next((ball for ball in reversed(self.balls) if not ball.voided), None)

    @property
    def next_seq(self) -> int:
        """The number of the next ball; also that of a ball in the book that cannot be read is taken."""
        session_id, taken = self._taken_up
        kept = taken if self.session is not None and self.session.id == session_id else 0
        return max((kept, *(ball.seq for ball in self.balls))) + 1

    @property
    def block(self) -> Block | None:
        """The block that runs."""
        return next((block for block in reversed(self.blocks) if not block.ended_at), None)

    def at(self) -> str:
        """Now, local time with offset."""
        return self.now().isoformat(timespec="milliseconds")

    def known_player(self) -> Player:
        """The player. Raises Refused before the first start is done."""
        if self.player is None:
            raise Refused("The book has no player yet.", "Answer the first questions.")
        return self.player

    def known_prescription(self) -> Prescription:
        """The prescription in force. Raises Refused before the first start is done."""
        if self.prescription is None:
            raise Refused("The book has no prescription yet.", "Answer the first questions.")
        return self.prescription

    def resume(self, session: Session) -> None:
        """Take up a session where the book left it."""
        self.session = session
        self.blocks = [self._with_readable_plan(block) for block in self.book.blocks(session.id)]
        self.forms = self.book.forms(session.id)
        self.balls = self.book.balls(session.id, include_voided=True)
        self.edits = self.book.edits(session_id=session.id)
        self._taken_up = (session.id, self.book.last_seq(session.id))
        refs = {ball.id for ball in self.balls} | {row.group for row in self.edits}
        club_id = self.prescription.club_id if self.prescription else ""
        self.state = self.state.known_only(refs, self.clubs, club_id)
        self.changed = True

    def _with_readable_plan(self, block: Block) -> Block:
        """The block, without a plan that cannot be read; in the book it stays as it is."""
        if not block.plan:
            return block
        from rangelog.journey.order import from_text  # not before the first paint where no block has a plan

        try:
            from_text(block.plan)
        except ValueError:
            if not block.ended_at:
                self.found_damaged.append(f"The plan of the {block.kind} block cannot be read: it goes on without one.")
            return replace(block, plan="")
        return block

    # writing

    def write(self, act: Write) -> bool:
        """One transaction. Returns whether it, and all before it, are on disk; what is not stays in memory, in order.

        Callers change what they hold in memory only after this has returned, so that a refused act changes nothing.

        Raises:
            Refused: the book is open for reading only.
            RangelogError: the book does not take this row, and never will; it is not kept.
        """
        if self.book.read_only:
            raise Refused(f"Not saved: {self.book.read_only_reason}.", "Close the other program, or choose another path.")
        self.unsaved.append(act)
        saved = self.flush(newest=act)
        self.changed = True
        return saved

    def flush(self, newest: Write | None = None) -> bool:
        """Try everything that is not yet saved, in order. Returns whether nothing is left.

        A row the book will never take is given back to its act at once, as an error, where that act has not yet answered.
        """
        while self.unsaved:
            act = self.unsaved[0]
            try:
                act(self.book)
            except NotSaved as error:
                self.trouble, self._cause = str(error), error.cause
                return False
            except RangelogError as error:
                if act is newest:
                    self.unsaved.pop(0)
                    raise
                self.trouble = str(error)
                return False
            self.unsaved.pop(0)
        return True

    def move_to(self, path: Path) -> Echo:
        """Go on in a copy of the book at another path. What is kept in memory is written there.

        Where the file no longer holds the book, or cannot be read, there is nothing to copy: a new book then takes this visit as it
        stands in memory, to be merged later.
        """
        copied = not self.book.overwritten
        if copied:
            try:
                self.book.save_copy(path)
            except BackupRefused:
                if self._cause != "damaged" or os.path.lexists(path):
                    raise
                copied = False
        old, self.book = self.book, TeeBook.open(path, now=self.now) if copied else self._visit_at(path)
        old.close()
        saved = self.flush()
        self.changed = True
        return self.said(
            saved, f"The log goes on in {path}." if copied else f"The log goes on in {path} with this visit: merge them later."
        )

    def _visit_at(self, path: Path) -> TeeBook:
        """A new book with the player, the bag, the prescriptions and this visit. Raises BackupRefused where the path is taken."""
        if os.path.lexists(path):
            raise BackupRefused(f"{path.name} is there already.", "Choose another name.")
        book = TeeBook.open(path, now=self.now, daily_backup=False)
        try:
            if self.player is not None:
                book.save_player(self.player)
            for club in self.clubs.values():
                book.add_club(club)
            for prescription in self._prescriptions.values():
                book.add_prescription(prescription)
            if self.session is not None:
                book.start_session(self.session)
                for block in self.blocks:
                    book.start_block(block)
                for form in self.forms:
                    book.add_form(form)
                book.add_balls(self.balls)
                known = {ball.id for ball in self.balls}
                book.edit_balls([row for row in self.edits if row.ball_id in known])
            book.save_state(self.state.as_rows())
        except BaseException:
            book.close()
            raise
        return book

    def save_state(self, state: TeeState) -> bool:
        """Keep a new state of the tee."""
        rows = state.as_rows()
        saved = self.write(lambda book: book.save_state(rows))
        self.state = state
        self.kept_hint = state.hint
        return saved

    def add_ball(self, ball: Ball, state: TeeState) -> bool:
        """Store one ball with the state after it."""
        rows = state.as_rows()
        saved = self.write(lambda book: book.add_ball(ball, state=rows))
        self.balls.append(ball)
        self.state = state
        return saved

    def edit(self, changes: Sequence[tuple[Ball, dict[str, Any]]], *, text: str, reason: str = "") -> bool:
        """Correct balls as one act that undo takes back. Returns whether it is on disk."""
        from rangelog.logbook import corrections

        rows = corrections.edits(changes, at=self.at(), new_id=self.new_id, reason=reason)
        if not rows:
            return True
        return self._edited(rows, self.state.acted(Act("edit", rows[0].group, text)))

    def _edited(self, rows: Sequence[Edit], state: TeeState) -> bool:
        from rangelog.logbook import corrections  # not before the first paint: most days it is first needed at the second key

        kept = state.as_rows()
        saved = self.write(lambda book: book.edit_balls(rows, state=kept))
        by_id = {ball.id: index for index, ball in enumerate(self.balls)}
        for row in rows:
            index = by_id.get(row.ball_id)
            if index is not None:
                self.balls[index] = corrections.apply(self.balls[index], {row.field: corrections.stored(row.field, row.new)})
        self.edits.extend(rows)
        self.state = state
        return saved

    def take_back(self) -> Act:
        """Undo the newest act. Raises NothingToUndo; the book is then unchanged."""
        if not self.state.done:
            raise NothingToUndo("Nothing to undo.")
        act = self.state.done[-1]
        self._edited(self._inverse(act, voided=True), self.state.taken_back())
        return act

    def bring_back(self) -> Act:
        """Redo the newest undone act. Raises NothingToUndo."""
        if not self.state.undone:
            raise NothingToUndo("Nothing to bring back.")
        act = self.state.undone[-1]
        self._edited(self._inverse(act, voided=False), self.state.brought_back())
        return act

    def _inverse(self, act: Act, *, voided: bool) -> list[Edit]:
        from rangelog.logbook import corrections

        reason = "undo" if voided else "redo"
        if act.kind == "hit":
            ball = next(ball for ball in self.balls if ball.id == act.ref)
            return corrections.edits([(ball, {"voided": voided})], at=self.at(), new_id=self.new_id, reason=reason, undoes=act.ref)
        group = self.new_id()
        return [
            Edit(
                self.new_id(),
                row.ball_id,
                row.field,
                *((row.new, row.old) if voided else (row.old, row.new)),
                self.at(),
                reason,
                group,
                act.ref,
            )
            for row in self.edits
            if row.group == act.ref
        ]

    def notice(self) -> str:
        """One standing line of warning; empty where there is none."""
        if self.unsaved:
            return f"NOT SAVED YET: {len(self.unsaved)} waiting. {self.trouble}".strip()
        if self.book.read_only:
            return f"Reading only: {self.book.read_only_reason}."
        return self.book.warnings[-1] if self.book.warnings else ""

    def said(self, saved: bool, text: str, kind: str = "saved", **more: Any) -> Echo:
        """The echo of an act: never "saved" before it is."""
        if not saved:
            return Echo(f"NOT SAVED YET. {text}", "not saved", **more)
        return Echo(text, kind, **more)


def refused(error: RangelogError) -> Echo:
    """The echo of an act that changed nothing."""
    return Echo(str(error), "refused")
