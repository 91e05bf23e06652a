"""What is not known, and the three questions for the coach: each rule looks at the facts and speaks or stays silent."""

import math

from rangelog.core.words import BlockKind, Verdict
from rangelog.evidence.ladder import LadderVerdict
from rangelog.logbook import review_words as say
from rangelog.logbook.review_kept import WARN_SHARE
from rangelog.report.facts import Facts

MOST_UNKNOWN = 5
WIDE_SPREAD_DEG = 3.5
"""From here the spread is asked about (from memory; a changeable default)."""


def unknown(facts: Facts) -> list[str]:
    """What these balls cannot tell, the weightiest first."""
    found = []
    blind = sum(not session.aim_line for session in facts.sessions)
    if blind:
        found.append(f"In {blind} of {len(facts.sessions)} sessions there was no aim line: starts were read against a guess.")
    elif facts.baseline is not None or facts.now is not None:
        found.append("An aim that is off by the same angle in every session cannot be seen in starts.")
    if facts.uncounted.share.n and facts.uncounted.share.share > WARN_SHARE:
        found.append(f"More than {say.percent(WARN_SHARE)} % of the balls are not counted.")
    found += [note for note in facts.grid.notes if note]
    hit = {row.block for row in facts.tests.conditions}
    untested = [
        words
        for words, kind in (
            ("fresh balls (confirm)", BlockKind.CONFIRM),
            ("random order", BlockKind.RANDOM),
            ("another day (retention)", BlockKind.RETENTION),
        )
        if kind not in hit and not (kind is BlockKind.RANDOM and any(row.drawn for row in facts.tests.conditions))
    ]
    if not any(not row.stick for row in facts.tests.conditions):
        untested.insert(min(1, len(untested)), "the stick off")
    if untested:
        found.append(f"Not tested: {say.listed(untested)}.")
    if facts.ladder.found is None:
        found.append("Whether height follows ball position: no ladder was hit.")
    elif facts.ladder.found.verdict is LadderVerdict.UNDECIDED:
        found.append(f"Whether height follows ball position: about {facts.ladder.found.balls_needed} more solid balls at each end.")
    if facts.now is not None and not facts.now.start.known:
        found.append("The mean start of the chosen combination: too few balls, or all in one class.")
    unkeyed = facts.hit.strikes[None]
    if facts.hit.n and unkeyed > 0.2 * facts.hit.n:
        found.append(f"Strike on {unkeyed} of {say.balls(facts.hit.n)} was not keyed.")
    return found[:MOST_UNKNOWN] or ["Nothing that these balls were meant to tell is open."]


def questions(facts: Facts) -> list[str]:
    """Three questions worth the coach's time, the weightiest first."""
    found = []
    if facts.ladder.found is not None and facts.ladder.found.verdict in {LadderVerdict.DOES_NOT_FOLLOW, LadderVerdict.BACKWARDS}:
        found.append("Height does not follow ball position: does my body travel with the ball?")
    if facts.pain and max(facts.pain.values()) >= 3:
        found.append(f"Pain reached {max(facts.pain.values())} of 10: which setting and which swing should I leave out?")
    if facts.model is not None and facts.model.diagnosis.wrong_sign > 0.95 and facts.model.diagnosis.bow_moved:
        found.append("More bow sends my ball to the open side: is the grip stick clear of the arm, and what does the forearm do?")
    if facts.tests.conditions and facts.tests.p <= 0.05:
        found.append("The last test differs from the confirm block: more balls with the stick off, or back to the setting?")
    if facts.chosen is not None and facts.runner_up is not None and facts.comparison is not None:
        apart = facts.comparison.p_direction <= 0.05 or facts.comparison.p_strike <= 0.05
        if not apart:
            pair = f"{say.setting(facts.chosen)} and {say.setting(facts.runner_up)}"
            found.append(f"{pair.capitalize()} cannot be told apart: which would you have me own?")
    if facts.now is not None and math.isfinite(facts.now.start.spread.high) and facts.now.start.spread.mean >= WIDE_SPREAD_DEG:
        found.append(f"My starts spread {facts.now.start.spread.mean:.1f} deg around their mean: what would narrow them?")
    if facts.now is not None and facts.now.tally.strike_known and facts.now.tally.solid < 0.6 * facts.now.tally.strike_known:
        found.append(f"Solid {facts.now.tally.solid} of {facts.now.tally.strike_known}: is there something to do about strike first?")
    if facts.now is not None and facts.now.start.known and abs(facts.now.start.bias.mean) > facts.prescription.window_deg:
        side = Verdict.RIGHT if facts.now.start.bias.mean > 0 else Verdict.LEFT
        found.append(f"The mean start is still {side} of the window: more bow, more grip, or aim?")
    found += [
        "What should the next prescription change, and what should stay?",
        "Which club or swing length comes next, and is the window right for it?",
        "What do you see at impact that these numbers cannot show?",
    ]
    return found[:3]
