"""Short forms as data: every question has a label, its legal answers and a default that Enter takes.

The tee screen docks them, the first start stacks them, plain mode asks them line by line; none of them knows which form it shows.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from rangelog.core.errors import OffScale
from rangelog.journey.forms import FormField, FormKind
from rangelog.tui.words import clean

Value = str | int | float | bool | None
Answers = dict[str, Value]
Kind = Literal["choice", "yes or no", "number", "text"]


@dataclass(frozen=True, slots=True)
class Field:
    """One question.

    Attributes:
        name: key of the answer.
        label: the question, short.
        kind: choice, yes or no, number or text.
        choices: legal values of a choice, with the words they are shown by.
        default: what an empty answer stands for; None where there is no answer yet.
        default_word: how the default is shown, where the value does not say it ("unknown").
        low, high: legal range of a number.
        unit: unit of a number.
        whole: a number without decimals.
        required: an empty answer is not legal.
        help: one line beneath the question.
        asked_if: whether to ask, given the answers so far.
        default_from: the default, where it depends on the answers so far.
        check: raises OffScale for an answer the form itself knows to be wrong.
    """

    name: str
    label: str
    kind: Kind = "text"
    choices: tuple[tuple[str, str], ...] = ()
    default: Value = None
    default_word: str = ""
    low: float | None = None
    high: float | None = None
    unit: str = ""
    whole: bool = False
    required: bool = False
    help: str = ""
    asked_if: Callable[[Mapping[str, Value]], bool] = lambda answers: True
    default_from: Callable[[Mapping[str, Value]], Value] | None = None
    check: Callable[[Value], object] | None = None

    @property
    def options(self) -> tuple[tuple[Value, str], ...]:
        """Values and words of a choice or a yes-or-no."""
        if self.kind == "yes or no":
            return ((True, "yes"), (False, "no"))
        return self.choices

    @property
    def default_shown(self) -> str:
        """The default in words."""
        if self.default_word:
            return self.default_word
        for value, word in self.options:
            if value == self.default:
                return word
        return "" if self.default is None else f"{self.default:g}" if isinstance(self.default, (int, float)) else str(self.default)

    def read(self, typed: str) -> Value:
        """The value of what was typed; empty takes the default.

        Raises:
            OffScale: names the question and what is legal.
        """
        text = typed.strip()
        if not text:
            if self.required and self.default is None:
                raise OffScale(self.name, f"{self.label}: an answer is needed.")
            value = self.default
        elif self.options:
            value = self._option(text)
        elif self.kind == "number":
            value = self._number(text)
        else:
            value = clean(text, 500)
        if self.check is not None:
            self.check(value)
        return value

    def _option(self, text: str) -> Value:
        if text.isdecimal() and 1 <= int(text) <= len(self.options):
            return self.options[int(text) - 1][0]
        folded = text.casefold()
        exact = [value for value, word in self.options if word.casefold() == folded]
        begins = [value for value, word in self.options if word.casefold().startswith(folded)]
        if exact or len(begins) == 1:
            return (exact or begins)[0]
        raise OffScale(self.name, f"{self.label}: {', '.join(word for _, word in self.options)}.")

    def _number(self, text: str) -> Value:
        if self.default_word and text.casefold() == self.default_word.casefold():
            return self.default
        legal = (
            f"{self.label}: {self.low:g} to {self.high:g}{' ' + self.unit if self.unit else ''}."
            if self.low is not None
            else f"{self.label}: a number."
        )
        try:
            value = float(text.replace(",", "."))
        except ValueError:
            raise OffScale(self.name, legal) from None
        inside = (self.low is None or value >= self.low) and (self.high is None or value <= self.high)
        if not inside or (self.whole and value != int(value)):
            raise OffScale(self.name, legal)
        return int(value) if self.whole else value

    def word(self, value: Value) -> str:
        """An answer in words."""
        for option, shown in self.options:
            if option == value:
                return shown
        if value is None:
            return self.default_word or "-"
        shown = f"{value:g}" if isinstance(value, (int, float)) else value
        return f"{shown} {self.unit}".strip()


@dataclass(frozen=True, slots=True)
class Form:
    """A few questions asked one after the other.

    Attributes:
        id: names the form.
        title: what it is about.
        fields: the questions, in order.
        intro: lines shown before the first.
        done: word for the last Enter.
        own: form may take the whole screen (first start); else it is docked.
    """

    id: str
    title: str
    fields: tuple[Field, ...]
    intro: tuple[str, ...] = ()
    done: str = "save"
    own: bool = False


def from_kind(kind: FormKind, given: Mapping[str, Value]) -> Form:
    """The form of a kit, body or pain check, taken up where it was left half-filled."""
    return Form(f"kind.{kind.name}", kind.title, tuple(_from_field(field) for field in kind.fields if field.name not in given))


def _from_field(field: FormField) -> Field:
    number = field.kind == "number"
    return Field(
        field.name,
        field.label,
        field.kind,
        tuple((word, word) for word in field.choices),
        default=field.default,
        default_word="left open" if field.optional and field.default is None else "",
        low=field.low if number else None,
        high=field.high if number else None,
        unit=field.unit,
        required=not field.optional and field.default is None,
        help=field.help,
    )


class Filling:
    """A form being filled in: pure state, driven by what is typed."""

    def __init__(self, form: Form) -> None:
        self.form = form
        self.answers: Answers = {}
        self.error = ""
        self._path: list[Field] = []
        self._at = self._next(0)

    @property
    def field(self) -> Field | None:
        """The question that is open, None when all are answered."""
        if self._at >= len(self.form.fields):
            return None
        field = self.form.fields[self._at]
        return field if field.default_from is None else replace(field, default=field.default_from(self.answers))

    @property
    def complete(self) -> bool:
        return self.field is None

    @property
    def last(self) -> bool:
        """Whether the open question is the last of the form, as far as the answers so far say."""
        return self._next(self._at + 1) >= len(self.form.fields)

    @property
    def answered(self) -> tuple[tuple[Field, Value], ...]:
        """Questions answered so far with their answers."""
        return tuple((field, self.answers[field.name]) for field in self._path)

    def enter(self, typed: str) -> bool:
        """Take an answer; False where it is not legal, with `error` set and nothing lost."""
        field = self.field
        if field is None:
            return True
        try:
            value = field.read(typed)
        except OffScale as problem:
            self.error = problem.title
            return False
        self.error = ""
        self.answers[field.name] = value
        self._path.append(self.form.fields[self._at])
        self._at = self._next(self._at + 1)
        return True

    def back(self) -> bool:
        """Open the question before; False at the first."""
        if not self._path:
            return False
        field = self._path.pop()
        del self.answers[field.name]
        self.error = ""
        self._at = self.form.fields.index(field)
        return True

    def _next(self, start: int) -> int:
        at = start
        while at < len(self.form.fields) and not self.form.fields[at].asked_if(self.answers):
            at += 1
        return at
