"""What the calculators take from the tee and from the settings, and how they are asked in plain lines."""

from functools import partial

from rangelog.logbook.calculator_asks import Ask
from rangelog.logbook.calculators import CALCULATORS, Worked
from rangelog.logbook.showing import Showing
from rangelog.logbook.view import TeeView
from rangelog.tui.forms import Answers, Field, Form, Value

FORM = "calculator."


def known(view: TeeView, style: Showing) -> dict[str, str]:
    """What the tee knows already, as words for the asks."""
    found: dict[str, str] = {}
    if view.club is not None and view.club.loft_deg is not None:
        found["loft_deg"] = f"{view.club.loft_deg:g} deg"
    if view.prescription is not None:
        found["window_deg"] = f"{view.prescription.window_deg:g} deg"
    if view.setup.grip is not None:
        found["grip_deg"] = f"{view.setup.grip:g} deg"
    return {name: style.said(word) for name, word in found.items()}


def asked(name: str, view: TeeView, style: Showing) -> Form:
    """A calculator as a form."""
    taken = known(view, style)
    calculator = CALCULATORS[name]
    fields = []
    for ask in calculator.asks:
        default = taken.get(ask.name) or ask.shown(style) or None
        fields.append(
            Field(
                ask.name,
                f"{ask.label}, {ask.measure.unit(style)}",
                default=default,
                default_word=default or "nothing",
                required=ask.required,
                help=ask.help,
                check=partial(_check, ask, style),
            )
        )
    return Form(f"{FORM}{name}", calculator.title, tuple(fields), intro=calculator.assumes, done="work it out")


def _check(ask: Ask, style: Showing, value: Value) -> None:
    ask.read("" if value is None else str(value), style)


def table(worked: Worked, style: Showing) -> tuple[tuple[str, ...], ...]:
    """The table of an answer, its pairs of numbers with the player's decimal sign."""
    return tuple(tuple("/".join(map(style.said, cell.split("/"))) for cell in row) for row in worked.table)


def lines(form: Form, answers: Answers, view: TeeView, style: Showing) -> list[str]:
    """The sentences of the answer. Raises OffScale."""
    calculator = CALCULATORS[form.id.removeprefix(FORM)]
    given = {name: "" if value is None else str(value) for name, value in answers.items()}
    worked = calculator.answer(given, style, view.player.hand if view.player else None)
    head, *rows = table(worked, style) or ((),)
    return [
        *worked.lines,
        *(
            f"Shaft {row[0]} deg behind: " + "; ".join(f"grip {grip} {cell}" for grip, cell in zip(head[1:], row[1:], strict=True)) + "."
            for row in rows
        ),
    ]
