"""NEXT, LAST and HINT: the three things that are read from two metres."""

from textual.reactive import reactive

from rangelog.core.ball import Ball
from rangelog.core.words import Side
from rangelog.tui import keymap, words
from rangelog.tui.draw import keyboard, large, window, wrapping
from rangelog.tui.draw.bracket import ROLES
from rangelog.tui.draw.pieces import Piece
from rangelog.tui.keymap import KeyMap
from rangelog.tui.widgets.panel import Lines, Panel


class NextPanel(Panel):
    """The setup to hit: bow and grip in large digits, what is held with them in words."""

    def lines(self) -> Lines:
        setup = self.view.setup
        bow = "?" if setup.bow is None else self.shown(words.number(setup.bow))
        grip = "?" if setup.grip is None else self.shown(words.number(setup.grip))
        columns, tall = self.plan.next_columns, self.plan.tall
        bow_across, grip_across = self._widths(bow, grip)
        wide = large.number_width(grip, grip_across, tall)
        nearest = self._start_of_grip(bow, bow_across, 1)
        start = max(min(max(self._start_of_grip(bow, bow_across, 2), 3 * columns // 8), columns - wide - grip_across - 1), nearest)
        lines: list[list[Piece]] = []
        if self.plan.captions:
            lines.append(self._caption(start))
        for left, right in zip(large.draw_number(bow, bow_across, tall), large.draw_number(grip, grip_across, tall), strict=True):
            lines.append([(f"{left:<{start}}{right}", "setup bold")])
        return lines

    def _widths(self, bow: str, grip: str) -> tuple[int, int]:
        """Columns a dot of bow and grip: as wide as fits with a clear gap to LAST, the grip made narrower before the bow is."""
        tall, columns = self.plan.tall, self.plan.next_columns
        for across in range(tall, 0, -1):
            for other in (across, max(across // 2, 1)):
                end = self._start_of_grip(bow, across, 1) + large.number_width(grip, other, tall)
                if end + other + 1 <= columns:
                    return across, other
        return 1, 1

    def _start_of_grip(self, bow: str, across: int, dots: int) -> int:
        """Where the grip begins; at two dots' distance the numbers stand further apart than digits, so that 3 and 30 never read as 330."""
        return max(large.number_width(bow, across, self.plan.tall) + dots * across, len("NEXT bow")) + 1

    def _caption(self, start: int) -> list[Piece]:
        setup = self.view.setup
        grip_words = "" if setup.grip is None else words.grip_word(setup.grip)
        tail = [word for word in (grip_words, self.shown(words.position(setup.position_balls)) if setup.position_balls else "") if word]
        said = wrapping.items(["grip", *tail], self.plan.next_columns - start - 1, " ")
        return [("NEXT ", "quiet bold"), (f"{'bow':<{start - 5}}", "ink"), (said, "ink")]


class LastPanel(Panel):
    """The last ball as understood: its side large and on its side, the rest in words, and a mark in the flight window."""

    keys: reactive[KeyMap] = reactive(keymap.ready())

    def lines(self) -> Lines:
        ball = self.view.last
        if ball is None:
            return self._empty()
        side = words.side_of(ball, self.view)
        columns = self.plan.last_columns
        rows, spacious = self._large(side, columns)
        picture = [] if spacious is None else window.draw(side, ball.height, ball.counted, spacious)
        room = columns if spacious is None else columns - window.columns(spacious)
        lines: list[list[Piece]] = []
        if self.plan.captions:
            lines.append(self._caption(ball, side, columns))
        start = max((len(rows) - len(picture)) // 2, 0)
        role = ROLES[side] if side else "quiet"
        for at, row in enumerate(rows):
            beside = picture[at - start] if start <= at < start + len(picture) else []
            lines.append([(f"{row:<{room}}", f"{role} bold"), *beside])
        return lines

    def _large(self, side: Side | None, columns: int) -> tuple[list[str], bool | None]:
        """The side in letters, and whether the flight window beside it is the spacious one; None where there is room for neither."""
        word, tall = side.value.upper() if side else "NOT SEEN", self.plan.tall
        for spacious in (True, False) if self.plan.beside else ():
            room = columns - window.columns(spacious) - (3 if spacious else 1)
            thinnest = max(tall - 2, min(tall, 2))
            across = next((across for across in range(tall, thinnest - 1, -1) if large.width(word, across) <= room), 0)
            if across and (tall >= 3 or not spacious):
                return large.draw(word, across, tall), spacious
        rows: list[str] = []
        while not rows and tall:
            rows, _ = large.fit([word] if side else [word, "UNSEEN"], columns, tall)
            tall -= 1
        rows = rows or [word]
        return rows + [""] * (large.rows(self.plan.tall) - len(rows)), None

    def _caption(self, ball: Ball, side: Side | None, columns: int) -> list[Piece]:
        label: list[Piece] = [("LAST ", "quiet bold"), (f"{words.SIGNS[side]} " if side else "", f"{ROLES[side]} bold" if side else "ink")]
        room = columns - sum(len(text) for text, _ in label)
        moved = ball.setup.setting != self.view.setup.setting
        parts = words.flight(ball, self.view, self.showing).split(", ")
        if len(", ".join(parts)) > room and side is not None and len(parts) > 1:
            del parts[0]  # the large letters say the side
        said = wrapping.items(parts, room, ", ")
        if not ball.counted:
            return [*label, (wrapping.items([words.not_counted(ball), said], room), "alert bold")]
        return [*label, (wrapping.items([said, *([f"at {words.setting(ball.setup, self.showing)}"] if moved else [])], room), "ink bold")]

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
        action = words.clean(self.shown(hint.action), 24).upper()
        lines: list[list[Piece]] = [self._caption(words.clean(self.shown(hint.words), 200), columns)]
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
            (said, "ink") for part in words.clean(self.shown(hint.numbers), 200).split("   ") for said in wrapping.wrap(part, columns, rows)
        ][:rows]
        for extra in (f"{self.why} why" if self.why else "", "stored hint: model loading" if self.view.hint_is_stored else ""):
            if extra and len(extra) <= columns and len(found) < rows:
                found.append((extra, "quiet"))
        return found
