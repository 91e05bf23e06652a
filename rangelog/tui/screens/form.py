"""A form on the screen: one question at a time, docked at the foot of the tee or alone on the page. Keys belong to it while it is open."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from rich.text import Text
from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Static

from rangelog.tui.draw import pieces
from rangelog.tui.draw.pieces import Piece
from rangelog.tui.forms import Answers, Field, Filling, Form, Value
from rangelog.tui.keymap import KeyMap
from rangelog.tui.looks import Look
from rangelog.tui.screens.keyed import LEAVING, missed, resend
from rangelog.tui.screens.typed import TypedLine
from rangelog.tui.words import clean

if TYPE_CHECKING:
    from rangelog.logbook.showing import Showing


class FormScreen(ModalScreen[Answers | None]):
    """Asks a form and hands back its answers, None where it was dropped."""

    AUTO_FOCUS = ""

    def __init__(self, form: Form, keys: KeyMap, look: Look, showing: "Showing | None" = None) -> None:
        super().__init__(classes="own" if form.own else "docked")
        self._say: Callable[[str], str] = str if showing is None else showing.said
        self.filling = Filling(form)
        self._keys = keys
        self._look = look
        self._marked = 0

    def compose(self) -> ComposeResult:
        with Vertical(id="card"):
            with VerticalScroll(id="before", can_focus=False):
                yield Static(id="head")
            yield Static(id="question")
            yield TypedLine(self._keys, self._take)
            yield Static(id="foot")

    def on_mount(self) -> None:
        self._open()

    @property
    def field(self) -> Field:
        field = self.filling.field
        assert field is not None
        return field

    def _value(self, field: Field, word: str) -> str:
        """An answer in the player's units; what the player typed as words stays as it was typed."""
        return self._say(word) if field.kind == "number" else word

    def _default(self, field: Field) -> str:
        return self._value(field, clean(field.default_shown, 40))

    def _open(self) -> None:
        """Show the question that is open now."""
        field = self.field
        values = [value for value, _ in field.options]
        self._marked = values.index(field.default) if field.default in values else -1
        typed = self.query_one(TypedLine)
        typed.value = ""
        typed.numeric = field.kind == "number"
        typed.placeholder = self._default(field)
        typed.display = not field.options
        if field.options:
            self.set_focus(None)
        else:
            self.set_focus(typed)
        self._paint()

    def _paint(self) -> None:
        self.query_one("#head", Static).update(self._head())
        self.query_one("#question", Static).update(self._question())
        self.query_one("#foot", Static).update(self._foot())
        before = self.query_one("#before")
        if self.filling.form.own:
            before.styles.max_height = max(self.app.size.height - 10, 1)
        before.display = self.filling.form.own or bool(self.filling.answered)
        self.query_one("#before", VerticalScroll).scroll_end(animate=False)

    def _head(self) -> Text:
        form, lines = self.filling.form, []
        if form.own:
            lines += [[(form.title.upper(), "act bold")], [("", "ink")]]
        answered = self.filling.answered
        wide = max((len(field.label) for field, _ in answered), default=0)
        for field, value in answered:
            lines.append([(f"{field.label:<{wide}}  ", "quiet"), (self._value(field, clean(field.word(value), 60)), "ink bold")])
        text = pieces.page(self._look, lines)
        text.no_wrap = False
        text.overflow = "fold"
        return text

    def _question(self) -> Text:
        return pieces.page(self._look, self._question_lines()[0])

    def _question_lines(self) -> tuple[list[list[Piece]], list[tuple[int, int, int]]]:
        """The question with its options, whole options to a line, and where each option lies: line, first and last column."""
        field = self.field
        form = self.filling.form
        alone = len(form.fields) == 1 and field.label.casefold() in form.title.casefold()
        first: list[Piece] = [("" if form.own else f"{form.title.upper()}  ", "act bold"), ("" if alone else field.label, "ink bold")]
        if field.kind == "number" and field.unit:
            first.append((f"  ({field.unit})", "quiet"))
        lines, places = [first], []
        room = min(self.app.size.width, 84) - 6 if self.filling.form.own else self.app.size.width - 6
        for at, (_, word) in enumerate(field.options):
            shown = f" {self._letters[at]} {clean(word, 40)} "
            used = sum(len(text) for text, _ in lines[-1])
            if used + len(shown) + 2 > room or (at == 0 and used + sum(len(word) + 6 for _, word in field.options) > room):
                lines.append([])
                used = 0
            gap = "  " if used else ""
            places.append((len(lines) - 1, used + len(gap), used + len(gap) + len(shown)))
            lines[-1] += [(gap, "ink"), (shown, "badge" if at == self._marked else "ink")]
        return lines, places

    @property
    def _letters(self) -> str:
        """What picks each option: digits, and letters once they run out."""
        return "123456789abcdefghijklmnopqrstuvwxyz"

    def _foot(self) -> Text:
        field = self.field
        if self.filling.error:
            return pieces.page(self._look, [[(clean(self._say(self.filling.error), 200), "alert bold")]])
        if field.options:
            how: tuple[str, ...] = ("number or letter picks",)
            how += ("Enter: marked one",) if self._marked >= 0 else ()
        elif field.default_shown:
            how = (f"Enter: {self._default(field)}",)
        else:
            how = (f"Enter: {self.filling.form.done}" if self.filling.last else "Enter: next",)
        back = "Esc: back" if self.filling.answered else "Esc: drop" if not self.filling.form.own else "Esc: leave"
        lines = [[(clean(self._say(field.help), 200), "ink")]] if field.help else []
        room = max(self.app.size.width - 4, 20)
        said = "   ".join((*how, back))
        lines += [[(said, "quiet")]] if len(said) <= room else [[("   ".join(how), "quiet")], [(back, "quiet")]]
        text = pieces.page(self._look, lines)
        text.no_wrap = False
        text.overflow = "fold"
        return text

    def _take(self, typed: str) -> None:
        if not self.filling.enter(typed):
            self._paint()
            return
        if self.filling.complete:
            self.dismiss(self.filling.answers)
        else:
            self._open()

    def on_key(self, event: events.Key) -> None:
        """Escape goes back a question; a choice is picked by number, letter or arrows."""
        if missed(self, event):
            return
        key = event.key
        if key == "escape":
            event.stop()
            if self.filling.back():
                self._open()
            else:
                self.dismiss(None)
            return
        options = self.field.options
        if key in LEAVING:
            return
        if not options:
            if event.is_printable or key in ("enter", "backspace"):
                event.stop()
                resend(self, event)
            return
        event.stop()
        event.prevent_default()
        if key in ("down", "right", "tab", "up", "left", "shift+tab"):
            step = 1 if key in ("down", "right", "tab") else -1
            self._marked = (max(self._marked, -1 if step > 0 else 0) + step) % len(options)
            self._paint()
        elif key == "backspace":
            if self.filling.back():
                self._open()
        elif key == "enter":
            self._take(_pick(options, self._marked) if self._marked >= 0 else "")
        elif event.character and event.is_printable and event.character != " ":
            self._typed_option(event.character)

    def _typed_option(self, character: str) -> None:
        """Pick an option by its digit or letter; where digits suffice, a first letter will do."""
        folded = self._keys.digit(character, "0").lower()
        at = self._letters.find(folded)
        many = len(self.field.options) > 9
        if 0 <= at < len(self.field.options) and (many or folded.isdecimal()):
            self._take(str(at + 1))
        elif not many:
            self._take(folded)

    def on_click(self, event: events.Click) -> None:
        """A click on an option picks it."""
        if event.widget is None or event.widget.id != "question":
            return
        for at, (line, first, last) in enumerate(self._question_lines()[1]):
            if event.y == line and first <= event.x < last:
                self._take(str(at + 1))
                return


def _pick(options: tuple[tuple[Value, str], ...], marked: int) -> str:
    return str(marked + 1) if 0 <= marked < len(options) else ""
