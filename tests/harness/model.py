"""What must be in the book, in plain lists beside the log: a simple model that knows keys and answers, nothing of rows or edits."""

from collections.abc import Mapping
from typing import Any

from rangelog.core.entry import clean_note
from rangelog.core.flight import Flight
from rangelog.core.scales import DEFAULT_WIDE_DEG, DEFAULT_WINDOW_DEG, side_of
from rangelog.core.setup import Setup

Row = dict[str, Any]
FIELDS = (
    "seq", "side", "height", "strike", "curve", "touched", "counted", "reason", "voided", "note", "felt_bow", "comfort", "start_deg",
    "launch_deg", "apex_m", "aim_correction_deg", "bow", "grip", "position_balls",
)  # fmt: skip
Act = dict[int, tuple[Mapping[str, Any], Mapping[str, Any]]]
"""Places of balls in the session, each with what the act took away and what it gave."""
KEPT_ACTS = 400
"""Acts that undo goes back at most."""


class Model:
    """The balls of every session, and the acts of the present one that undo and redo go through."""

    def __init__(self) -> None:
        self.over: list[list[Row]] = []
        self.now: list[Row] = []
        self.running = False
        self.edges = DEFAULT_WINDOW_DEG, DEFAULT_WIDE_DEG
        self.done: list[Act] = []
        self.undone: list[Act] = []

    @property
    def standing(self) -> list[Row]:
        return [row for row in self.now if not row["voided"]]

    @property
    def last(self) -> Row | None:
        return self.standing[-1] if self.standing else None

    def sessions(self) -> list[list[Row]]:
        """Balls of every session that has any, in order."""
        return [balls for balls in (*self.over, self.now) if balls]

    def session(self) -> None:
        """A session begins."""
        self.over.append(self.now)
        self.now, self.running, self.done, self.undone = [], True, [], []

    def reopened(self) -> None:
        """Opened again: what is over cannot be taken back any more."""
        if not self.running:
            self.session()
            self.running = False

    def hit(self, flight: Flight, setup: Setup) -> None:
        """A ball with the setup on show; the first one after a session that ended begins another, and its setup is not yet stated."""
        if not self.running:
            self.session()
            setup = Setup()
        row: Row = dict.fromkeys(FIELDS)
        row |= {"seq": len(self.now) + 1, "side": flight.side, "height": flight.height, "touched": False, "voided": False, "note": ""}
        row |= {"aim_correction_deg": 0.0, "bow": setup.bow, "grip": setup.grip, "position_balls": setup.position_balls}
        known = setup.bow is not None and setup.grip is not None
        row["reason"] = "not seen" if flight.side is None else None if known else "setup unknown"
        row["counted"] = row["reason"] is None
        self.now.append(row)
        self._act({len(self.now) - 1: ({"voided": True}, {"voided": False})})

    def change(self, changes: Mapping[int, Mapping[str, Any]]) -> None:
        """Other values of some balls, by place in `now`; one act, unless nothing differs."""
        if any(self.now[at][name] != value for at, given in changes.items() for name, value in given.items()):
            self._act({at: ({name: self.now[at][name] for name in given}, given) for at, given in changes.items()})
            for at, given in changes.items():
                self.now[at] |= given

    def change_last(self, **given: Any) -> None:
        """Other values of the last ball."""
        if self.last is not None:
            self.change({self.last["seq"] - 1: given})

    def _act(self, act: Act) -> None:
        self.done = [*self.done, act][-KEPT_ACTS:]
        self.undone = []

    def undo(self) -> None:
        """What the newest act took away is there again; a ball stays, marked as taken back."""
        if self.done:
            self.undone.append(self.done.pop())
            for at, (taken, _) in self.undone[-1].items():
                self.now[at] |= taken

    def redo(self) -> None:
        """What the newest undo took back is there again."""
        if self.undone:
            self.done.append(self.undone.pop())
            for at, (_, given) in self.done[-1].items():
                self.now[at] |= given

    # answers of the forms

    def number(self, text: str) -> None:
        """One of the numbers that the fuzz types and the log takes."""
        last, given = self.last, {}
        assert last is not None
        if text.startswith("launch"):
            given = {"launch_deg": float(text.split()[1])}
        elif text.startswith("apex"):
            given = {"apex_m": float(text.split()[1])}
        else:
            # a number without a sign or a letter lies on the side that was keyed
            keyed_left = text[0] not in "+-" and text[-1] not in "LR" and last["side"] in ("left", "far left")
            start = float(text.strip("LR")) * (-1 if text.endswith("L") or keyed_left else 1)
            given = {"start_deg": start}
            if last["side"] is None:
                given["side"] = side_of(start, *self.edges)
                if last["reason"] == "not seen":
                    known = last["bow"] is not None and last["grip"] is not None
                    given |= {"counted": True, "reason": None} if known else {"reason": "setup unknown"}
        self.change_last(**given)

    def note(self, text: str) -> None:
        """Words are added to those that are there."""
        assert self.last is not None
        cleaned = clean_note(text)
        self.change_last(note=clean_note(f"{self.last['note']}; {cleaned}" if self.last["note"] else cleaned))

    def relabel(self, count: int, bow: float | None, grip: float | None) -> None:
        """Another intended setting for the last balls."""
        given = {name: value for name, value in (("bow", bow), ("grip", grip)) if value is not None}
        changes = {}
        for row in self.standing[-count:]:
            new = {**row, **given}
            known = row["reason"] == "setup unknown" and new["bow"] is not None and new["grip"] is not None
            changes[row["seq"] - 1] = given | ({"counted": True, "reason": None} if known else {})
        self.change(changes)

    def aim(self, size: float, side: str) -> None:
        """Starts read along a line that pointed elsewhere, as far back as no earlier correction reaches."""
        laid = max((row["seq"] for row in self.standing if row["aim_correction_deg"]), default=0)
        value = size if side == "left" else -size
        self.change({row["seq"] - 1: {"aim_correction_deg": value} for row in self.standing if row["seq"] > laid})
