"""A logbook in memory, for tests of the screen alone: invented players and balls, no file, no model."""

from dataclasses import replace
from typing import Any

from rangelog.core import scales
from rangelog.core.ball import Ball
from rangelog.core.errors import NothingToUndo, OffScale
from rangelog.core.flight import Flight
from rangelog.core.player import Club, Player, Prescription
from rangelog.core.results import Crossing, Hint, Setting
from rangelog.core.session import Block, Session
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Reason, Side
from rangelog.journey.cautions import FIRST_START
from rangelog.journey.forms import FORMS, FormKind
from rangelog.logbook.view import Echo, Mark, Picture, TeeView

AT = "2026-05-02T17:42:00+02:00"


class FakeBook:
    """Keeps balls in a list and every call in `calls`. `failing` makes the next stores fail."""

    def __init__(self, *, fresh: bool = False, bow: float | None = 1.0, grip: float | None = 30.0) -> None:
        self.calls: list[str] = []
        self.player = None if fresh else Player("p1")
        self.bag = [] if fresh else [Club("c1", "iron", 28.0)]
        self.session = None if fresh else Session("s1", AT)
        self.setup = Setup(bow=bow, grip=grip, club_id="" if fresh else "c1")
        self.stored: list[Ball] = []
        self.history: list[list[Ball]] = []
        self.future: list[list[Ball]] = []
        self.hint: Hint | None = Hint(
            "bracketed", "BOW 2", "Bracketed 0 to 4. Try 2.", "crosses at 2.2 ±0.4   on line there about 5 in 10",
            why=("8 balls at two bows", "runner-up: not enough"), setting=Setting(2.0, 30.0),
        )  # fmt: skip
        self.crossing: Crossing | None = None
        self.block: Block | None = Block("b1", "s1", 1, BlockKind.BOW_BRACKET, 20)
        self.read_only = False
        self.notice = ""
        self.failing = False
        self.unsaved = 0
        self.loaded = False
        self.resume_text = ""
        self.due = ""

    @property
    def model_ready(self) -> bool:
        return self.loaded

    @property
    def needs_first_start(self) -> bool:
        return self.player is None

    @property
    def needs_session(self) -> bool:
        return self.session is None

    def close(self) -> None:
        self.calls.append("close")

    def load_model(self) -> None:
        self.loaded = True

    def cautions(self) -> tuple[str, ...]:
        return FIRST_START

    def view(self) -> TeeView:
        marks = tuple(
            Mark(ball.setup.bow, side, ball.start_deg, ball.counted, ball is self.stored[-1])
            for ball in self.stored[-200:]
            if ball.setup.bow is not None and (side := ball.shown_side()) is not None
        )
        return TeeView(
            player=self.player,
            club=next((club for club in self.bag if club.id == self.setup.club_id), None),
            prescription=Prescription("r1") if self.player else None,
            session=self.session,
            block=self.block if self.session else None,
            setup=self.setup,
            stated=self.setup.stated,
            last=self.stored[-1] if self.stored else None,
            hint=self.hint,
            ball_number=len(self.stored),
            block_hit=len(self.stored),
            picture=Picture(marks, self.crossing, grip=self.setup.grip),
            unsaved=self.unsaved,
            can_undo=bool(self.history),
            can_redo=bool(self.future),
            read_only=self.read_only,
            notice=self.notice,
            due=self.due,
        )

    def first_start(self, **fields: Any) -> Echo:
        self.calls.append(f"first_start {fields['hand']} {fields['lead_hand']} {fields['loft_deg']}")
        self.player = Player("p1", fields["code"])
        self.bag = [Club("c1", fields["club_name"], fields["loft_deg"])]
        self.setup = replace(self.setup, club_id="c1")
        return Echo("Book opened.")

    def start_session(self, **fields: Any) -> Echo:
        self.calls.append(f"start_session {fields['surface']} {fields['stick']}")
        self.session = Session("s1", AT)
        self.setup = replace(self.setup, swing=fields["swing"], stick=fields["stick"])
        return Echo("Session started.")

    def end_session(self) -> Echo:
        self.calls.append("end_session")
        self.session = None
        return Echo("Session ended.")

    def _store(self, balls: list[Ball], text: str) -> Echo:
        self.history.append(self.stored)
        self.stored, self.future = balls, []
        if self.failing:
            self.unsaved += 1
            return Echo("The disk is full. The ball is kept in memory.", "not saved")
        return Echo(text, "saved")

    def hit(self, flight: Flight) -> Echo:
        number = len(self.stored) + 1
        self.calls.append(f"hit {flight.side} {flight.height}")
        known = self.setup.stated and flight.seen
        reason = None if known else Reason.SETUP_UNKNOWN if flight.seen else Reason.NOT_SEEN
        ball = Ball(f"x{number}", "s1", number, AT, self.setup, side=flight.side, height=flight.height, counted=known, reason=reason)
        return self._store([*self.stored, ball], f"Ball {number}: {flight.side or 'not seen'}.")

    def amend(self, strike: Any = None, curve: Any = None, touched: bool | None = None) -> Echo:
        last = self.stored[-1]
        changed = replace(
            last, strike=strike or last.strike, curve=curve or last.curve, touched=last.touched if touched is None else touched
        )
        self.calls.append(f"amend {strike or curve or touched}")
        return self._store([*self.stored[:-1], changed], f"Ball {last.seq}: {strike or curve or 'stick touched'}.")

    def _amended(self, text: str, **fields: Any) -> Echo:
        return self._store([*self.stored[:-1], replace(self.stored[-1], **fields)], text)

    def number_hint(self) -> str:
        return "-5 or 5 left, launch 14, apex 9 m, offset 2 m at 50 m"

    def number(self, text: str) -> Echo:
        self.calls.append(f"number {text}")
        folded = text.replace(",", ".").replace(" ", "").upper()
        if folded.replace(".", "").isdecimal():
            return Echo("Left or right?", "asked", "side")
        try:
            value = -float(folded[:-1]) if folded.endswith("L") else float(folded[:-1]) if folded.endswith("R") else float(folded)
        except ValueError:
            raise OffScale("start", "Start runs -45 to 45 deg.") from None
        return self._amended(f"{abs(value):g} {'left' if value < 0 else 'right'}.", start_deg=scales.start_deg(value))

    def uncount(self, reason: Reason) -> Echo:
        self.calls.append(f"uncount {reason}")
        return self._amended(f"Left out: {reason}.", counted=False, reason=reason)

    def recount(self) -> Echo:
        self.calls.append("recount")
        return self._amended("Counted again.", counted=True, reason=None)

    def note(self, text: str) -> Echo:
        self.calls.append(f"note {text}")
        return self._amended("Note kept.", note=text)

    def felt_bow(self, value: float) -> Echo:
        return self._amended(f"Felt like bow {value:g}.", felt_bow=value)

    def comfort(self, value: int) -> Echo:
        return self._amended(f"Comfort {value}.", comfort=value)

    def pain(self, site: str, level: int, sharp: bool) -> Echo:
        self.calls.append(f"pain {site} {level} {sharp}")
        return Echo(f"Pain {level}, {site}.")

    def undo(self) -> Echo:
        if not self.history:
            raise NothingToUndo("Nothing to undo.")
        self.calls.append("undo")
        self.future.append(self.stored)
        self.stored = self.history.pop()
        return Echo("Taken back.")

    def redo(self) -> Echo:
        self.calls.append("redo")
        self.history.append(self.stored)
        self.stored = self.future.pop()
        return Echo("Brought back.")

    def relabel(self, last: int, *, bow: float | None = None, grip: float | None = None, reason: str = "") -> Echo:
        self.calls.append(f"relabel {last} {bow} {grip} {reason}")
        return Echo(f"{last} balls re-labelled.")

    def edit_ball(self, ball_id: str, field: str, value: object, reason: str) -> Echo:
        self.calls.append(f"edit {ball_id} {field} {value} {reason}")
        changed = {field: Side(str(value)) if field == "side" else value}
        return self._store([replace(ball, **changed) if ball.id == ball_id else ball for ball in self.stored], "Corrected.")

    def correct_aim(self, deg: float) -> Echo:
        self.calls.append(f"correct_aim {deg:g}")
        return Echo("Corrected.")

    def step(self, lever: str, direction: int, half: bool = False) -> Echo:
        low, high = scales.BOW_RANGE if lever == "bow" else scales.GRIP_RANGE if lever == "grip" else scales.POSITION_RANGE
        name = {"bow": "bow", "grip": "grip", "position": "position_balls"}[lever]
        size = {"bow": 0.5 if half else 1.0, "grip": scales.GRIP_STEP_DEG, "position": scales.POSITION_STEP}[lever]
        value = (getattr(self.setup, name) or 0.0) + direction * size
        if not low <= value <= high:
            raise OffScale(lever, f"{lever.capitalize()} runs {low:g} to {high:g}.", f"Kept {getattr(self.setup, name):g}.")
        self.setup = replace(self.setup, **{name: value})
        return Echo(f"{lever.capitalize()} {value:g}.")

    def set_setup(self, **fields: Any) -> Echo:
        self.calls.append(f"set_setup {fields}")
        self.setup = replace(self.setup, **fields)
        return Echo("Set.")

    def take_hint(self) -> Echo:
        assert self.hint is not None
        assert self.hint.setting is not None
        self.calls.append("take_hint")
        self.setup = self.setup.at(self.hint.setting)
        return Echo(f"Bow {self.setup.bow:g}, grip {self.setup.grip:g}.")

    def clubs(self) -> list[Club]:
        return list(self.bag)

    def add_club(self, name: str, loft_deg: float | None) -> Echo:
        self.bag.append(Club(f"c{len(self.bag) + 1}", name, loft_deg))
        return Echo(f"{name} is in the bag.")

    def revise_prescription(self, **fields: Any) -> Echo:
        self.calls.append(f"revise {sorted(fields)}")
        return Echo("Version 2.")

    def start_block(self, kind: str, planned: int | None = None) -> Echo:
        self.calls.append(f"start_block {kind} {planned}")
        self.block = Block("b2", "s1", 2, BlockKind(kind), planned or 10)
        return Echo(f"{kind} started.")

    def end_block(self) -> Echo:
        self.block = None
        return Echo("Block ended.")

    def proposed_block(self) -> tuple[str, str]:
        return "bow bracket", "Extremes first: least bow, 4 balls."

    def plan_today(self) -> tuple[str, ...]:
        return (
            " 10 baseline: Baseline: 10 balls as you always hit, change nothing.",
            " 20 bow bracket: Extremes first: least bow, 4 balls.",
            "30 balls, 22 to spare under the cap of 60.",
        )

    def open_form(self, name: str) -> tuple[FormKind, dict[str, Any]]:
        return FORMS[name], {}

    def save_form(self, name: str, answers: Any, *, complete: bool = True) -> Echo:
        self.calls.append(f"save_form {name} {len(answers)}")
        return Echo(f"{name}: kept.")

    def why(self) -> tuple[str, ...]:
        return self.hint.why if self.hint else ()

    def balls(self, session_id: str | None = None) -> list[Ball]:
        return self.stored

    def retry_unsaved(self) -> Echo:
        if self.failing:
            return Echo("Still not saved: the disk is full.", "not saved")
        self.unsaved = 0
        return Echo("Saved.", "saved")

    def save_elsewhere(self, path: str) -> Echo:
        self.calls.append(f"save_elsewhere {path}")
        self.unsaved = 0
        return Echo("Saved elsewhere.", "saved")
