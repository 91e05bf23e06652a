"""NEXT, LAST and HINT: the three things that are read from two metres."""

from rich.text import Text
from textual.reactive import reactive

from rangelog.core.ball import Ball
from rangelog.core.words import Side
from rangelog.tui import keymap, words
from rangelog.tui.draw import keyboard, large, pieces, window
from rangelog.tui.draw.bracket import ROLES
from rangelog.tui.draw.pieces import Piece
from rangelog.tui.keymap import KeyMap
from rangelog.tui.widgets.panel import Panel

LABEL = 7
"""Columns of NEXT, LAST and HINT."""


class NextPanel(Panel):
    """The setup to hit: bow and grip in large digits, what is held with them in words."""

    def render(self) -> Text:
        setup = self.view.setup
        bow = "?" if setup.bow is None else words.number(setup.bow)
        grip = "?" if setup.grip is None else words.number(setup.grip)
        columns, tall = self.plan.next_columns, self.plan.tall
        across = tall + 1
        while across > 1 and self._wide(bow, grip, across) > columns:
            across -= 1
        bow_rows, grip_rows = large.draw(bow, across, tall), large.draw(grip, across, tall)
        bow_columns = max(large.width(bow, across), 5) + self._between(across)
        lines: list[list[Piece]] = []
        if self.plan.captions:
            lines.append(self._caption(bow_columns))
        indent = " " * LABEL
        for left, right in zip(bow_rows, grip_rows, strict=True):
            lines.append([(indent, "ink"), (f"{left:<{bow_columns}}", "setup bold"), (right, "setup bold")])
        return pieces.page(self.look, lines)

    @staticmethod
    def _between(across: int) -> int:
        return 3 + across

    def _wide(self, bow: str, grip: str, across: int) -> int:
        return LABEL + max(large.width(bow, across), 5) + self._between(across) + large.width(grip, across)

    def _caption(self, bow_columns: int) -> list[Piece]:
        setup = self.view.setup
        grip_words = "" if setup.grip is None else words.grip_word(setup.grip)
        tail = [word for word in (grip_words, words.position(setup.position_balls) if setup.position_balls else "") if word]
        said = pieces.items(["grip", *tail], self.plan.next_columns - LABEL - bow_columns)
        return [(f"{'NEXT':<{LABEL}}", "quiet bold"), (f"{'bow':<{bow_columns}}", "ink"), (said, "ink")]


class LastPanel(Panel):
    """The last ball as understood: its side large and on its side, the rest in words, and a mark in the flight window."""

    keys: reactive[KeyMap] = reactive(keymap.ready())

    def render(self) -> Text:
        ball = self.view.last
        if ball is None:
            return self._empty()
        side = words.side_of(ball, self.view)
        columns = self.plan.last_columns
        windowed = self.plan.beside and columns - window.COLUMNS - 2 >= large.width("FAR RIGHT", max(self.plan.tall - 1, 1))
        room = columns - (window.COLUMNS + 2 if windowed else 0)
        rows, role = self._large(side, room), ROLES[side] if side else "quiet"
        picture = window.draw(side, ball.height, ball.counted) if windowed else []
        lines: list[list[Piece]] = []
        if self.plan.captions:
            lines.append(self._caption(ball, columns))
        start = max((len(rows) - len(picture)) // 2, 0)
        for at, row in enumerate(rows):
            beside = picture[at - start] if windowed and start <= at < start + len(picture) else []
            lines.append([(f"{row:<{room}}", f"{role} bold"), ("  ", "ink"), *beside])
        return pieces.page(self.look, lines)

    def _large(self, side: Side | None, columns: int) -> list[str]:
        tall = self.plan.tall
        candidates = [side.value.upper()] if side else ["NOT SEEN", "UNSEEN"]
        rows, _ = large.fit(candidates, columns, tall)
        while not rows and tall > 1:
            tall -= 1
            rows, _ = large.fit(candidates, columns, tall)
        rows = rows or [candidates[0]]
        return rows + [""] * (large.rows(self.plan.tall) - len(rows))

    def _caption(self, ball: Ball, columns: int) -> list[Piece]:
        side = words.side_of(ball, self.view)
        sign = f" {words.SIGNS[side]}" if side else ""
        if not ball.counted:
            said = words.not_counted(ball)
            return [(f"{'LAST':<{LABEL - 2}}", "quiet bold"), (pieces.items([said, words.flight(ball, self.view)], columns - LABEL), "alert bold")]
        moved = words.setting(ball.setup) if ball.setup.setting != self.view.setup.setting else ""
        rest = [part for part in (words.flight(ball, self.view), f"at {moved}" if moved else "") if part]
        return [(f"{'LAST':<{LABEL - 2}}", "quiet bold"), (pieces.items(rest, columns - LABEL), "ink bold"), (sign, "ink bold")]

    def _empty(self) -> Text:
        """Before the first ball: what to press."""
        lines: list[list[Piece]] = []
        if self.plan.captions:
            lines.append([(f"{'LAST':<{LABEL - 2}}", "quiet bold"), ("no ball yet: one key a ball", "ink")])
        block = keyboard.flight_block(self.keys)
        if large.rows(self.plan.tall) >= 5:
            lines.append([("far left .. on line .. far right", "quiet")])
            lines += block
        else:
            lines += block[1:]
        return pieces.page(self.look, lines)


class HintPanel(Panel):
    """One hint: the sentence, the action in large letters, the numbers beside it."""

    why: reactive[str] = reactive("")

    def render(self) -> Text:
        hint = self.view.hint
        columns = self.plan.body
        rows_free = large.rows(self.plan.hint_tall)
        if hint is None:
            return pieces.line(self.look, [(f"{'HINT':<{LABEL}}", "quiet bold"), ("follows in a moment", "quiet")])
        action = words.clean(hint.action, 24).upper()
        sentence = pieces.wrap(words.clean(hint.words, 200), columns - LABEL, 1)
        lines: list[list[Piece]] = [[(f"{'HINT':<{LABEL}}", "quiet bold"), (sentence[0] if sentence else "", "ink bold")]]
        rows, tall = [], self.plan.hint_tall
        while not rows and tall:
            rows, _ = large.fit([action], columns - LABEL, tall)
            tall -= 1
        rows = rows or [action]
        taken = LABEL + max(len(row) for row in rows) + 4
        aside = self._aside(hint.words, len(sentence), columns - taken, rows_free)
        for at in range(rows_free):
            row = rows[at] if at < len(rows) else ""
            beside = aside[at] if at < len(aside) else ("", "quiet")
            lines.append([(" " * LABEL, "ink"), (f"{row:<{taken - LABEL}}", "act bold"), beside])
        return pieces.page(self.look, lines)

    def _aside(self, sentence: str, shown: int, columns: int, rows: int) -> list[Piece]:
        hint = self.view.hint
        if hint is None or columns < 12:
            return []
        numbers = pieces.wrap(words.clean(hint.numbers, 200), columns, rows)
        found: list[Piece] = [(line, "ink") for line in numbers]
        extra = [f"{self.why} why" if self.why else "", "from the book, model loading" if self.view.hint_is_stored else ""]
        said = pieces.items([part for part in extra if part], columns, "   ")
        if said and len(found) < rows:
            found.append((said, "quiet"))
        return found
