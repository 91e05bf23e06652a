"""Acts on balls: hit, amend, number, un-count, note, undo, re-label. Each commits before it answers."""

from __future__ import annotations

from typing import Any

from rangelog.core import scales
from rangelog.core.ball import Ball
from rangelog.core.entry import EntryKind, clean_note, parse
from rangelog.core.errors import OffScale, Refused
from rangelog.core.flight import Flight
from rangelog.core.units import angle, notches
from rangelog.core.words import Curve, Reason, Side, Strike
from rangelog.logbook import corrections, spoken
from rangelog.logbook.desk import Desk
from rangelog.logbook.planning import Planning
from rangelog.logbook.tee_state import Act
from rangelog.logbook.view import Echo

UNCOUNTED_WARNING_SHARE = 0.2
UNCOUNTED_WARNING_BALLS = 10


class Hitting:
    """Balls: one act, one transaction, one echo."""

    def __init__(self, desk: Desk, planning: Planning) -> None:
        self._desk = desk
        self._planning = planning

    def hit(self, flight: Flight) -> Echo:
        """Store a ball with the stated setup. A ball without a stated setup is stored un-counted, "setup unknown"."""
        desk = self._desk
        if desk.session is None:
            raise Refused("No session runs.", "Start one first.")
        self._planning.before_ball()
        setup = desk.state.setup
        reason = Reason.NOT_SEEN if not flight.seen else None if setup.stated else Reason.SETUP_UNKNOWN
        ball = Ball(
            id=desk.new_id(),
            session_id=desk.session.id,
            seq=desk.next_seq,
            at=desk.at(),
            setup=setup,
            block_id=desk.block.id if desk.block else "",
            prescription_id=desk.prescription.id if desk.prescription else "",
            side=flight.side,
            height=flight.height,
            counted=reason is None,
            reason=reason,
            **self._planning.planned_ball(),
        )
        text = spoken.flight(ball)
        after = desk.state.acted(Act("hit", ball.id, text)).stating(self._planning.next_setup(ahead=1))
        saved = desk.add_ball(ball, after)
        if reason is Reason.SETUP_UNKNOWN:
            return desk.said(saved, f"Ball {ball.seq}: {text}. Setup unknown, so not counted.", question="setup")
        return desk.said(saved, f"Ball {ball.seq}: {text}.")

    def last(self) -> Ball:
        """The ball that the amending keys speak of. Raises Refused before the first."""
        ball = self._desk.last
        if ball is None:
            raise Refused("No ball yet.", "Hit one first.")
        return ball

    def amend(self, *, strike: Strike | None = None, curve: Curve | None = None, touched: bool | None = None) -> Echo:
        """Complete the last ball with what was seen of it."""
        ball = self.last()
        given = {"strike": strike, "curve": curve, "touched": touched}
        changes = {name: value for name, value in given.items() if value is not None}
        return self._correct(
            [(ball, changes)], ", ".join("stick touched" if name == "touched" else str(value) for name, value in changes.items())
        )

    def _correct(self, changes: list[tuple[Ball, dict[str, Any]]], text: str, reason: str = "", **more: Any) -> Echo:
        saved = self._desk.edit(changes, text=text, reason=reason)
        after = self._desk.last
        shown = f"Ball {after.seq}: {spoken.flight(after)}." if after and len(changes) == 1 and changes[0][0].id == after.id else text
        return self._desk.said(saved, more.pop("shown", shown), **more)

    def number(self, text: str) -> Echo:
        """Give the last ball a number. A side is never guessed: where neither sign nor class tells it, the side is asked for.

        Raises:
            OffScale: the text is no legal number; the ball is unchanged.
        """
        ball = self.last()
        entry = parse(text)
        if entry.kind is EntryKind.LAUNCH:
            return self._correct([(ball, {"launch_deg": entry.value})], f"launch {entry.value:g} deg")
        if entry.kind is EntryKind.APEX:
            return self._correct([(ball, {"apex_m": round(entry.value, 2)})], f"apex {entry.value:.1f} m")
        if not entry.sided:
            side = _keyed_side(ball.side)
            if not side:
                return Echo(f"{entry.value:g} left or right? Type {entry.value:g}L or {entry.value:g}R.", "asked", question="side")
            entry = entry.toward(side)
        return self._start(ball, entry.value)

    def _start(self, ball: Ball, start_deg: float) -> Echo:
        window, wide = self._edges()
        changes: dict[str, Any] = {"start_deg": start_deg}
        seen_as = scales.side_of(start_deg, window, wide)
        if ball.side is None:
            changes["side"] = seen_as
            if ball.reason is Reason.NOT_SEEN:
                changes |= {"counted": True, "reason": None} if ball.setup.stated else {"reason": Reason.SETUP_UNKNOWN}
        spoken_start = angle(start_deg)
        if abs(start_deg) > scales.START_DOUBTFUL_DEG:
            return self._correct([(ball, changes)], spoken_start, shown=f"{abs(start_deg):g} deg - shank? mark strike", doubtful=True)
        if ball.side is not None and ball.side is not seen_as and ball.start_deg is None:
            return self._correct(
                [(ball, changes)], spoken_start, shown=f"{spoken_start} but keyed {ball.side}. The number is used.", doubtful=True
            )
        return self._correct([(ball, changes)], spoken_start)

    def _edges(self) -> tuple[float, float]:
        prescription = self._desk.prescription
        if prescription is None:
            return scales.DEFAULT_WINDOW_DEG, scales.DEFAULT_WIDE_DEG
        return prescription.window_deg, prescription.wide_deg

    def uncount(self, reason: Reason | str) -> Echo:
        """Leave the last ball out of fits. Where it went is never a reason. Raises OffScale."""
        try:
            checked = scales.word("reason", reason, Reason, Reason.choices())
        except OffScale as error:
            raise OffScale("reason", "Where the ball went is no reason.", str(error)) from None
        ball = self.last()
        echo = self._correct(
            [(ball, {"counted": False, "reason": checked})], f"not counted: {checked}", shown=f"Ball {ball.seq} not counted: {checked}."
        )
        today = self._desk.standing
        left_out = [other for other in today if not other.counted]
        if len(today) >= UNCOUNTED_WARNING_BALLS and len(left_out) > UNCOUNTED_WARNING_SHARE * len(today):
            return Echo(
                f"{echo.text} {len(left_out)} of {len(today)} are not counted: the review shows the bias both ways.",
                echo.kind,
                doubtful=True,
            )
        return echo

    def recount(self) -> Echo:
        """Count the last ball again. Raises Refused where its setup or its start is unknown."""
        ball = self.last()
        if not ball.setup.stated or not ball.seen:
            raise Refused("This ball cannot count: " + ("its setup is unknown." if not ball.setup.stated else "it was not seen."))
        return self._correct([(ball, {"counted": True, "reason": None})], "counted again", shown=f"Ball {ball.seq} counts again.")

    def note(self, text: str) -> Echo:
        """Add the player's words to the last ball; control codes are stripped."""
        ball = self.last()
        cleaned = clean_note(text)
        if not cleaned:
            raise OffScale("note", "The note is empty.", "Nothing was changed.")
        whole = clean_note(f"{ball.note}; {cleaned}" if ball.note else cleaned)
        return self._correct([(ball, {"note": whole})], "note", shown=f"Noted on ball {ball.seq}.")

    def felt_bow(self, value: float) -> Echo:
        """What the bow felt like; the intended bow stays as it was. Raises OffScale."""
        ball = self.last()
        felt = scales.bow(value)
        return self._correct([(ball, {"felt_bow": felt})], f"felt {notches(felt)}", shown=f"Ball {ball.seq} felt like bow {notches(felt)}.")

    def comfort(self, value: int) -> Echo:
        """Comfort of the last ball's setting, 1-5. Raises OffScale."""
        ball = self.last()
        comfort = corrections.checked("comfort", value)
        return self._correct([(ball, {"comfort": comfort})], f"comfort {comfort}", shown=f"Comfort {comfort} of 5 on ball {ball.seq}.")

    def undo(self) -> Echo:
        """Take back the newest act, and say which. Raises NothingToUndo."""
        act = self._desk.take_back()
        self._planned_again(act)
        return self._desk.said(not self._desk.unsaved, f"Taken back: {act.text}.")

    def redo(self) -> Echo:
        """Bring back the newest act that was taken back. Raises NothingToUndo."""
        act = self._desk.bring_back()
        self._planned_again(act)
        return self._desk.said(not self._desk.unsaved, f"Brought back: {act.text}.")

    def _planned_again(self, act: Act) -> None:
        """A ball taken back, or brought back, moves the plan of a drawn block by one ball: the setup goes with it."""
        setup = self._planning.next_setup(ahead=0)
        if act.kind == "hit" and setup != self._desk.state.setup:
            self._desk.save_state(self._desk.state.stating(setup))

    def relabel(self, last: int, *, bow: float | None = None, grip: float | None = None, reason: str) -> Echo:
        """State the intended setting of the last balls anew, because a change was forgotten. One act; the old values stay on record.

        Raises:
            OffScale: a value off its scale.
            Refused: no reason given, or fewer balls than asked for.
        """
        why = clean_note(reason)
        if not why:
            raise Refused("A re-label needs a reason.", "For example: forgot.")
        given = {name: corrections.checked(name, value) for name, value in (("bow", bow), ("grip", grip)) if value is not None}
        balls = self._desk.standing[-last:] if last > 0 else []
        if not given or len(balls) < last or not balls:
            raise Refused(f"There are {len(self._desk.standing)} balls to re-label, and a bow or a grip is needed.")
        changes = [(ball, given | _now_known(ball, given)) for ball in balls]
        spoken_given = ", ".join(f"{name} {value:g}" for name, value in given.items())
        return self._correct(
            changes, f"re-label of {last} to {spoken_given}", why, shown=f"Last {last} re-labelled: {spoken_given} ({why})."
        )

    def edit_ball(self, ball_id: str, name: str, value: Any, reason: str = "") -> Echo:
        """Correct one field of any of today's balls.

        Raises:
            OffScale: a value off its scale. Refused: an intended setup without a reason, or an unknown ball.
        """
        ball = next((ball for ball in self._desk.standing if ball.id == ball_id), None)
        if ball is None:
            raise Refused("That ball is not in this session.")
        if name in corrections.SETUP_FIELDS and not clean_note(reason):
            raise Refused("Changing the intended setup needs a reason.", "What it felt like goes to the felt bow.")
        if name == "reason":
            raise OffScale("reason", "A ball is left out, or counted again, as one act of its own.")
        checked = corrections.checked(name, value)
        if name == "club_id" and checked not in self._desk.clubs:
            raise Refused("That club is not in the bag.", "Add it first.")
        return self._correct(
            [(ball, {name: checked})], f"{name} of ball {ball.seq}", clean_note(reason), shown=f"Ball {ball.seq} corrected."
        )

    def correct_aim(self, line_deg: float) -> Echo:
        """The aim line pointed beside the target: balls hit along it gain a correction, raw values stay, undo restores the first picture.

        Balls that an earlier correction of today speaks of keep theirs: the line was laid again after them.

        Args:
            line_deg: where the line pointed against the target, + = right, - = left.

        Raises:
            OffScale: off the scale of starts. Refused: no ball was hit along this line.
        """
        correction = -scales.start_deg(line_deg)
        today = self._desk.standing
        laid = next((at + 1 for at in reversed(range(len(today))) if today[at].aim_correction_deg), 0)
        if not today:
            raise Refused("No ball yet.", "Hit one first.")
        if not today[laid:]:
            raise Refused("These balls are corrected already.", "Undo takes the correction back.")
        changes = [(ball, {"aim_correction_deg": correction}) for ball in today[laid:]]
        saved = self._desk.edit(changes, text=f"aim line {angle(line_deg)}", reason="aim line re-laid")
        return self._desk.said(saved, f"{len(changes)} balls corrected: the line pointed {angle(line_deg)}. Raw values stay.")


def _keyed_side(side: Side | None) -> str:
    if side in (Side.LEFT, Side.FAR_LEFT):
        return "left"
    return "right" if side in (Side.RIGHT, Side.FAR_RIGHT) else ""


def _now_known(ball: Ball, given: dict[str, Any]) -> dict[str, Any]:
    """A ball whose setup was unknown counts once both levers are stated."""
    bow, grip = given.get("bow", ball.setup.bow), given.get("grip", ball.setup.grip)
    if ball.reason is Reason.SETUP_UNKNOWN and bow is not None and grip is not None:
        return {"counted": True, "reason": None}
    return {}
