"""First start, sessions and the prescription: what frames the balls."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from rangelog.core import scales
from rangelog.core.errors import OffScale, Refused
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.session import Session
from rangelog.core.setup import Setup
from rangelog.core.words import Hand, Lever, Surface, Swing
from rangelog.logbook import spoken
from rangelog.logbook.desk import Desk
from rangelog.logbook.view import Echo

SAME_VISIT = timedelta(hours=4)
"""A session whose last ball is older than this is over."""

EARLIEST_YEAR = 2020
JUNIOR_BALL_CAP = 40
DEFAULT_BALL_CAP = 60


class Visiting:
    """The player, the visit to the range, and what was prescribed."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk

    @property
    def needs_first_start(self) -> bool:
        """The book has no player yet."""
        return self._desk.player is None or self._desk.prescription is None

    def first_start(
        self,
        *,
        code: str = "player",
        hand: Hand | str = Hand.RIGHT,
        lead_hand: Hand | str | None = None,
        club_name: str = "iron",
        loft_deg: float | None = None,
        window_deg: float = scales.DEFAULT_WINDOW_DEG,
        wrist_history: bool = False,
        wrist_limit_bow: float | None = None,
        ball_cap: int | None = None,
        junior: bool = False,
        swing: Swing | str = Swing.HALF,
    ) -> Echo:
        """Answer the first questions: the player, one club, and a first prescription.

        Raises:
            OffScale: names the field; nothing is stored.
        """
        desk = self._desk
        checked_hand = scales.word("hand", hand, Hand)
        lead = scales.word("lead hand", lead_hand, Hand) if lead_hand is not None else checked_hand.other
        loft = None if loft_deg is None else scales.number("loft", loft_deg, *scales.LOFT_RANGE, "deg")
        club = Club(self._desk.new_id(), " ".join(club_name.split()) or "iron", loft)
        player = Player(self._desk.new_id(), " ".join(code.split()) or "player", checked_hand, lead, junior)
        prescription = _checked(
            Prescription(
                id=self._desk.new_id(),
                made_at=desk.at(),
                club_id=club.id,
                swing=scales.word("swing", swing, Swing),
                first_lever=Lever.GRIP if wrist_history else Lever.BOW,
                window_deg=window_deg,
                wide_deg=max(scales.DEFAULT_WIDE_DEG, window_deg * 2),
                wrist_limit_bow=wrist_limit_bow,
                pain_history=wrist_history,
                ball_cap=ball_cap or (JUNIOR_BALL_CAP if junior else DEFAULT_BALL_CAP),
            )
        )
        # One transaction each: a disk that fills up between them is tried again from where it stopped.
        desk.write(lambda book: book.save_player(player))
        desk.write(lambda book: book.add_club(club))
        saved = desk.write(lambda book: book.add_prescription(prescription))
        desk.player, desk.prescription = player, prescription
        desk.clubs[club.id] = club
        desk.state = desk.state.stating(Setup(club_id=club.id, swing=prescription.swing))
        return desk.said(saved, f"{player.code}: {player.hand}-handed, {player.lead_hand} hand leads, {club.label}.")

    def revise_prescription(self, changes: Mapping[str, Any]) -> Echo:
        """A new version of the prescription; balls hit before keep the old one.

        Raises:
            OffScale: a value off its scale; the old version stands.
        """
        desk = self._desk
        old = desk.known_prescription()
        new = _checked(replace(old, **changes, id=self._desk.new_id(), version=old.version + 1, made_at=desk.at()))
        saved = desk.write(lambda book: book.add_prescription(new))
        desk.prescription = new
        return desk.said(saved, f"Prescription {new.version} is in force.", "changed")

    @property
    def needs_session(self) -> bool:
        """No session runs, or the one that did is over."""
        return self._desk.session is None

    def take_up(self) -> str:
        """Resume the last session where it was left, if it is of this visit. Returns what was restored, in words."""
        desk = self._desk
        last = desk.book.last_session()
        if last is None and desk.prescription is not None:
            # a first start that was broken off before its first session: nothing of the tee has been kept yet
            desk.state = desk.state.stating(replace(desk.state.setup, club_id=desk.prescription.club_id))
        if last is None or last.ended_at:
            desk.state = desk.state.at_rest()
            return ""
        balls = desk.book.balls(last.id)
        latest = _time(balls[-1].at if balls else last.started_at)
        if latest is not None and abs(desk.now() - latest) > SAME_VISIT:
            if not desk.book.read_only:
                ended = balls[-1].at if balls else last.started_at
                desk.write(lambda book: book.end_session(last.id, ended))
            desk.state = desk.state.at_rest()
            return ""
        desk.resume(last)
        if not balls:
            return ""
        count = f"{len(balls)} balls restored" if len(balls) != 1 else "1 ball restored"
        missing = f"; ball {balls[-1].seq} has no strike" if balls[-1].seen and balls[-1].strike is None else ""
        return f"{count}{missing}."

    def opening_setup(
        self,
        *,
        surface: Surface | str = Surface.MAT,
        aim_line: bool = True,
        swing: Swing | str | None = None,
        stick: bool | None = None,
        club_id: str | None = None,
    ) -> Setup:
        """The setup a visit opens with, its setting not yet stated. A full swing takes the grip stick off (usual caution).

        Raises:
            OffScale: a word that is not legal. Refused: a club that is not in the bag.
        """
        desk = self._desk
        prescription = desk.known_prescription()
        before = desk.state.setup
        length = scales.word("swing", swing, Swing) if swing is not None else prescription.swing
        setup = Setup(
            club_id=club_id or before.club_id or prescription.club_id,
            swing=length,
            stick=(before.stick if stick is None else stick) and length is not Swing.FULL,
            surface=scales.word("surface", surface, Surface),
            aim_line=aim_line,
        )
        if setup.club_id not in desk.clubs:
            raise Refused("That club is not in the bag.", "Add it first.")
        return setup

    def start_session(self, setup: Setup) -> Echo:
        """Start a visit. The setting is not carried over: the last one is offered, and must be taken or changed."""
        desk = self._desk
        if desk.session is not None:
            self.end_session()
        now = desk.now()
        newest = desk.book.newest_time()
        session = Session(
            id=self._desk.new_id(),
            started_at=desk.at(),
            surface=setup.surface,
            aim_line=setup.aim_line,
            date_uncertain=now.year < EARLIEST_YEAR or (newest is not None and now < newest),
        )
        state = desk.state.fresh(setup)
        rows = state.as_rows()
        saved = desk.write(lambda book: book.start_session(session, state=rows))
        desk.state, desk.session, desk.blocks, desk.forms, desk.balls, desk.edits = state, session, [], [], [], []
        offer = f" Last time: {spoken.setup(setup.at(state.offer))}." if state.offer else ""
        uncertain = " The clock looks wrong: the date is marked uncertain." if session.date_uncertain else ""
        return desk.said(saved, f"Session started on {session.surface}.{offer}{uncertain}", "changed", doubtful=session.date_uncertain)

    def end_session(self) -> Echo:
        """Close the visit; an open block is kept as it is, marked abandoned unless it was complete."""
        desk = self._desk
        session = desk.session
        if session is None:
            raise Refused("No session runs.")
        at, count = desk.at(), len(desk.standing)
        saved = desk.write(lambda book: book.end_session(session.id, at))
        desk.session = None
        return desk.said(saved, f"Session ended: {count} balls.", "changed")


def _time(text: str) -> datetime | None:
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        return None


def _checked(prescription: Prescription) -> Prescription:
    """A prescription whose numbers are on their scales. Raises OffScale."""
    window = scales.number("window", prescription.window_deg, 0.5, 10, "deg")
    wide = scales.number("wide edge", prescription.wide_deg, 1, 30, "deg")
    if wide <= window:
        raise OffScale("wide edge", f"The wide edge must lie outside the window of {window:g} deg.")
    if prescription.wrist_limit_bow is not None:
        scales.bow(prescription.wrist_limit_bow)
    scales.number("ball cap", prescription.ball_cap, 5, 300, "balls")
    return prescription
