"""One club's balls, session after session: each session starts from what the ones before it taught."""

from bisect import bisect_left
from dataclasses import dataclass, field, replace
from operator import attrgetter

import numpy as np

from rangelog.bracketing.balls import Ball
from rangelog.bracketing.cells import Cells, SpreadBelief, grid, spread_belief, weights
from rangelog.bracketing.likelihood import seen
from rangelog.bracketing.line import Line
from rangelog.bracketing.normal import Floats
from rangelog.bracketing.posterior import Belief, SessionBelief, Stretch, fold, learn, session_start
from rangelog.bracketing.priors import BOW, BOW_CENTRE, GRIP_CENTRE, LINE, SHARED, Priors

SPREAD_WALK = 0.05
"""How far the logarithm of the spread may move between two sessions."""

FREER = 5.0
"""How many times faster than usual a line drifts in a session in which something moved."""

STRETCH = 30
"""Balls of a session that are settled at a time, once as many again have followed them."""

NEGLIGIBLE = 8.0
"""Cells whose log weight lies this far under the best answer no questions."""

_time = attrgetter("time")


@dataclass(frozen=True, slots=True)
class Carried:
    """What one session hands to the next: the shared unknowns for every shape of the spread, and the spread.

    Attributes:
        mean: (shapes, 5); cov: (shapes, 5, 5).
        spread: belief about the spread at the first grip.
    """

    mean: Floats
    cov: Floats
    spread: SpreadBelief

    def over_grips(self) -> "Carried":
        """The same once a second grip comes into play."""
        spread = self.spread.over_grips()
        times = len(spread.log_mean) // len(self.mean)
        return Carried(np.tile(self.mean, (times, 1)), np.tile(self.cov, (times, 1, 1)), spread)

    def overall(self) -> tuple[Floats, Floats]:
        """Mean (5,) and covariance (5, 5) over all shapes."""
        return collapsed(weights(self.spread.log_weight), self.mean, self.cov)


def collapsed(weight: Floats, mean: Floats, cov: Floats) -> tuple[Floats, Floats]:
    """Mean and covariance of a weighted mixture: weight (m,), mean (m, d), cov (m, d, d)."""
    centre = weight @ mean
    off = mean - centre
    return centre, np.einsum("m,mij->ij", weight, cov) + (off * weight[:, None]).T @ off


def untaught(priors: Priors) -> Carried:
    """What is carried before the first ball."""
    spread = SpreadBelief(np.array([priors.log_spread]), np.array([priors.log_spread_sd]), np.zeros(1))
    return Carried(priors.mean()[None], np.diag(priors.sd() ** 2)[None], spread)


@dataclass(frozen=True, slots=True)
class Now:
    """The belief after the latest ball.

    Attributes:
        cells: the spreads; belief: the session's belief; weight: (cells,) normalised.
        first_grip: grip of the intercept; stick_off: 1.0 where the latest ball was hit without the stick.
    """

    cells: Cells
    belief: SessionBelief
    weight: Floats
    first_grip: float
    stick_off: float

    def features(self, bow: Floats, grip: Floats | float) -> Floats:
        """Shared features (m, 5) at bows and grips, for now: ball position 0."""
        made = np.zeros((len(bow), SHARED))
        made[:, 0] = 1.0
        made[:, 1] = bow - BOW_CENTRE
        made[:, 2] = (np.asarray(grip) - self.first_grip) / 10.0
        made[:, 3] = self.stick_off
        return made

    def pair(self, level: Floats, slope: Floats) -> tuple[Floats, Floats]:
        """Mean (cells, 2) and covariance (cells, 2, 2) of the bias now at features (5,), and of its slope along others (5,)."""
        full = np.zeros((2, self.belief.mean.shape[1]))
        full[0, :SHARED], full[1, :SHARED] = level, slope
        full[0, -1] = 1.0
        return self.belief.mean @ full.T, full @ self.belief.cov @ full.T

    def line(self, grip: float) -> Line:
        """The line over bow at one grip."""
        per_notch = np.zeros(SHARED)
        per_notch[BOW] = 1.0
        mean, cov = self.pair(self.features(np.array([BOW_CENTRE]), grip)[0], per_notch)
        return Line(self.weight, mean, cov, self.cells.spread_at(np.array([grip]))[:, 0], BOW_CENTRE)


@dataclass
class Chain:
    """Balls of one club in their sessions, and the beliefs they lead to. Beliefs of closed sessions are kept.

    Attributes:
        start: what the club starts from; taught: whether that comes from older sessions.
        first_grip: grip of the intercept, None until a ball or a memory tells it.
    """

    priors: Priors
    start: Carried
    first_grip: float | None = None
    taught: bool = False
    sessions: dict[str, list[Ball]] = field(default_factory=dict)
    _kept: list[tuple[tuple[object, ...], Carried]] = field(default_factory=list)
    _folds: dict[tuple[str, float, int], tuple[tuple[object, ...], Belief]] = field(default_factory=dict)
    _marks: dict[str, list[int]] = field(default_factory=dict)
    _now: tuple[tuple[object, ...], Now] | None = None

    def add(self, session: str, ball: Ball) -> None:
        """Take one ball; its session becomes the present one."""
        balls = self.sessions.pop(session, [])
        balls.append(ball)
        self.sessions[session] = balls
        marks = self._marks.setdefault(session, [])
        marks.append(hash((marks[-1] if marks else 0, ball)))
        if self.first_grip is None and ball.enters:
            self.first_grip = ball.grip
        self._now = None

    def copy(self) -> "Chain":
        """Another chain with the same balls. What closed sessions hand on is kept for both in one place, by whichever needs it first."""
        return replace(
            self,
            sessions={label: list(balls) for label, balls in self.sessions.items()},
            _marks={label: list(marks) for label, marks in self._marks.items()},
        )

    @property
    def grip_of_intercept(self) -> float:
        return GRIP_CENTRE if self.first_grip is None else self.first_grip

    def entering(self) -> list[Ball]:
        """All balls that take part in the fit, oldest session first."""
        return [ball for balls in self.sessions.values() for ball in balls if ball.enters]

    def many_grips(self) -> bool:
        """Whether more than one grip takes part."""
        return self.start.spread.shaped or len({ball.grip for ball in self.entering()}) > 1

    def carried_before(self, labels: list[str], first: Carried) -> Carried:
        """What the sessions named hand on, kept from earlier calls as far as nothing in them changed."""
        carried = first
        unchanged = True
        for place, label in enumerate(labels):
            balls = self.sessions[label]
            key = (label, len(balls), self._marks[label][-1], first.spread.shaped, first.mean.tobytes())
            if unchanged and place < len(self._kept) and self._kept[place][0] == key:
                carried = self._kept[place][1]
                continue
            if unchanged:
                del self._kept[place:]
                unchanged = False
            carried = self.handed_on(carried, label, balls)
            self._kept.append((key, carried))
        return carried

    def handed_on(self, carried: Carried, label: str, balls: list[Ball]) -> Carried:
        """What is carried after one more session."""
        cells, belief = self._learn(carried, label, balls, balls[-1].time, self.priors)
        spread = spread_belief(cells, belief.log_weight)
        within = belief.log_weight.reshape(-1, cells.points)
        share = np.exp(within - np.maximum(within.max(axis=1, keepdims=True), -1e300))
        share[share.sum(axis=1) == 0] = 1.0
        share /= share.sum(axis=1, keepdims=True)
        mean = np.empty_like(carried.mean)
        cov = np.empty_like(carried.cov)
        for shape in range(len(mean)):
            rows = slice(shape * cells.points, (shape + 1) * cells.points)
            mean[shape], cov[shape] = collapsed(share[shape], belief.mean[rows, :SHARED], belief.cov[rows, :SHARED, :SHARED])
        cov[:, LINE, LINE] += self.priors.line_walk_sd**2
        log_weight = spread.log_weight - spread.log_weight.max()
        return Carried(mean, cov, SpreadBelief(spread.log_mean, np.hypot(spread.log_sd, SPREAD_WALK), log_weight))

    def _learn(self, carried: Carried, label: str, balls: list[Ball], last: int, priors: Priors) -> tuple[Cells, SessionBelief]:
        """Belief after a session's balls, its older stretches settled once and kept."""
        cells = grid(carried.spread, self.grip_of_intercept)
        wide = np.repeat(carried.mean, cells.points, axis=0), np.repeat(carried.cov, cells.points, axis=0)
        start = session_start(*wide, cells.log_prior, priors)
        begin = balls[0].time if balls else 0
        settled = max(0, (last - begin) // STRETCH - 1)
        shaped = carried.spread.shaped
        base = (self.grip_of_intercept, carried.mean.tobytes(), carried.cov.tobytes())
        known, start = self._settled(start, settled, label, priors, base)
        for number in range(known, settled):
            part = self._stretch(balls, begin + number * STRETCH, begin + (number + 2) * STRETCH, cells, shaped)
            start = fold(start, part, STRETCH, 2.0 * STRETCH - 1, priors)
            self._folds[label, priors.drift_deg_per_ball, number] = (self._fold_key(label, number, base), start)
            self._folds.pop((label, priors.drift_deg_per_ball, number - 2), None)
        here = begin + settled * STRETCH
        return cells, learn(start, self._stretch(balls, here, last + 1, cells, shaped), float(last - here), priors)

    def _fold_key(self, label: str, number: int, base: tuple[object, ...]) -> tuple[object, ...]:
        """What a settled stretch stands on: where the session began, and every ball that was read for it."""
        balls, begin = self.sessions[label], self.sessions[label][0].time
        count = bisect_left(balls, begin + (number + 2) * STRETCH, key=_time)
        return (*base, count, self._marks[label][count - 1])

    def _settled(self, start: Belief, most: int, label: str, priors: Priors, base: tuple[object, ...]) -> tuple[int, Belief]:
        """How many stretches are settled already, at most so many, and the belief after them."""
        for number in range(most - 1, -1, -1):
            kept = self._folds.get((label, priors.drift_deg_per_ball, number))
            if kept is not None and kept[0] == self._fold_key(label, number, base):
                return number + 1, kept[1]
        return 0, start

    def _stretch(self, balls: list[Ball], low: int, high: int, cells: Cells, shaped: bool) -> Stretch:
        """The balls of a session from one time to before another that take part."""
        ends = bisect_left(balls, low, key=_time), bisect_left(balls, high, key=_time)
        used = [ball for ball in balls[ends[0] : ends[1]] if ball.enters]
        rows = np.array([(b.bow, b.grip, b.low, b.high, not b.stick, b.position, b.time) for b in used], dtype=float).reshape(-1, 7)
        features = np.empty((len(rows), SHARED))
        features[:, 0] = 1.0
        features[:, 1] = rows[:, 0] - BOW_CENTRE
        features[:, 2] = (rows[:, 1] - self.grip_of_intercept) / 10.0
        features[:, 3:] = rows[:, 4:6]
        spread = cells.spread_at(rows[:, 1]) if shaped else cells.spread[:, None]
        return Stretch(features, rows[:, 6] - low, seen(rows[:, 2], rows[:, 3]), spread)

    def now(self, session: str | None, last: int, stick: bool, start: Carried) -> Now:
        """Belief in a session after its latest ball (time `last`), starting from what is carried in."""
        key = (session, last, stick, len(self.sessions.get(session or "", [])), start.mean.tobytes())
        if self._now is None or self._now[0] != key:
            self._now = (key, self._present(session, last, stick, start, self.priors))
        return self._now[1]

    def freer(self, session: str | None, last: int, stick: bool, start: Carried) -> Now:
        """The same belief for a line that may drift several times faster."""
        faster = replace(self.priors, drift_deg_per_ball=FREER * self.priors.drift_deg_per_ball)
        return self._present(session, last, stick, start, faster)

    def _present(self, session: str | None, last: int, stick: bool, start: Carried, priors: Priors) -> Now:
        first = start.over_grips() if self.many_grips() else start
        carried = self.carried_before([label for label in self.sessions if label != session], first)
        balls = self.sessions.get(session or "", [])
        cells, belief = self._learn(carried, session or "", balls, max(last, balls[-1].time) if balls else 0, priors)
        kept = np.flatnonzero(belief.log_weight > belief.log_weight.max() - NEGLIGIBLE)
        cells, belief = cells.among(kept), belief.among(kept)
        return Now(cells, belief, weights(belief.log_weight), self.grip_of_intercept, 0.0 if stick else 1.0)
