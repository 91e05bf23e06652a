"""The sentences of the coach's page, section by section."""

import math
from collections.abc import Sequence

from rangelog.core import hand as mirror
from rangelog.core.results import Estimate, Setting
from rangelog.core.words import CheckAnswer, Surface
from rangelog.evidence.intervals import wilson
from rangelog.journey.forms import BODY
from rangelog.logbook import review_words as say
from rangelog.logbook.review_settings import in_step
from rangelog.report.facts import Facts
from rangelog.report.reading import Group


def who(facts: Facts) -> list[str]:
    """Dates, sessions and every ball that was hit, counted or not."""
    hand = facts.player.hand
    lead = f", {facts.player.lead_hand} hand leads" if facts.player.lead_hand is hand else ""
    lines = [
        f"{hand.capitalize()}-handed{lead}: the open side is {mirror.open_word(hand)}. "
        "Starts are degrees, + is right of the line; +- is half a 90 % interval.",
        f"{_sessions(len(facts.sessions))}: {say.balls(facts.hit.n + facts.warm_up)} hit, {facts.warm_up} of them warm-up; "
        f"{facts.hit.n - facts.uncounted.share.hits} counted, {facts.uncounted.share.hits} not counted{_reasons(facts)}.",
    ]
    if facts.uncounted.share.hits:
        lines.append(facts.uncounted.sentence.split(". ", 1)[1])
    if facts.relabelled:
        words = ", ".join(f"{n} ({reason or 'no reason'})" for reason, n in facts.relabelled)
        lines.append(f"Bow or grip re-labelled after the ball: {words}.")
    return lines


def _sessions(n: int) -> str:
    return f"{n} session" if n == 1 else f"{n} sessions"


def _reasons(facts: Facts) -> str:
    reasons = facts.uncounted.reasons or {}
    if not reasons:
        return ""
    return (
        " ("
        + ", ".join(f"{n} {reason.value if reason else 'no reason'}" for reason, n in sorted(reasons.items(), key=lambda item: -item[1]))
        + ")"
    )


def prescription(facts: Facts) -> list[str]:
    """What was asked, and whether it was done."""
    asked = facts.prescription
    if not asked.id:
        return ["None written down."]
    parts = [
        facts.club.label if facts.club else "club not named",
        f"{asked.swing} swing",
        f"{asked.first_lever} first",
        f"on line within {asked.window_deg:g} deg",
        f"at most {say.balls(asked.ball_cap)} a day",
    ]
    if asked.wrist_limit_bow is not None:
        parts.append(f"bow never above {asked.wrist_limit_bow:g}")
    if asked.pain_history:
        parts.append("wrist pain or surgery before")
    lines = [f"Version {asked.version}{f' of {asked.made_at[:10]}' if asked.made_at else ''}, set by {asked.set_by}: {', '.join(parts)}."]
    if asked.text:
        lines.append(f"In words: {_short(asked.text)}")
    lines.append(f"Done: {facts.asked.sentence}")
    return lines


def _short(text: str, most: int = 180) -> str:
    folded = " ".join(text.split())
    return folded if len(folded) <= most else f"{folded[:most].rstrip()} ..."


def kit(facts: Facts) -> list[str]:
    """Surface, aim method, and how the starts were read."""
    n = len(facts.sessions)
    surfaces = ", ".join(
        f"{surface} {count}" for surface in Surface if (count := sum(session.surface is surface for session in facts.sessions))
    )
    aimed = sum(session.aim_line for session in facts.sessions)
    line = f"Sessions by surface: {surfaces}. Aim line on the ground in {aimed} of {n}."
    seen = f"Starts read by eye on {say.balls(facts.by_eye)}, in degrees on {facts.in_degrees}."
    if facts.corrected:
        seen += f" A later correction of the aim line is in {say.balls(facts.corrected)}."
    return [line, seen]


def body(facts: Facts) -> list[str]:
    """The last body check, and how often one failed."""
    checks = [form for form in facts.forms if form.name == "body"]
    if not checks:
        return ["No body check was kept."]
    last = checks[-1].answers
    answers = [(field.name, last[field.name]) for field in BODY.fields if last.get(field.name) in set(CheckAnswer)]
    failed = sum(CheckAnswer.FAIL in form.answers.values() for form in checks)
    words = ", ".join(f"{name.replace('_', ' ')} {answer}" for name, answer in answers) or "nothing answered"
    return [f"Last of {len(checks)} body checks, {checks[-1].at[:10]}: {words}. One or more points failed in {failed} of {len(checks)}."]


def baseline(facts: Facts) -> list[str]:
    """Baseline against now, each number with its interval."""
    lines = [group_line(group) for group in (facts.baseline, facts.now) if group is not None]
    return lines or ["No baseline block and no combination yet."]


def group_line(group: Group) -> str:
    """One group of balls in one sentence: count, mean start, spread, on-line share and solid share, each with its interval."""
    tally = group.tally
    return (
        f"{group.label}: {say.balls(tally.n)}, start {say.bias(group.start.bias, group.start.from_classes)}, "
        f"spread {say.spread(group.start.spread)}, on line {say.likely(wilson(tally.on_line, tally.seen))}, "
        f"solid {say.likely(wilson(tally.solid, tally.strike_known))}."
    )


def effects(facts: Facts) -> list[str]:
    """What both levers do, with the pairs that were tried."""
    lines = []
    if facts.model is not None and facts.settings:
        found = facts.model.diagnosis
        if in_step(facts.settings):
            lines.append("Bow and grip moved in step: their effects cannot be separated.")
        else:
            lines.append(_effect("One notch more bow", found.bow_deg_per_notch, len({setting.bow for setting in facts.settings}) > 1))
            lines.append(_effect("Grip 10 deg stronger", found.grip_deg_per_ten, len({setting.grip for setting in facts.settings}) > 1))
        if facts.grid.line:
            lines.append(facts.grid.sentence)
    lines += _late(facts)
    grips: dict[float, list[str]] = {}
    for setting, tally in sorted(facts.settings.items()):
        grips.setdefault(setting.grip, []).append(f"bow {setting.bow:g} ({tally.n})")
    pairs = [f"grip {grip:g}: {', '.join(grips[grip])}" for grip in sorted(grips)]
    lines.append(
        f"Tried, with balls: {'; '.join(pairs)}." if len(facts.settings) <= 12 else f"Tried: {len(facts.settings)} pairs of grip and bow."
    )
    return lines


def _late(facts: Facts) -> list[str]:
    """Sessions that ended tired, and what the bow does without their last balls."""
    if not facts.tired:
        return []
    days = {session.id: session.started_at[:10] for session in facts.sessions}
    end = facts.tired[-1]
    words = (
        f"Tired at the end of {days[end.session_id]}: {end.late.hits} of {end.late.n} solid, was {end.before.hits} of {end.before.n} "
        f"({say.chance(end.p)})"
    )
    if len(facts.tired) > 1:
        words += f", and of {len(facts.tired) - 1} more"
    late = sum(len(each.ball_ids) for each in facts.tired)
    if facts.model_without_late is None:
        return [f"{words}."]
    moved = len({setting.bow for setting in facts.settings}) > 1
    return [
        f"{words}. "
        + _effect(f"Without those {say.balls(late)} one notch more bow", facts.model_without_late.diagnosis.bow_deg_per_notch, moved)
    ]


def _effect(what: str, found: Estimate, moved: bool) -> str:
    if not moved:
        return f"{what}: not known, since it was never moved."
    side = mirror.side_word(found.mean)
    return f"{what} moves the start {abs(found.mean):.1f} +-{found.half_width:.1f} deg{' to the ' + side if side != 'on line' else ''}."


def combination(facts: Facts) -> list[str]:
    """The chosen combination, the runner-up, and why."""
    if facts.chosen is None:
        return ["None yet: no confirm block, and no setting that can be put first."]
    lines = [
        f"{'Confirmed' if facts.confirmed else 'First so far, not confirmed'}: {say.setting(facts.chosen)}{_comfort(facts, facts.chosen)}."
    ]
    if facts.model is not None and facts.chosen in facts.model.shares:
        share, bias, reason = facts.model.shares[facts.chosen], facts.model.biases[facts.chosen], facts.model.reason(facts.chosen.grip)
        lines.append(
            f"The model gives it {say.percent(share)} % of starts on line now, bias {say.bias(bias)} deg{'; ' + reason if reason else ''}."
        )
    if facts.runner_up is not None and facts.comparison is not None:
        lines.append(f"Runner-up: {say.setting(facts.runner_up)}{_comfort(facts, facts.runner_up)}. {facts.comparison.sentence}")
    return lines


def _comfort(facts: Facts, setting: Setting) -> str:
    found = facts.comfort.get(setting)
    return f", comfort {found[0]:.1f} of 5 ({found[1]} answers)" if found else ""


def tests(facts: Facts) -> list[str]:
    """Confirm, stick off, random and retention, each in its own row, never pooled."""
    rows = [
        f"{row.label.capitalize()}: on line {say.share(row.on_line)}, start {say.bias(row.start.bias, row.start.from_classes)}, "
        f"solid {say.share(row.solid)}."
        for row in facts.tests.conditions
    ]
    return [facts.tests.sentence, *rows] if rows else ["No confirm, stick-off, random or retention block yet."]


def height(facts: Facts) -> list[str]:
    """The ladder's verdict with its counts."""
    found = facts.ladder
    if found.found is None:
        return [found.sentence]
    return [f"{found.sentence} (Solid: {say.balls(found.found.back_n)} back, {found.found.front_n} forward.)", *found.notes[:1]]


def wellbeing(facts: Facts) -> list[str]:
    """Pain and comfort as they were answered; nothing is diagnosed."""
    if facts.pain is None:
        pain = "Pain was not asked."
    elif not any(facts.pain.values()):
        pain = "Pain was asked: always 0 of 10."
    else:
        pain = "Highest pain: " + ", ".join(f"{site} {level} of 10" for site, level in facts.pain.items() if level) + "."
    given = sum(n for _, n in facts.comfort.values())
    mean = sum(value * n for value, n in facts.comfort.values()) / given if given else math.nan
    return [f"{pain} {f'Comfort: mean {mean:.1f} of 5 over {given} answers.' if given else 'Comfort was not asked.'}"]


def days(facts: Facts) -> list[str]:
    """Day to day at the chosen combination."""
    return [facts.days.sentence] if len(facts.days.days) > 1 else []


def signature() -> list[str]:
    """For the coach's pen."""
    return [
        "Club ________  swing ________  lever ________  window ____ deg  at most ____ balls",
        "Coach ____________________  date ____________",
    ]


def listing(sentences: Sequence[str], start: int = 1) -> list[str]:
    """Numbered sentences."""
    return [f"{at}. {sentence}" for at, sentence in enumerate(sentences, start=start)]
