"""What was thrown away, and what was asked against what was done."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.player import Prescription
from rangelog.core.results import Share
from rangelog.core.words import Reason
from rangelog.evidence.intervals import wilson
from rangelog.logbook import review_words as say
from rangelog.logbook.review_answer import Answer
from rangelog.logbook.review_start import NO_SHARE, StartLine, start_line
from rangelog.logbook.review_tally import Tally

WARN_SHARE = 0.20
"""Share of uncounted balls from which the review warns (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Uncounted(Answer):
    """What was thrown away?

    Attributes:
        share: uncounted of all.
        reasons: balls by reason; None where none was kept.
        without, with_them: where the counted balls started, and where all balls with a seen start did.
    """

    share: Share = NO_SHARE
    reasons: Mapping[Reason | None, int] | None = None
    without: StartLine | None = None
    with_them: StartLine | None = None


@dataclass(frozen=True, slots=True)
class AskedAndDone(Answer):
    """What did the coach ask, what was done? One row for every line of the prescription."""


@dataclass(frozen=True, slots=True)
class Done:
    """What was done under one version of a prescription.

    Attributes:
        balls: hit under it.
        with_club, with_swing: of these, with the club and the swing length it names.
        above_limit: balls with an intended bow above the wrist limit.
        sessions, over_cap: sessions under it, and how many of them passed the ball cap.
        moved_bow, moved_grip: different bows and grips that were stated.
        pain: highest pain answered, None where it was never asked.
        first_moved: "bow" or "grip", the lever that was moved first; empty while neither was.
    """

    balls: int = 0
    with_club: int = 0
    with_swing: int = 0
    above_limit: int = 0
    sessions: int = 0
    over_cap: int = 0
    moved_bow: int = 0
    moved_grip: int = 0
    pain: int | None = None
    first_moved: str = ""


def uncounted(
    counted: Tally,
    left_out: Tally,
    reasons: Mapping[Reason | None, int],
    chosen: str,
    window_deg: float = scales.DEFAULT_WINDOW_DEG,
    wide_deg: float = scales.DEFAULT_WIDE_DEG,
) -> Uncounted:
    """Uncounted balls with their reasons, and the result with them put back in."""
    both = counted + left_out
    out = wilson(left_out.n, both.n)
    without, with_them = start_line(counted, window_deg, wide_deg), start_line(both, window_deg, wide_deg)
    warning = (f"More than {say.percent(WARN_SHARE)} % are not counted.",) if both.n and out.share > WARN_SHARE else ()
    return Uncounted(
        "What was thrown away?",
        both.n,
        chosen,
        f"{left_out.n} of {both.n} not counted. Mean start {say.bias(without.bias, without.from_classes)}; with them put back "
        f"{say.bias(with_them.bias, with_them.from_classes)}."
        if left_out.n
        else f"All {say.balls(both.n)} counted.",
        ("reason", "balls"),
        tuple(
            (reason.value if reason else "no reason kept", str(n))
            for reason, n in sorted(reasons.items(), key=lambda item: (-item[1], str(item[0])))
        ),
        warning,
        share=out,
        reasons=dict(reasons),
        without=without,
        with_them=with_them,
    )


def asked_and_done(asked: Prescription, done: Done, club_name: str, chosen: str) -> AskedAndDone:
    """The prescription line by line with what the balls say."""
    rows: list[tuple[str, str, str]] = []
    if asked.club_id:
        rows.append(("club", club_name or asked.club_id, f"{done.with_club} of {say.balls(done.balls)}"))
    rows.append(("swing", asked.swing.value, f"{done.with_swing} of {say.balls(done.balls)}"))
    rows.append(("first lever", asked.first_lever.value, f"moved first: {done.first_moved or 'none yet'}"))
    rows.append(("levers tried", "", f"{done.moved_bow} bows, {done.moved_grip} grips"))
    if asked.wrist_limit_bow is not None:
        rows.append(("wrist limit", f"bow {asked.wrist_limit_bow:g}", f"{say.balls(done.above_limit)} above it"))
    rows.append(("ball cap", str(asked.ball_cap), f"passed in {done.over_cap} of {done.sessions} sessions"))
    rows.append(
        ("pain", "past history" if asked.pain_history else "none stated", "never asked" if done.pain is None else f"highest {done.pain}")
    )
    return AskedAndDone(
        "What was asked, what was done?", done.balls, chosen, _departures(asked, done), ("line", "asked", "done"), tuple(rows)
    )


def _departures(asked: Prescription, done: Done) -> str:
    found: Sequence[str] = [
        words
        for words, holds in (
            (f"another club on {say.balls(done.balls - done.with_club)}", bool(asked.club_id) and done.with_club < done.balls),
            (f"another swing on {say.balls(done.balls - done.with_swing)}", done.with_swing < done.balls),
            (f"{done.first_moved} moved first", bool(done.first_moved) and done.first_moved != asked.first_lever.value),
            (f"bow above the limit on {say.balls(done.above_limit)}", done.above_limit > 0),
            (f"ball cap passed in {done.over_cap} of {done.sessions} sessions", done.over_cap > 0),
        )
        if holds
    ]
    if not done.balls:
        return "No ball was hit under this prescription yet."
    return f"As asked, except: {say.listed(found)}." if found else "As asked."
