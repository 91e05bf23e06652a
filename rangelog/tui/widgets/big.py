"""NEXT, LAST and HINT: the three things that are read from two metres."""

from typing import TYPE_CHECKING

from textual.reactive import reactive

from rangelog.core.ball import Ball
from rangelog.core.words import Side
from rangelog.tui import keymap, words
from rangelog.tui.draw import keyboard, large, window, wrapping
from rangelog.tui.draw.bracket import ROLES
from rangelog.tui.draw.pieces import Piece
from rangelog.tui.keymap import KeyMap
from rangelog.tui.widgets.panel import Lines, Panel

if TYPE_CHECKING:
    from rangelog.logbook.showing import Showing


class NextPanel(Panel):
    """The setup to hit: bow and grip in large digits, what is held with them in words."""

    def lines(self) -> Lines:
        setup = self.view.setup
        bow = "?" if setup.bow is None else words.number(setup.bow)
        grip = "?" if setup.grip is None else words.number(setup.grip)
        columns, tall = self.plan.next_columns, self.plan.tall
        across = tall
        while across > 1 and self._start_of_grip(bow, across) + large.number_width(grip, across, tall) > columns - 1:
            across -= 1
        start = self._start_of_grip(bow, across)
        lines: list[list[Piece]] = []
        if self.plan.captions:
            lines.append(self._caption(start))
        for left, right in zip(large.draw_number(bow, across, tall), large.draw_number(grip, across, tall), strict=True):
            lines.append([(f"{left:<{start}}{right}", "setup bold")])
        return lines

    def _start_of_grip(self, bow: str, across: int) -> int:
        return max(large.number_width(bow, across, self.plan.tall), len("NEXT bow")) + 1 + across

    def _caption(self, start: int) -> list[Piece]:
        setup = self.view.setup
        grip_words = "" if setup.grip is None else words.grip_word(setup.grip)
        tail = [word for word in (grip_words, words.position(setup.position_balls) if setup.position_balls else "") if word]
        said = wrapping.items(["grip", *tail], self.plan.next_columns - start - 1, " ")
        return [("NEXT ", "quiet bold"), (f"{'bow':<{start - 5}}", "ink"), (said, "ink")]


class LastPanel(Panel):
    """The last ball as understood: its side large and on its side, the rest in words, and a mark in the flight window."""

    keys: reactive[KeyMap] = reactive(keymap.ready())
    showing: "reactive[Showing | None]" = reactive(None)

    def lines(self) -> Lines:
        ball = self.view.last
        if ball is None:
            return self._empty()
        side = words.side_of(ball, self.view)
        columns = self.plan.last_columns
        rows = self._large(side, columns)
        spacious = self.plan.tall >= 3 and len(rows[0]) + 3 + window.columns(True) <= columns
        windowed = self.plan.beside and len(rows[0]) + 1 + window.columns(spacious) <= columns
        picture = window.draw(side, ball.height, ball.counted, spacious) if windowed else []
        room = columns - window.columns(spacious) if windowed else columns
        lines: list[list[Piece]] = []
        if self.plan.captions:
            lines.append(self._caption(ball, side, columns))
        start = max((len(rows) - len(picture)) // 2, 0)
        role = ROLES[side] if side else "quiet"
        for at, row in enumerate(rows):
            beside = picture[at - start] if start <= at < start + len(picture) else []
            lines.append([(f"{row:<{room}}", f"{role} bold"), *beside])
        return lines

    def _large(self, side: Side | None, columns: int) -> list[str]:
        candidates = [side.value.upper()] if side else ["NOT SEEN", "UNSEEN"]
        rows: list[str] = []
        tall = self.plan.tall
        while not rows and tall:
            rows, _ = large.fit(candidates, columns, tall)
            tall -= 1
        rows = rows or [candidates[0]]
        return rows + [""] * (large.rows(self.plan.tall) - len(rows))

    def _caption(self, ball: Ball, side: Side | None, columns: int) -> list[Piece]:
        label: list[Piece] = [("LAST ", "quiet bold"), (f"{words.SIGNS[side]} " if side else "", f"{ROLES[side]} bold" if side else "ink")]
        room = columns - sum(len(text) for text, _ in label)
        said = words.flight(ball, self.view, self.showing)
        if not ball.counted:
            return [*label, (wrapping.items([words.not_counted(ball), said], room), "alert bold")]
        moved = ball.setup.setting != self.view.setup.setting
        return [*label, (wrapping.items([said, *([f"at {words.setting(ball.setup)}"] if moved else [])], room), "ink bold")]

    def _empty(self) -> Lines:
        """Before the first ball: what to press."""
        lines: list[list[Piece]] = []
        if self.plan.captions:
            said = "no ball yet: one key is a ball"
            lines.append([("LAST ", "quiet bold"), (said if self.plan.last_columns > len(said) + 5 else "one key is a ball", "ink")])
        block = keyboard.flight_block(self.keys)
        if large.rows(self.plan.tall) >= 5:
            lines.append([("far left .. on line .. far right", "quiet")])
            lines += block
        else:
            lines += block[1:]
        return lines


class HintPanel(Panel):
    """One hint: the sentence, the action in large letters, the numbers beside it."""

    why: reactive[str] = reactive("")

    def lines(self) -> Lines:
        hint = self.view.hint
        columns = self.plan.body
        rows_free = large.rows(self.plan.hint_tall)
        if hint is None:
            return [[("HINT ", "quiet bold"), ("follows in a moment", "quiet")]]
        action = words.clean(hint.action, 24).upper()
        lines: list[list[Piece]] = [self._caption(words.clean(hint.words, 200), columns)]
        rows: list[str] = []
        tall = self.plan.hint_tall
        while not rows and tall:
            rows, _ = large.fit([action], columns, tall)
            tall -= 1
        rows = rows or [action]
        taken = len(rows[0]) + 4
        aside = self._aside(columns - taken, rows_free)
        for at in range(rows_free):
            row = rows[at] if at < len(rows) else ""
            lines.append([(f"{row:<{taken}}", "act bold"), aside[at] if at < len(aside) else ("", "quiet")])
        return lines

    def _caption(self, sentence: str, columns: int) -> list[Piece]:
        """The sentence, and at the right the block it stands in, where there is room for both."""
        said = (wrapping.wrap(sentence, columns - 5, 1) or [""])[0]
        block = words.block(self.view)
        space = columns - 5 - len(said) - len(block)
        tail = [(" " * space, "ink"), (block, "ink")] if block and space >= 3 else []
        return [("HINT ", "quiet bold"), (said, "ink bold"), *tail]

    def _aside(self, columns: int, rows: int) -> list[Piece]:
        """The numbers, then what else may be asked."""
        hint = self.view.hint
        if hint is None or columns < 12:
            return []
        found: list[Piece] = [
            (said, "ink") for part in words.clean(hint.numbers, 200).split("   ") for said in wrapping.wrap(part, columns, rows)
        ][:rows]
        for extra in (f"{self.why} why" if self.why else "", "stored hint: model loading" if self.view.hint_is_stored else ""):
            if extra and len(extra) <= columns and len(found) < rows:
                found.append((extra, "quiet"))
        return found
