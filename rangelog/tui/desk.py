"""Between the keys and the logbook: what an act does, and what it asks first. No terminal in it; screen and plain mode share it.

The forms are imported when the first of them is asked, so that the tee does not wait for them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from rangelog.core.ball import Ball
from rangelog.core.errors import RangelogError
from rangelog.core.words import Reason, Swing
from rangelog.logbook.view import Echo, TeeView
from rangelog.tui.actions import BY_ID, CURVES, FLIGHTS, STRIKES, applies
from rangelog.tui.bounce import BounceGuard
from rangelog.tui.door import Book

if TYPE_CHECKING:
    from rangelog.tui.forms import Answers, Form

AGAIN = "again"
LEAVE = "leave"


@dataclass(frozen=True, slots=True, eq=False)
class Reply:
    """What comes back from an act.

    Attributes:
        echo: one line for the player, None where there is nothing to say.
        form: questions to ask; their answers go to `Desk.answer`.
        open: a screen to open: "why", "help", "menu", "balls", "glossary", "cautions", "plan", "calculator gate" and its like,
            "look", "units", "pause", "large letters", "key hints", "next", "back", "quit".
    """

    echo: Echo | None = None
    form: Form | None = None
    open: str = ""


def refused(text: str) -> Reply:
    return Reply(Echo(text, "refused"))


def _already(view: TeeView, word: str) -> Reply:
    """What is known is not written again, and not passed over in silence."""
    return Reply(Echo(f"Ball {view.last.seq if view.last else 0}: {word} already."))


@dataclass(slots=True)
class Desk:
    """Does acts on a logbook.

    Attributes:
        book: the logbook.
        clock: seconds, monotonic; handed in so that time is a fixture.
        question: the id of the open yes-or-no question, empty where none is.
    """

    book: Book
    clock: Callable[[], float]
    guard: BounceGuard = field(default_factory=BounceGuard)
    question: str = ""
    _again: str = ""
    _number: str = ""

    def press(self, action_id: str | None, key: str) -> Reply:
        """A key, with the act it stands for, None where it stands for none.

        Bounces are caught, open questions answered, then the act is done. A key without an act only closes a question.
        """
        fresh = self.guard.fresh(key, self.clock())
        if action_id is not None and BY_ID[action_id].guarded and not fresh:
            return self._bounced(action_id)
        question, again = self.question, self._again
        self.question = self._again = ""
        if question == AGAIN and key == "space":
            return self.do(again)
        if question == LEAVE and (key == "enter" or action_id == "log.quit"):
            return Reply(open="quit")
        if question and action_id in (None, "log.back"):
            return Reply(Echo("Staying." if question == LEAVE else "One ball."))
        return self.do(action_id) if action_id is not None else Reply()

    def _bounced(self, action_id: str) -> Reply:
        if action_id == "ball.undo":
            return Reply(Echo("One step taken back. Let go, then press again.", "asked"))
        self.question, self._again = AGAIN, action_id
        return Reply(Echo("Same key: another ball? Space yes, other keys no.", "asked", AGAIN))

    def do(self, action_id: str) -> Reply:
        """An act by its name, with every refusal turned into one line."""
        view = self.book.view()
        action = BY_ID[action_id]
        if not applies(action, view):
            return refused(self._why_not(action.needs, view))
        try:
            return self._do(action_id, view)
        except RangelogError as problem:
            return refused(str(problem))

    @staticmethod
    def _why_not(needs: frozenset[str], view: TeeView) -> str:
        if "writable" in needs and view.read_only:
            return "This book is open read-only: nothing can be changed here."
        words = {
            "last": "No ball yet.",
            "undo": "Nothing to undo.",
            "redo": "Nothing to bring back.",
            "proposal": "The hint proposes no setup.",
            "block": "No block is running.",
            "unsaved": "Everything is saved.",
            "due": "Nothing is due.",
        }
        return next((words[need] for need in words if need in needs), "Not now.")

    def _do(self, action_id: str, view: TeeView) -> Reply:
        book = self.book
        if action_id in FLIGHTS:
            if view.read_only:
                return refused("This book is open read-only: the ball is not stored.")
            return Reply(book.hit(FLIGHTS[action_id]))
        if action_id in STRIKES:
            strike = STRIKES[action_id]
            return _already(view, strike) if view.last and view.last.strike is strike else Reply(book.amend(strike=strike))
        if action_id in CURVES:
            curve = CURVES[action_id]
            return _already(view, curve) if view.last and view.last.curve is curve else Reply(book.amend(curve=curve))
        simple = self._simple(view).get(action_id)
        if simple is not None:
            return Reply(simple())
        form = self._forms(view).get(action_id)
        if form is not None:
            return Reply(form=form())
        if action_id == "log.back" or (action_id == "log.quit" and view.unsaved):
            self.question = LEAVE
            risk = f"{view.unsaved} NOT SAVED would be lost. " if view.unsaved else ""
            return Reply(Echo(f"Leave the log? {risk}Enter leaves, any other key stays.", "asked", LEAVE))
        if action_id == "range.new_session":
            from rangelog.tui import visit_questions

            return Reply(form=visit_questions.session_start(book.view(), book.clubs()))
        return Reply(open=_OPENS[action_id])

    def _simple(self, view: TeeView) -> dict[str, Callable[[], Echo]]:
        """Acts that need no answer."""
        book = self.book
        acts: dict[str, Callable[[], Echo]] = {
            "setup.bow_more": lambda: book.step("bow", 1),
            "setup.bow_less": lambda: book.step("bow", -1),
            "setup.half_more": lambda: book.step("bow", 1, half=True),
            "setup.half_less": lambda: book.step("bow", -1, half=True),
            "setup.grip_weaker": lambda: book.step("grip", -1),
            "setup.grip_stronger": lambda: book.step("grip", 1),
            "setup.position_back": lambda: book.step("position", -1),
            "setup.position_forward": lambda: book.step("position", 1),
            "setup.take_hint": book.take_hint,
            "setup.stick": lambda: book.set_setup(stick=not view.setup.stick),
            "ball.touched": lambda: book.amend(touched=not (view.last is not None and view.last.touched)),
            "ball.undo": book.undo,
            "ball.redo": book.redo,
            "range.block_end": book.end_block,
            "log.save_again": book.retry_unsaved,
        }
        if view.last is not None and not view.last.counted and view.last.reason in Reason.choices():
            acts["ball.uncount"] = book.recount
        return acts

    def _forms(self, view: TeeView) -> dict[str, Callable[[], Form]]:
        """Acts that ask first."""
        from rangelog.tui import questions, visit_questions

        book = self.book
        return {
            "setup.type": lambda: questions.setting(view),
            "setup.club": lambda: visit_questions.club(book.clubs(), view.setup.club_id),
            "setup.swing": lambda: visit_questions.swing(view),
            "setup.ground": lambda: visit_questions.ground(view),
            "ball.number": lambda: questions.number_form(book.number_hint()),
            "ball.uncount": questions.uncount,
            "ball.note": questions.note,
            "ball.felt": lambda: questions.felt(view),
            "ball.comfort": questions.comfort,
            "ball.relabel": lambda: questions.relabel(view),
            "range.pain": questions.pain,
            "range.block": lambda: visit_questions.block(*book.proposed_block()),
            "range.due": lambda: self._kind(view.due),
            "range.kit": lambda: self._kind("kit"),
            "range.body": lambda: self._kind("body"),
            "range.aim": questions.aim,
            "range.prescription": lambda: visit_questions.prescription(view),
            "log.save_elsewhere": visit_questions.save_elsewhere,
        }

    def _kind(self, name: str) -> Form:
        from rangelog.tui.forms import from_kind

        kind, given = self.book.open_form(name)
        return from_kind(kind, given)

    def opening(self) -> Form | None:
        """What must be asked before the tee can be used, None where nothing must."""
        book = self.book
        if book.view().read_only or not (book.needs_first_start or book.needs_session):
            return None
        from rangelog.tui import visit_questions

        if book.needs_first_start:
            return visit_questions.first_start(book.cautions())
        return visit_questions.session_start(book.view(), book.clubs())

    def answer(self, form: Form, answers: Answers) -> Reply:
        """Take the answers of a form, with every refusal turned into one line."""
        try:
            return self._answer(form.id, dict(answers))
        except RangelogError as problem:
            return refused(str(problem))

    def _answer(self, form_id: str, given: Answers) -> Reply:
        book = self.book
        if form_id == "number":
            self._number = str(given["text"])
            return self._numbered(book.number(self._number))
        if form_id == "number_side":
            return self._numbered(book.number(f"{self._number} {given['side']}"))
        if form_id == "session_start":
            if given.get("swing") == Swing.FULL:
                given["stick"] = False
            if not book.needs_session:
                book.end_session()  # only now: a form that is dropped leaves the running session as it was
        if form_id == "club":
            return self._club(given)
        if form_id == "aim":
            size = float(given["size"] or 0.0)
            return Reply(book.correct_aim(-size if given["side"] == "left" else size))
        if form_id == "comfort":
            return Reply(book.comfort(int(str(given["value"]))))
        if form_id == "uncount":
            return Reply(book.uncount(Reason(str(given["reason"]))))
        if form_id == "pain":
            return Reply(book.pain(str(given["site"]), int(given["level"] or 0), bool(given.get("sharp"))))
        if form_id.startswith("kind."):
            return Reply(book.save_form(form_id.removeprefix("kind."), given))
        calls: dict[str, Callable[..., Echo]] = {
            "first_start": book.first_start,
            "session_start": book.start_session,
            "note": book.note,
            "felt": book.felt_bow,
            "relabel": book.relabel,
            "setting": book.set_setup,
            "swing": book.set_setup,
            "ground": book.set_setup,
            "block": book.start_block,
            "prescription": book.revise_prescription,
            "save_elsewhere": book.save_elsewhere,
        }
        echo = calls[form_id](**given)
        return Reply(echo, form=self.opening() if form_id == "first_start" else None)

    def edit(self, ball: Ball, given: Answers) -> Reply:
        """Correct one field of one ball of the list, for a reason."""
        name = str(given["field"])
        try:
            return Reply(self.book.edit_ball(ball.id, name, given[name], str(given["reason"])))
        except RangelogError as problem:
            return refused(str(problem))

    def _numbered(self, echo: Echo) -> Reply:
        from rangelog.tui import questions

        return Reply(echo, form=questions.number_side() if echo.question == "side" else None)

    def _club(self, given: Answers) -> Reply:
        if given["club_id"]:
            return Reply(self.book.set_setup(club_id=given["club_id"]))
        loft = given.get("loft_deg")
        echo = self.book.add_club(str(given["name"]), None if loft is None else float(loft))
        new = self.book.clubs()
        return Reply(self.book.set_setup(club_id=new[-1].id)) if new else Reply(echo)


_OPENS = {
    "range.plan": "plan",
    "range.pause": "pause",
    "calculator.gate": "calculator gate",
    "calculator.wrist": "calculator wrist",
    "calculator.loft": "calculator loft",
    "calculator.ball_position": "calculator ball position",
    "log.why": "why",
    "log.next_screen": "next",
    "log.menu": "menu",
    "log.help": "help",
    "log.balls": "balls",
    "log.review": "review",
    "log.glossary": "glossary",
    "log.cautions": "cautions",
    "log.look": "look",
    "log.units": "units",
    "log.large": "large letters",
    "log.key_hints": "key hints",
    "log.quit": "quit",
}
