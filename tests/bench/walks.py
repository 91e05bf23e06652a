"""A simulated player on the tee with the engine: suggest() after every ball, and the player does what it says, patience included.

One function per kind of session; each returns plain arrays, one entry per ball, for one player.
"""

from dataclasses import dataclass, field
from statistics import fmean

import numpy as np

from rangelog.bracketing import Bracket
from tests.bench.players import BOW_RANGE, FIRST_GRIP, GRIP_RANGE, WIDE_DEG, WINDOW_DEG, Player


def bracket(player: Player) -> Bracket:
    """A fresh engine for this player, with the scales of the public interface."""
    return Bracket(hand=player.hand, window=WINDOW_DEG, wide=WIDE_DEG, bow_range=BOW_RANGE, grip_range=GRIP_RANGE)


@dataclass
class Answer:
    """One probability or interval of the engine with the truth it is held against.

    Attributes:
        ball: balls hit when it was asked.
        predicted, true_share: on-line share of a setting; bias_covered: whether the 90 % interval of its bias held the truth.
        near: whether the setting is the one proposed next (else one drawn from the scale).
    """

    ball: int
    predicted: float
    true_share: float
    bias_covered: bool
    near: bool


@dataclass
class OneLever:
    """What one lever-bow session left, per ball.

    Attributes:
        left_deg: |bias| at crossing().bow.
        bows: bow of each ball.
        crossing_covered, crossing_finite: for each asked ball count.
        told: for each ball, whether verdict() says "centred" of the setting just hit; over: whether its |bias| is over the window.
        told_near, over_near: the same for the recommended bow, rounded to a half notch.
        told_exact, over_exact: the same for the recommended bow itself.
        sides: for every bow that verdict() first calls "left" or "right" beyond the window, whether it truly is beyond it there.
    """

    left_deg: list[float] = field(default_factory=list)
    bows: list[float] = field(default_factory=list)
    crossing_covered: dict[int, bool] = field(default_factory=dict)
    crossing_finite: dict[int, bool] = field(default_factory=dict)
    answers: list[Answer] = field(default_factory=list)
    told: list[bool] = field(default_factory=list)
    over: list[bool] = field(default_factory=list)
    told_near: list[bool] = field(default_factory=list)
    over_near: list[bool] = field(default_factory=list)
    told_exact: list[bool] = field(default_factory=list)
    over_exact: list[bool] = field(default_factory=list)
    sides: dict[float, bool] = field(default_factory=dict)


def one_lever(
    player: Player,
    balls: int,
    *,
    verdicts: bool = False,
    ask_at: tuple[int, ...] = (),
    engine: Bracket | None = None,
    session: int = 0,
    as_degrees: bool = False,
) -> OneLever:
    """A session on the bow lever at the first grip.

    Args:
        verdicts: ask verdict() after every ball.
        ask_at: ball counts at which share, bias and crossing intervals are asked, of the next setting and of one drawn half notch.
        engine: an engine with memory; a fresh one where not given.
        as_degrees: the engine reads every ball in degrees instead of classes.
    """
    b = engine or bracket(player)
    seen = OneLever()
    other_bows = np.random.default_rng([77, player.number, session]).choice(np.arange(BOW_RANGE[0], BOW_RANGE[1] + 0.25, 0.5), size=balls)
    name = f"day {session + 1}"
    for ball in range(balls):
        bow = b.suggest(lever="bow", grip=FIRST_GRIP).bow
        start = player.start_deg(bow, FIRST_GRIP, session, ball) if as_degrees else str(player.side(bow, FIRST_GRIP, session, ball))
        b.add(bow=bow, grip=FIRST_GRIP, start=start, session=name)
        crossing = b.crossing(grip=FIRST_GRIP)
        seen.bows.append(bow)
        seen.left_deg.append(abs(player.bias_deg(crossing.bow, FIRST_GRIP, session, ball)))
        if verdicts:
            half = min(BOW_RANGE[1], max(BOW_RANGE[0], round(crossing.bow * 2.0) / 2.0))
            for at, told, over in (
                (bow, seen.told, seen.over),
                (half, seen.told_near, seen.over_near),
                (crossing.bow, seen.told_exact, seen.over_exact),
            ):
                verdict, bias = b.verdict(bow=at, grip=FIRST_GRIP), player.bias_deg(at, FIRST_GRIP, session, ball)
                told.append(verdict == "centred")
                over.append(abs(bias) > WINDOW_DEG)
                if verdict in ("left", "right"):
                    seen.sides.setdefault(at, bias > WINDOW_DEG if verdict == "right" else bias < -WINDOW_DEG)
        if ball + 1 in ask_at:
            seen.crossing_covered[ball + 1] = crossing.low <= player.crossing_now(FIRST_GRIP, session, ball) <= crossing.high
            seen.crossing_finite[ball + 1] = crossing.known
            proposed = b.suggest(lever="bow", grip=FIRST_GRIP).bow
            for at, near in ((proposed, True), (float(other_bows[ball]), False)):
                bias = b.bias(bow=at, grip=FIRST_GRIP)
                seen.answers.append(
                    Answer(
                        ball + 1,
                        b.on_line_share(bow=at, grip=FIRST_GRIP),
                        player.share(at, FIRST_GRIP, session, ball),
                        bias.low <= player.bias_deg(at, FIRST_GRIP, session, ball) <= bias.high,
                        near,
                    )
                )
    return seen


def at_own_crossing(player: Player, balls: int, patience: int, leave_at: float) -> list[float]:
    """|bias| per ball where the player does not ask suggest(): he stands at crossing().bow, to the half notch.

    He looks again after `patience` balls, or at once where the crossing has moved from him by more than `leave_at` notches.
    """
    b = bracket(player)
    left: list[float] = []
    at, run = 0.0, patience
    for ball in range(balls):
        wanted = min(BOW_RANGE[1], max(BOW_RANGE[0], round(b.crossing(grip=FIRST_GRIP).bow * 2.0) / 2.0))
        if run >= patience or abs(wanted - at) > leave_at:
            run = 0 if wanted != at else run
            at = wanted
        run += 1
        b.add(bow=at, grip=FIRST_GRIP, start=str(player.side(at, FIRST_GRIP, 0, ball)), session="day 1")
        left.append(abs(player.bias_deg(b.crossing(grip=FIRST_GRIP).bow, FIRST_GRIP, 0, ball)))
    return left


@dataclass
class SecondDay:
    """|bias| per ball of a second session, by the engine that remembers the first and by one that does not."""

    remembering: list[float]
    forgetting: list[float]


def second_day(player: Player, first_balls: int = 40, balls: int = 8) -> SecondDay:
    """A first session, then a second on another day, with and without the memory of the first."""
    b = bracket(player)
    one_lever(player, first_balls, engine=b)
    remembering = one_lever(player, balls, engine=b, session=1).left_deg
    return SecondDay(remembering, one_lever(player, balls, session=1).left_deg)


@dataclass
class TwoLevers:
    """On-line share given away after the last ball of each session, against the best on the scale at that moment.

    Attributes:
        chosen: at combinations()[0].
        first_grip: at crossing(first grip).bow of an engine that was led with lever="bow" and stayed at the first grip.
        first_grip_best: at the first grip with the bow that is truly best there, the least that staying can give away.
        grips: how many different grips suggest(lever=None) had the player use.
        grip_off: |grip - best grip| in degrees of combinations()[0] at the end.
    """

    chosen: list[float]
    first_grip: list[float]
    first_grip_best: list[float]
    grips: int
    grip_off: float


def two_levers(player: Player, sessions: int = 3, balls: int = 60) -> TwoLevers:
    """Sessions led by suggest(lever=None); the stayer is led by suggest(lever="bow") at the first grip and meets the same luck."""
    free, stay = bracket(player), bracket(player)
    chosen: list[float] = []
    first_grip: list[float] = []
    first_grip_best: list[float] = []
    used: set[float] = set()
    last = balls - 1
    for session in range(sessions):
        name = f"day {session + 1}"
        for ball in range(balls):
            at = free.suggest(lever=None)
            used.add(at.grip)
            free.add(bow=at.bow, grip=at.grip, start=str(player.side(at.bow, at.grip, session, ball)), session=name)
        one_lever(player, balls, engine=stay, session=session)
        best = player.best_share(session, last)
        top = free.combinations()[0]
        chosen.append(best - player.share(top.bow, top.grip, session, last))
        first_grip.append(best - player.share(stay.crossing(grip=FIRST_GRIP).bow, FIRST_GRIP, session, last))
        first_grip_best.append(best - player.best_share(session, last, FIRST_GRIP))
        off = abs(top.grip - player.best_grip)
    return TwoLevers(chosen, first_grip, first_grip_best, len(used), off)


def mean_by_ball(rows: list[list[float]]) -> list[float]:
    """Mean over players for each ball."""
    return [fmean(column) for column in zip(*rows, strict=True)]
