"""Which block comes next, and why; and a plan for today that fits the ball cap."""

from dataclasses import dataclass, replace
from typing import NamedTuple

from rangelog.core.words import BlockKind, Lever
from rangelog.journey.kinds import KINDS, planned_count

REST_AFTER_BALLS = 60
DAY_BUDGET = 60
LEAST_BLOCK = 6
WARM_AFTER_BALLS = 10
"""A player who has hit so many today is warm, whatever the block was called."""


@dataclass(frozen=True, slots=True)
class Progress:
    """What has been done, as plain values.

    Attributes:
        ball_cap, hit_today: the cap, and balls hit so far today.
        done_today: kinds of blocks that reached their end today, in order.
        done_before: kinds that reached their end on earlier days with the prescribed club.
        first_lever: the lever the prescription starts with.
        extremes_off: no bow-extreme block may be offered today (pain, a wrist history, a junior).
        bow_stopped: bow hints have stopped today.
        pain_stopped: hints have ended for today.
        body_failed: a body check failed, or height does not follow and is low.
        crossing_known: the bow that starts on line is known (+-0.6 notch, 90 %).
        grip_known: so is the grip, by a finished grip bracket.
        on_line_settings: combinations that start on line as far as can be told.
        chosen: a combination has been chosen since it was last revised.
        confirmed: it was confirmed.
        days_since_confirm: whole days since; None where it never was.
        retained: a retention test has been done since the confirm, this many days or later.
        retention_due: the prescription or the plan asks for another retention test (a week later).
        spread_deg: the player's spread, where known.
        swing_short: the swing is short; a ladder needs at least half swings.
        other_clubs: clubs of the bag besides the prescribed one.
        junior: fewer balls, no extremes.
    """

    ball_cap: int = 60
    hit_today: int = 0
    done_today: tuple[BlockKind, ...] = ()
    done_before: frozenset[BlockKind] = frozenset()
    first_lever: Lever = Lever.BOW
    extremes_off: bool = False
    bow_stopped: bool = False
    pain_stopped: bool = False
    body_failed: bool = False
    crossing_known: bool = False
    grip_known: bool = False
    on_line_settings: int = 0
    chosen: bool = False
    confirmed: bool = False
    days_since_confirm: int | None = None
    retained: bool = False
    retention_due: bool = False
    spread_deg: float | None = None
    swing_short: bool = False
    other_clubs: int = 0
    junior: bool = False

    @property
    def left(self) -> int:
        """Balls to the cap."""
        return max(0, self.ball_cap - self.hit_today)

    def ever(self, kind: BlockKind) -> bool:
        """The kind reached its end, today or before."""
        return kind in self.done_today or kind in self.done_before


class Next(NamedTuple):
    """The next block and why; `kind` is None where today is enough."""

    kind: BlockKind | None
    reason: str


class Planned(NamedTuple):
    """One line of the plan for today."""

    kind: BlockKind
    balls: int
    reason: str


def propose(progress: Progress) -> Next:
    """The next block by the order of the journey, first match. Never one that would go past the cap or past pain."""
    if progress.pain_stopped:
        return Next(None, "Pain: that is all for today.")
    if progress.left < LEAST_BLOCK:
        return Next(None, f"{progress.left} balls to the cap: that is all for today.")
    return _order(progress)


def _order(progress: Progress) -> Next:
    today = progress.done_today
    if BlockKind.WARM_UP not in today and progress.hit_today < WARM_AFTER_BALLS:
        return Next(BlockKind.WARM_UP, "Cold balls would pollute every count; warm-up balls enter no fit.")
    if _retention_first(progress):
        return Next(BlockKind.RETENTION, f"{_days(progress.days_since_confirm)} since confirm: what is left without rehearsal comes first.")
    # once the crossing is known nobody hits as ever any more: it is too late for a yardstick of before
    if not progress.ever(BlockKind.BASELINE) and not progress.crossing_known:
        return Next(BlockKind.BASELINE, "The yardstick for better, tired and worth it.")
    if progress.body_failed:
        return Next(BlockKind.LADDER if _ladder_fits(progress) else None, "Body first: bow and grip wait until the body check passes.")
    return _brackets(progress) or _after_confirm(progress)


def _brackets(progress: Progress) -> Next | None:
    bow_ok = not progress.bow_stopped and not progress.extremes_off
    if not progress.confirmed:
        bow_needed = not progress.crossing_known and BlockKind.BOW_BRACKET not in progress.done_today
        grip_needed = not progress.grip_known and not progress.ever(BlockKind.GRIP_BRACKET)
        if progress.first_lever is Lever.BOW and bow_ok and bow_needed:
            again = "The line moves a degree or two from day to day: a few balls find today's notch."
            first = "Two extremes show whether bow moves your ball, which way and how far."
            return Next(BlockKind.BOW_BRACKET, again if BlockKind.BOW_BRACKET in progress.done_before else first)
        if grip_needed and (progress.first_lever is Lever.GRIP or not bow_ok or not progress.crossing_known):
            why = "Extremes of bow are off today; the grip lever stays." if not bow_ok else "The grip is the other way to the same line."
            return Next(BlockKind.GRIP_BRACKET, why)
        if grip_needed and _fits(progress, BlockKind.GRIP_BRACKET) and not progress.chosen:
            return Next(BlockKind.GRIP_BRACKET, "A second on-line combination gives a choice by strike and comfort. Best after a break.")
        if progress.on_line_settings >= 2 and not progress.chosen and _fits(progress, BlockKind.CHOOSE):
            return Next(BlockKind.CHOOSE, "Several settings start on line: strike and comfort decide, in turn.")
        if progress.crossing_known or progress.grip_known or progress.chosen:
            return _if_fits(progress, BlockKind.CONFIRM, "Balls that chose a setting cannot confirm it; fresh ones can.")
        return Next(BlockKind.FREE, "The line is not found yet: free balls, one thing at a time, then the coach.")
    return None


def _after_confirm(progress: Progress) -> Next:
    if _ladder_fits(progress) and not progress.ever(BlockKind.LADDER):
        return Next(BlockKind.LADDER, "Height should follow ball position; if it does not, the body travels.")
    rest = (
        (BlockKind.TRAJECTORY, "Low, stock and high on demand, from the same setting."),
        (BlockKind.CARRY_OVER, "Each club has its own line; the same notch need not carry."),
        (BlockKind.STICK_OFF, "Is the lean still there without the reminder?"),
        (BlockKind.RANDOM, "Block practice flatters; random order with a full routine tells."),
    )
    for kind, reason in rest:
        if kind is BlockKind.CARRY_OVER and not progress.other_clubs:
            continue
        if kind is BlockKind.TRAJECTORY and progress.swing_short:
            continue
        if not progress.ever(kind) and _fits(progress, kind):
            return Next(kind, reason)
    if progress.days_since_confirm == 0:
        return Next(None, "Done for today. Retention comes first on another day.")
    if BlockKind.RANDOM not in progress.done_today and _fits(progress, BlockKind.RANDOM):
        return Next(BlockKind.RANDOM, "Keep it: random order, one ball at a time.")
    return Next(None, "The plan is done. Show the page to your coach.")


def _retention_first(progress: Progress) -> bool:
    if progress.days_since_confirm is None or progress.days_since_confirm < 1 or BlockKind.RETENTION in progress.done_today:
        return False
    untouched = all(kind is BlockKind.WARM_UP for kind in progress.done_today)
    return untouched and (not progress.retained or progress.retention_due)


def _days(days: int | None) -> str:
    return "1 day" if days == 1 else f"{days} days"


def _count(progress: Progress, kind: BlockKind) -> int:
    return planned_count(kind, spread_deg=progress.spread_deg, junior=progress.junior)


def _fits(progress: Progress, kind: BlockKind) -> bool:
    return _count(progress, kind) <= progress.left


def _ladder_fits(progress: Progress) -> bool:
    return not progress.swing_short and _fits(progress, BlockKind.LADDER)


def _if_fits(progress: Progress, kind: BlockKind, reason: str) -> Next:
    if _fits(progress, kind):
        return Next(kind, reason)
    return Next(None, f"{KINDS[kind].name} needs {_count(progress, kind)} balls, {progress.left} are left: next time, first thing.")


def plan_today(progress: Progress) -> tuple[Planned, ...]:
    """The blocks of today in order, as they would follow if each went well, within the cap."""
    lines: list[Planned] = []
    ahead = progress
    while len(lines) < len(KINDS):
        kind, reason = propose(ahead)
        if kind is None or kind is BlockKind.FREE or any(line.kind is kind for line in lines):
            break
        balls = min(_count(ahead, kind), ahead.left)
        lines.append(Planned(kind, balls, reason))
        ahead = _as_if(ahead, kind, balls)
    return tuple(lines)


def _as_if(progress: Progress, kind: BlockKind, balls: int) -> Progress:
    after = replace(progress, hit_today=progress.hit_today + balls, done_today=(*progress.done_today, kind))
    if kind is BlockKind.BOW_BRACKET:
        return replace(after, crossing_known=True, on_line_settings=max(1, after.on_line_settings))
    if kind is BlockKind.GRIP_BRACKET:
        return replace(after, grip_known=True, on_line_settings=after.on_line_settings + 1)
    if kind is BlockKind.CHOOSE:
        return replace(after, chosen=True)
    if kind is BlockKind.CONFIRM:
        return replace(after, confirmed=True, days_since_confirm=0, retained=False)
    return replace(after, retained=True, retention_due=False) if kind is BlockKind.RETENTION else after


def plan_lines(progress: Progress) -> tuple[str, ...]:
    """The plan for today as lines: "8 warm-up", ..., and what it adds up to."""
    planned = plan_today(progress)
    if not planned:
        return (propose(progress).reason,)
    total = sum(line.balls for line in planned)
    rows = tuple(f"{line.balls:>3} {line.kind.value}: {line.reason}" for line in planned)
    return (*rows, f"{total} balls, {progress.left - total} to spare under the cap of {progress.ball_cap}.")
