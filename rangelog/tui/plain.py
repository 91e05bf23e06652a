"""The log in plain lines: one sentence an event, no drawing, no repaint. For screen readers, pipes and very small terminals."""

from collections.abc import Callable
from typing import TYPE_CHECKING, TextIO

from rangelog.core.errors import RangelogError
from rangelog.core.flight import Flight
from rangelog.core.words import Curve, Strike
from rangelog.logbook.view import Echo
from rangelog.settings import Settings, other_units
from rangelog.tui import pages, phrases, plain_reading, words
from rangelog.tui.actions import ACTIONS, TEE, applies
from rangelog.tui.desk import Desk, Reply
from rangelog.tui.door import Book
from rangelog.tui.draw import bracket
from rangelog.tui.forms import Filling, Form
from rangelog.tui.keymap import KeyMap, fold
from rangelog.tui.words import standing

if TYPE_CHECKING:
    from rangelog.core.ball import Ball
    from rangelog.logbook.showing import Showing

READERS = ("balls", "tab", "ball", "correct", "review", "reviews")
"""Words that are followed by what is to be read, or corrected."""
DROP = ("esc", "escape", "drop")
SHORT_HELP = (
    "Type one key or several and press Enter: each flight key is a ball, the keys after it tell more of it.",
    "Words do as well: right mid solid. Or: bow 2 grip 30, undo, number -5, note wind, balls, ball 3, review.",
    "An empty line says where you are. help lists every act, keys lists the keys, leave ends.",
)


class PlainLog:
    """Reads lines, answers in sentences.

    Args:
        book: the logbook.
        keys: what each key stands for.
        clock: seconds, monotonic.
        notices: lines to say first.
        settings: units and decimal sign.
    """

    def __init__(
        self,
        book: Book,
        keys: KeyMap,
        *,
        clock: Callable[[], float],
        notices: tuple[str, ...] = (),
        settings: Settings | None = None,
    ) -> None:
        self.book = book
        self.settings = settings or Settings()
        self.keys = keys
        self.desk = Desk(book, clock)
        self._notices = notices
        self._form: Filling | None = None
        self._said_hint = ""
        self._out: list[str] = []
        self._open = True
        self._paused = False
        self._corrected: Ball | None = None

    @property
    def showing(self) -> "Showing | None":
        """The player's units and decimal sign; None for those of the file."""
        if self.settings.units == "metric" and self.settings.decimal == "point":
            return None
        from rangelog.tui import units

        return units.showing(self.settings)

    def run(self, source: TextIO, target: TextIO) -> int:
        """Until the lines end or the player leaves. Returns the exit code: 1 where balls could not be saved."""
        self._tell(target, self.start())
        while self._open:
            line = source.readline()
            if not line:
                break
            self._tell(target, self.line(line.rstrip("\r\n")))
        unsaved = self.book.view().unsaved
        if unsaved:
            self._tell(target, [standing(unsaved, "", "")])
        return 1 if unsaved else 0

    @staticmethod
    def _tell(target: TextIO, lines: list[str]) -> None:
        for line in lines:
            target.write(f"{line}\n")
        target.flush()

    def start(self) -> list[str]:
        """What is said before the first line."""
        self._say(*self._notices)
        if self.book.resume_text:
            self._say(self.book.resume_text)
        self._say(*SHORT_HELP)
        form = self.desk.opening()
        if form is not None:
            self._ask(form)
        try:
            self.book.load_model()
        except RangelogError as problem:
            self._say(str(problem))
        if form is None:
            self._where()
        return self._taken()

    def line(self, typed: str) -> list[str]:
        """One line of the player; the sentences it is answered with."""
        self.desk.guard.release()
        if self._form is not None:
            self._fill(typed)
        elif self._paused:
            self._go_on(typed)
        else:
            self._act(typed.strip())
        return self._taken()

    def _taken(self) -> list[str]:
        said, self._out = self._out, []
        return said

    def _say(self, *lines: str) -> None:
        self._out += [words.clean(line, 600) for line in lines if line]

    # acts

    def _act(self, typed: str) -> None:
        folded = " ".join(typed.casefold().replace(",", " ").split())
        head, _, rest = typed.partition(" ")
        if self.desk.question:
            self._answer_question(folded)
        elif not typed:
            self._where()
        elif folded == "keys":
            self._list_keys()
        elif folded in phrases.BY_WORD:
            self._take(self.desk.do(phrases.BY_WORD[folded]))
        elif head.casefold() in READERS and (rest or folded not in phrases.BY_WORD):
            self._read(head.casefold(), " ".join(rest.casefold().split()))
        elif ball := phrases.ball(folded):
            self._ball(*ball)
        elif rest and head.casefold() in ("number", "note"):
            self._answer_at_once(f"ball.{head.casefold()}", rest)
        elif stated := phrases.stated(typed.casefold()):
            self._state(stated)
        else:
            self._press_all(typed)

    def _answer_question(self, folded: str) -> None:
        key = {"y": "space", "yes": "space", "space": "space", "leave": "enter", "enter": "enter"}.get(folded, "")
        if key == "space" and self.desk.question == "leave":
            key = "enter"
        self._take(self.desk.press(None, key))
        if not key and folded not in ("", "n", "no"):
            self._act(folded)

    def _read(self, what: str, asked: str) -> None:
        """The list of balls, one ball, or a review; or the correction of a ball."""
        try:
            if what in ("balls", "tab"):
                self._say(*plain_reading.balls(self.book, asked, self.showing))
            elif what in ("review", "reviews"):
                self._say(*plain_reading.reviews(self.book, asked, self.showing))
            elif what == "ball":
                self._say(*plain_reading.one_ball(self.book, asked, self.showing))
            else:
                self._correct(asked)
        except RangelogError as problem:
            self._say(str(problem))

    def _correct(self, number: str) -> None:
        from rangelog.tui import questions

        ball = plain_reading.find(self.book, number)
        if ball is None or self.book.view().read_only:
            self._say(f"There is no ball {words.clean(number, 20)} in this session." if ball is None else "This book is open read-only.")
            return
        self._corrected = ball
        self._ask(questions.ball_edit())

    def _go_on(self, typed: str) -> None:
        """The end of a pause: an empty line, so that nothing is stored by accident."""
        if typed.strip():
            self._say("Paused. An empty line goes on.")
            return
        self._paused = False
        self._where()

    def _press_all(self, typed: str) -> None:
        """Keys, one ball to a word: a flight key, then what tells more of that ball. Anything else is refused whole."""
        found = [[(key, self.keys.action(key, TEE)) for key in word] for word in typed.split()]
        if not all(phrases.one_ball([action_id for _, action_id in word]) for word in found):
            self._say(f"{typed}: nothing is called that. Type help.")
            return
        for word in found:
            for key, action_id in word:
                if self._form is None and action_id is not None:
                    self._take(self.desk.press(action_id, fold(key)))

    def _ball(self, flight: Flight | None, strike: Strike | None, curve: Curve | None) -> None:
        try:
            if flight is not None:
                self._take(Reply(self.book.hit(flight)))
            if strike is not None or curve is not None:
                self._take(Reply(self.book.amend(strike=strike, curve=curve)))
        except RangelogError as problem:
            self._say(str(problem))

    def _answer_at_once(self, action_id: str, rest: str) -> None:
        reply = self.desk.do(action_id)
        if reply.form is not None and reply.form.fields[0].name == "text":
            reply = self.desk.answer(reply.form, {"text": rest})
        self._take(reply)

    def _state(self, stated: list[tuple[str, str]]) -> None:
        """Bow, grip and ball position as numbers, all or none of them."""
        try:
            values = {phrases.SETUP[name]: float(value.replace(",", ".")) for name, value in stated}
            self._take(Reply(self.book.set_setup(**values)))
        except RangelogError as problem:
            self._say(str(problem))
        except ValueError:
            self._say("Bow, grip and position are numbers, such as bow 2 grip 30.")

    # answers

    def _take(self, reply: Reply) -> None:
        if reply.echo is not None and reply.echo.text:
            self._say(self._shown(_sentence(reply.echo)))
            self._hint()
        if reply.form is not None:
            self._ask(reply.form)
        elif reply.open:
            self._open_page(reply.open)

    def _shown(self, text: str) -> str:
        """A text of the log, not the player's own words: units and decimal sign of the player, signs as words, one pause for a gap."""
        told = self.showing.said(text) if self.showing is not None else text
        return told.replace("   ", "; ").replace("+-", "plus or minus ")

    def _hint(self) -> None:
        """The hint, where it is another than the one said before."""
        hint = self.book.view().hint
        said = f"Hint: {hint.action.lower()}. {hint.words} {hint.numbers}".strip() if hint else ""
        if said and said != self._said_hint:
            self._say(self._shown(said))
        self._said_hint = said

    def _open_page(self, name: str) -> None:
        view = self.book.view()
        if name == "quit":
            self._open = False
            self._say("Left. Every ball is in the book." if not view.unsaved else "Left.")
        elif name in ("menu", "help"):
            self._say(
                *(
                    f"{action.label}: {action.help}"
                    for action in ACTIONS
                    if applies(action, view) and action.group not in ("flight", "strike")
                )
            )
            self._say(
                "A ball in words: far left, left, on line, right, far right; high, mid, low; solid, thin, fat, top, toe, heel, shank."
            )
        elif name in ("next", "balls"):
            self._read("balls", "")
        elif name in ("look", "large letters", "key hints"):
            self._say("Plain lines have one look.")
        elif name.startswith("calculator "):
            from rangelog.tui import calculating, units

            self._ask(calculating.asked(name.removeprefix("calculator "), view, units.showing(self.settings)))
        elif name == "review":
            self._read("review", "")
        elif name == "units":
            self.settings, said = other_units(self.settings)
            self._say(said)
        elif name == "pause":
            self._paused = True
            self._say("Paused. Every ball is in the book. An empty line goes on.")
        elif name == "plan":
            self._say(*[self._shown(line.strip()) for line in self.book.plan_today()] or ["Nothing is planned."])
        elif name == "glossary":
            from rangelog.journey import glossary

            self._say(*(self._shown(f"{entry.word}: {entry.meaning}") for entry in glossary.GLOSSARY))
        elif name != "back":
            _, lines = pages.page(name, self.book, self.keys, 10_000, self.showing)
            self._say(*("".join(text for text, _ in line).strip().removeprefix("- ").replace("+-", "plus or minus ") for line in lines))

    def _list_keys(self) -> None:
        for action in ACTIONS:
            key = self.keys.shown(action.id)
            if key:
                self._say(f"{key}: {action.label}.")

    def _where(self) -> None:
        view = self.book.view()
        block = f" {words.block(view).replace('  ', ', ')}." if words.block(view) else ""
        self._say(
            standing(view.unsaved, view.notice, ""),
            self._shown(f"{words.header(view).replace('  ', ', ')}. {words.count(view)}.{block}"),
            words.spoken(view, self.showing),
            self._shown(bracket.said(view.picture)),
            f"The {view.due} check is due; type what is due." if view.due else "",
        )

    # forms

    def _ask(self, form: Form) -> None:
        self._form = Filling(form)
        self._say(f"{form.title}.", *form.intro)
        self._question()

    def _question(self) -> None:
        assert self._form is not None
        field = self._form.field
        assert field is not None
        options = f" {', '.join(f'{at} {word}' for at, (_, word) in enumerate(field.options, start=1))}." if field.options else ""
        taken = self._shown(field.default_shown) if field.kind == "number" else field.default_shown
        default = f" Enter takes {taken}." if taken else ""
        unit = f", {field.unit}" if field.unit else ""
        mark = "" if field.label.endswith("?") else f"{unit}:"
        self._say(f"{field.label}{mark}{options} {self._shown(field.help)}{default}".replace("  ", " ").strip())

    def _fill(self, typed: str) -> None:
        filling = self._form
        assert filling is not None
        if typed.strip().casefold() in DROP:
            if filling.form.own:
                self._form, self._open = None, False
                self._say("Left; nothing was begun.")
            elif filling.back():
                self._question()
            else:
                self._form = self._corrected = None
                self._say("Dropped.")
            return
        if not filling.enter(typed):
            self._say(self._shown(filling.error))
        if filling.complete:
            self._form = None
            if filling.form.id.startswith("calculator."):
                self._work_out(filling)
            elif self._corrected is not None:
                ball, self._corrected = self._corrected, None
                self._take(self.desk.edit(ball, filling.answers))
            else:
                self._take(self.desk.answer(filling.form, filling.answers))
        else:
            self._question()

    def _work_out(self, filling: Filling) -> None:
        from rangelog.tui import calculating, units

        try:
            self._say(*calculating.lines(filling.form, filling.answers, self.book.view(), units.showing(self.settings)))
        except RangelogError as problem:
            self._say(str(problem))


def _sentence(echo: Echo) -> str:
    """An echo as a sentence; what is not saved says so first."""
    said = echo.text
    for keys in (" Space yes, other keys no.", " Enter leaves, any other key stays."):
        said = said.replace(keys, " Type yes or no.")
    if echo.kind == "not saved" and "not saved" not in said.lower():
        return f"NOT SAVED. {said}"
    return said
