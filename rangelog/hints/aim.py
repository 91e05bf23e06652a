"""Not the face: every setting starts to one side, or the ball starts on line and curves."""

from rangelog.core.results import Hint
from rangelog.core.words import Curve
from rangelog.hints import line
from rangelog.hints.facts import Facts
from rangelog.hints.rule import fresh_enough
from rangelog.hints.words import about, deg, estimate, notch, side_of_ball

ONE_LEVER_SETTINGS = 4
BOTH_LEVER_SETTINGS = 3
LITTLE_DEG = 1.5
SOLID_FINE = 0.5
CURVE_BALLS = 6
CURVE_SHARE = 0.75


def aim(facts: Facts) -> Hint | None:
    """All settings to one side and the crossing off the scale; beside it, path where curve is logged."""
    return _aim(facts) or _path(facts)


def _aim(facts: Facts) -> Hint | None:
    model = facts.model
    if model is None or not fresh_enough(facts, "aim"):
        return None
    judged = [tried for tried in facts.tried if line.side(tried)]
    told = {tried.setting for tried in judged}
    bows, grips = {s.bow for s in told}, {s.grip for s in told}
    along = sum(line.side(tried) != 0 for tried in facts.line)
    enough = along >= ONE_LEVER_SETTINGS or (len(told) >= BOTH_LEVER_SETTINGS and len(bows) > 1 and len(grips) > 1)
    sides = {line.side(tried) for tried in judged}
    slope = model.diagnosis.bow_deg_per_notch
    struck, solid = sum(t.struck for t in judged), sum(t.solid for t in judged)
    fine = not struck or solid / struck >= SOLID_FINE
    if not enough or len(sides) != 1 or model.diagnosis.outside < 0.5 or abs(slope.mean) > LITTLE_DEG or not fine:
        return None
    n = sum(tried.n for tried in judged)
    mean = sum(tried.n * tried.bias.mean for tried in judged if tried.bias is not None) / n
    settings = ", ".join(f"bow {notch(t.setting.bow)} {estimate(t.bias)} ({t.n})" for t in judged if t.bias is not None)
    return Hint(
        "aim",
        "CHECK AIM",
        f"All settings start about {about(mean)}; bow moves it little. Check the aim line.",
        numbers=f"bow {estimate(slope)} deg a notch; solid {solid} of {struck}" if struck else f"bow {estimate(slope)} deg a notch",
        why=(settings, "An aim error is a constant bias; only a re-laid stick or a second target shows it.", "Aim line before the wrists."),
        change="The aim line checked; a correction can be entered and taken back.",
        holds_face=True,
    )


def curving(facts: Facts) -> tuple[str, int, int] | None:
    """Balls of the present setting that start on line and curve one way: ("left", 6, 8)."""
    setting, rules = facts.setup.setting, facts.prescription
    on_line = [
        ball
        for ball in facts.balls
        if ball.curve is not None
        and ball.enters_fits
        and ball.setup.setting == setting
        and ball.setup.club_id == facts.setup.club_id
        and side_of_ball(ball, rules.window_deg, rules.wide_deg) == 0
    ]
    for word, curve in (("left", Curve.LEFT), ("right", Curve.RIGHT)):
        bent = sum(ball.curve is curve for ball in on_line)
        if bent >= CURVE_BALLS and bent >= CURVE_SHARE * len(on_line):
            return word, bent, len(on_line)
    return None


def _path(facts: Facts) -> Hint | None:
    here = facts.here
    bent = curving(facts)
    if bent is None or here is None or 2 * here.on_line < here.n or not fresh_enough(facts, "aim"):
        return None
    word, n, of = bent
    bias = "" if here.bias is None else f"starts {estimate(here.bias)} deg, window +-{deg(facts.prescription.window_deg)}"
    return Hint(
        "aim",
        "ASK COACH",
        f"Starts on line, curves {word} {n} of {of}: that is path, ask coach.",
        numbers=bias,
        why=(
            f"{of} balls at this setting started on line with curve logged; {n} curved {word}.",
            "Curve after an on-line start is not chased with bow.",
        ),
        change="Balls that fly straight, or a start off line.",
    )
