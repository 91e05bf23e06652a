"""Random keys and answers on a real book, held against a simple model of what must be in it.

    python -m tests.harness.fuzz --keys 100000 --seed 1

Keys go through the keymap, the desk of the screens and the logbook; forms are filled with good answers and bad ones. Time is the fuzz's
own: keys bounce, a night may pass. Every few keys, and whenever the log is closed and opened again, the book is read through a second
connection: every ball of every session must stand as the model has it, none more and none fewer, and the setup as it was shown.
"""

import argparse
import itertools
import random
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from pathlib import Path

from rangelog.core.ball import Ball
from rangelog.core.entry import clean_note
from rangelog.logbook import Logbook
from rangelog.store import Book
from rangelog.tui import keymap
from rangelog.tui.actions import ACTIONS, CURVES, FLIGHTS, STRIKES
from rangelog.tui.bounce import WAIT_S
from rangelog.tui.desk import Desk, Reply
from rangelog.tui.forms import Answers, Filling, Form, Value
from rangelog.tui.questions import ball_edit
from tests.harness.model import FIELDS, Model, Row

KEYS_A_BOOK = 2_000
LOOK_EVERY = 40
HOSTILE = ("", "\x1b[2J", "a\x00b", "[/b] [red]", "=1+1", "\u202edrow", "🏌️ ok", "99999", "-1", "nan", "1e400", "x" * 700, "left", "3")
NUMBERS = ("-4", "5R", "12L", "0.5", "launch 14", "apex 9", "40 left of here", "nan", "1e9", "")
NOTES = ("windy", "felt late", "\x1b[31mred\x1b[0m", "[bold]no[/bold]", "\u202eתפוח", "🏌️ good", "a" * 350)
MENU = [action.id for action in ACTIONS if action.rare]
LAYOUT = keymap.ready()
PRESSED = sorted({key for action in ACTIONS for key in LAYOUT.keys[action.id]} | {"é", "[", "ctrl+a", "home", "f5"} - {"ctrl+q", "ctrl+c"})
FLIGHT_KEYS = sorted({LAYOUT.keys[action_id][0] for action_id in FLIGHTS})


@dataclass(slots=True)
class Tally:
    """What the keys came to."""

    keys: int = 0
    books: int = 0
    balls: int = 0
    looks: int = 0
    openings: int = 0
    acts: Counter[str] = field(default_factory=Counter)

    def __str__(self) -> str:
        forms = sum(count for name, count in self.acts.items() if name.startswith("form "))
        return (
            f"{self.keys} keys, {self.balls} balls, {self.acts['ball.undo']} undos, {self.acts['ball.redo']} redos, {forms} forms answered "
            f"({len([name for name in self.acts if name.startswith('form ')])} kinds), {self.openings} openings of {self.books} books, "
            f"{self.looks} comparisons through a second connection, no difference"
        )


def row_of(ball: Ball) -> Row:
    """A stored ball as the model writes it."""
    return {name: getattr(ball.setup if name in ("bow", "grip", "position_balls") else ball, name) for name in FIELDS}


class Fuzz:
    """One book under random keys."""

    def __init__(self, path: Path, seed: int, tally: Tally, with_model: bool = False) -> None:
        self.path, self.luck, self.tally, self.with_model = path, random.Random(seed), tally, with_model
        self.at_s = 0.0
        self.night = timedelta()
        self.model = Model()
        self._ids = itertools.count(1)
        self.book = self._opened()
        self.book.first_start(code="test", hand="right", club_name="iron", loft_deg=28.0)
        self.book.start_session()
        self.model.session()
        self.desk = Desk(self.book, lambda: self.at_s)
        self.last_key, self.last_at = "", -10.0
        self.asked = ""
        self.again = ""

    def _now(self) -> datetime:
        return datetime(2026, 6, 2, 8, 0, tzinfo=timezone(timedelta(hours=2))) + timedelta(seconds=self.at_s) + self.night

    def _opened(self) -> Logbook:
        self.tally.openings += 1
        book = Logbook.open(self.path, now=self._now, new_id=lambda: f"{next(self._ids):032x}")
        if self.with_model and not book.needs_first_start:
            book.load_model()
        return book

    def reopen(self, night: bool) -> None:
        """Close and open again, now and then the next day."""
        self.compare()
        self.book.close()
        if night:
            self.night += timedelta(hours=15)
            self.model.running = False
        self.book = self._opened()
        self.desk = Desk(self.book, lambda: self.at_s)
        self.asked = self.again = ""
        self.last_key = ""
        self.model.reopened()
        self.compare()

    def step(self) -> None:
        """One key, its answer, and what it must have done."""
        luck = self.luck
        self.at_s += 0.1 if luck.random() < 0.1 else luck.uniform(1.0, 9.0)
        roll = luck.random()
        if roll < 0.12:
            self._do(luck.choice(MENU))
        elif roll < 0.14:
            self._edit()
        elif roll < 0.144:
            self.reopen(night=luck.random() < 0.3)
        elif roll < 0.22:
            self._do("ball.redo" if luck.random() < 0.3 else "ball.undo")
        else:
            self._press(luck.choice(FLIGHT_KEYS if roll < 0.5 else PRESSED) if roll < 0.94 else self.last_key or "f")
        self.tally.keys += 1

    def _press(self, key: str) -> None:
        action_id = LAYOUT.action(key, "tee")
        folded = keymap.fold(key)
        bounced = folded == self.last_key and self.at_s - self.last_at <= WAIT_S
        self.last_key, self.last_at = folded, self.at_s
        shown = self.book.view()
        reply = self.desk.press(action_id, folded)
        if action_id is not None and bounced and (action_id in FLIGHTS or action_id == "ball.undo"):
            if action_id != "ball.undo":
                self.asked, self.again = "again", action_id
            return
        asked, again = self.asked, self.again
        self.asked = self.again = ""
        if asked == "again" and folded == "space":
            self._expect(again, reply, shown.setup)
        elif asked and (action_id in (None, "log.back") or (asked == "leave" and (folded == "enter" or action_id == "log.quit"))):
            return
        elif action_id is not None:
            self._expect(action_id, reply, shown.setup)

    def _do(self, action_id: str) -> None:
        shown = self.book.view()
        self._expect(action_id, self.desk.do(action_id), shown.setup)

    def _expect(self, action_id: str, reply: Reply, setup: object) -> None:
        """Do in the model what the act must have done in the book, then answer what it asks."""
        model, last = self.model, self.model.last
        self.tally.acts[action_id] += 1
        assert reply.echo is None or reply.echo.kind != "not saved", reply
        if action_id in FLIGHTS:
            assert reply.echo is not None
            assert reply.echo.kind == "saved", reply
            model.hit(FLIGHTS[action_id], setup)  # type: ignore[arg-type]
            assert reply.echo.text.startswith(f"Ball {len(model.now)}: "), (reply, len(model.now))
            self.tally.balls += 1
        elif action_id in STRIKES:
            model.change_last(strike=STRIKES[action_id])
        elif action_id in CURVES:
            model.change_last(curve=CURVES[action_id])
        elif action_id == "ball.touched" and last is not None:
            model.change_last(touched=not last["touched"])
        elif action_id == "ball.undo":
            model.undo()
        elif action_id == "ball.redo":
            model.redo()
        elif (
            action_id == "ball.uncount"
            and reply.form is None
            and last is not None
            and last["bow"] is not None
            and last["grip"] is not None
            and (last["side"] is not None or last["start_deg"] is not None)
        ):
            model.change_last(counted=True, reason=None)
        if action_id in ("log.back", "log.quit") and reply.echo is not None and reply.echo.question == "leave":
            self.asked = "leave"
        if reply.form is not None:
            self._fill(reply.form)

    def _fill(self, form: Form) -> None:
        """Answer a form, well or badly, or drop it."""
        answers = self._answers(form)
        if answers is None:
            return
        reply = self.desk.answer(form, answers)
        self.tally.acts[f"form {form.id}"] += 1
        if reply.echo is not None and reply.echo.kind not in ("refused", "asked"):
            self._answered(form.id, answers)
        if reply.form is not None:
            if form.id != "number":
                self._fill(reply.form)
            elif (side := self._answers(reply.form)) is not None:
                self.desk.answer(reply.form, side)
                self.model.number(f"{str(answers['text']).strip()}{side['side']}")

    def _answers(self, form: Form) -> Answers | None:
        filling, tries = Filling(form), 0
        while filling.field is not None:
            tries += 1
            if tries > 40 or self.luck.random() < 0.03:
                return None
            filling.enter(self._typed(form.id, filling))
        return filling.answers

    def _typed(self, form_id: str, filling: Filling) -> str:
        field, luck = filling.field, self.luck
        assert field is not None
        if luck.random() < 0.25:
            return luck.choice(HOSTILE)
        if form_id == "number":
            return luck.choice(NUMBERS)
        if form_id == "save_elsewhere":
            return ""
        if field.options:
            return str(luck.randint(1, len(field.options)))
        if field.kind == "number":
            low, high = field.low if field.low is not None else 0.0, field.high if field.high is not None else 9.0
            return f"{luck.randint(int(2 * low), int(2 * high)) / (1 if field.whole else 2):g}" if luck.random() < 0.8 else ""
        return luck.choice(NOTES)

    def _answered(self, form_id: str, answers: Answers) -> None:
        model = self.model
        if form_id == "number":
            model.number(str(answers["text"]).strip())
        elif form_id == "note":
            model.note(str(answers["text"]))
        elif form_id == "felt":
            model.change_last(felt_bow=answers["value"])
        elif form_id == "comfort":
            model.change_last(comfort=int(str(answers["value"])))
        elif form_id == "uncount":
            model.change_last(counted=False, reason=answers["reason"])
        elif form_id == "relabel":
            model.relabel(int(_number(answers["last"]) or 0), _number(answers["bow"]), _number(answers["grip"]))
        elif form_id == "aim":
            model.aim(_number(answers["size"]) or 0.0, str(answers["side"]))
        elif form_id == "session_start":
            model.session()
        elif form_id == "prescription":
            prescription = self.book.view().prescription
            assert prescription is not None
            model.edges = prescription.window_deg, prescription.wide_deg

    def _edit(self) -> None:
        """Correct any ball of the list."""
        balls = [ball for ball in self.book.balls() if not ball.voided]
        answers = self._answers(ball_edit())
        if not balls or answers is None:
            return
        ball = self.luck.choice(balls)
        reply = self.desk.edit(ball, answers)
        self.tally.acts["form ball_edit"] += 1
        assert reply.echo is not None
        if reply.echo.kind != "refused":
            name = str(answers["field"])
            value: Value = answers[name]
            if name == "note":
                value = clean_note(str(value))
            self.model.change({ball.seq - 1: {name: value}})

    def compare(self) -> None:
        """The book, through a second connection, against the model. Raises AssertionError where they differ."""
        self.tally.looks += 1
        with Book.open(self.path, read_only=True) as book:
            stored = [
                balls
                for session in sorted(book.sessions(), key=lambda session: session.started_at)
                if (balls := book.balls(session.id, include_voided=True))
            ]
            setup = book.state("setup") or {}
            ids = [ball.id for balls in stored for ball in balls]
        assert len(ids) == len(set(ids)), "a ball is doubled"
        found = [[row_of(ball) for ball in balls] for balls in stored]
        wanted = self.model.sessions()
        assert [len(balls) for balls in found] == [len(balls) for balls in wanted]
        for here, there in zip(wanted, found, strict=True):
            for mine, theirs in zip(here, there, strict=True):
                assert mine == theirs, {name: (mine[name], theirs[name]) for name in FIELDS if mine[name] != theirs[name]}
        shown = self.book.view().setup
        assert (setup.get("bow"), setup.get("grip"), setup.get("position_balls")) == (shown.bow, shown.grip, shown.position_balls)


def _number(value: Value) -> float | None:
    return None if value is None else float(value)


def run(folder: Path, keys: int, seed: int, tell: Callable[[str], None] = lambda _: None) -> Tally:
    """So many keys, on a new book every few thousand. Raises AssertionError, with the book and the key, at the first difference."""
    tally = Tally()
    while tally.keys < keys:
        turn = tally.books
        tally.books += 1
        fuzz = Fuzz(folder / f"book {turn}.db", seed * 1_000 + turn, tally, with_model=turn % 5 == 1)
        try:
            for step in range(min(KEYS_A_BOOK if not fuzz.with_model else KEYS_A_BOOK // 5, keys - tally.keys)):
                fuzz.step()
                if step % LOOK_EVERY == 0:
                    fuzz.compare()
            fuzz.reopen(night=False)
        except Exception as error:
            raise AssertionError(f"seed {seed}, book {turn}, key {tally.keys}: {type(error).__name__}: {error}") from error
        finally:
            fuzz.book.close()
        with Book.open(fuzz.path, read_only=True) as book:
            assert book.check().whole
        tell(str(tally))
    return tally


def main() -> int:
    """The command."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--keys", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=1)
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        tally = run(Path(folder), chosen.keys, chosen.seed, tell=lambda line: print(line, flush=True))
    print(tally)
    print(dict(tally.acts.most_common()))
    return 0


if __name__ == "__main__":
    sys.exit(main())
