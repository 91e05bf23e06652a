"""The engine's belief agrees with brute force: a sum over a fine grid, and a long seeded random walk over everything unknown.

The model is written out here a second time, ball by ball, without the engine's algebra; only the constants are read from it.
"""

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest
from scipy.special import ndtr

from rangelog.bracketing import Bracket
from rangelog.bracketing.chain import SPREAD_WALK
from rangelog.bracketing.likelihood import WILD_SD_DEG, WILD_SHARE, seen
from rangelog.bracketing.mixture import Mixture
from rangelog.bracketing.normal import Floats
from rangelog.bracketing.posterior import propagate
from rangelog.bracketing.priors import BOW_CENTRE, Priors
from rangelog.core.scales import side_interval
from rangelog.core.words import Side
from tests.outside.test_engine_likelihood import hamada

GRIP = 30.0
Start = str | float


@dataclass(frozen=True)
class Book:
    """A small book at one grip: (bow, start) of each ball, by session."""

    sessions: tuple[tuple[tuple[float, Start], ...], ...]
    drift_deg_per_ball: float = 0.0

    def bracket(self) -> Bracket:
        b = Bracket(drift_deg_per_ball=self.drift_deg_per_ball)
        for place, balls in enumerate(self.sessions):
            for bow, start in balls:
                b.add(bow=bow, grip=GRIP, start=start, session=f"day {place}")
        return b


CLASSES = Book(
    (
        (
            (0.0, "far right"), (0.0, "right"), (0.0, "far right"), (4.0, "left"), (4.0, "left"), (4.0, "on line"),
            (2.0, "right"), (2.0, "on line"),
        ),
    )
)  # fmt: skip
NUMBERS_AND_A_WILD_BALL = Book(
    (
        (
            (-1.0, 5.2), (-1.0, 7.9), (1.0, "right"), (1.0, -1.4), (1.0, 24.0), (3.0, "left"), (3.0, -3.3), (3.0, "far left"),
            (1.5, 0.6), (1.5, "on line"),
        ),
    )
)  # fmt: skip
TWO_DAYS_OF_DRIFT = Book(
    (
        ((0.0, "far right"), (0.0, "right"), (3.0, "left"), (3.0, "on line"), (2.0, "right"), (2.0, 1.2)),
        ((2.0, "on line"), (2.0, "left"), (2.0, "far left"), (1.0, "on line"), (1.0, -2.2), (1.0, "right"), (0.0, "right"), (0.0, 3.1)),
    ),
    drift_deg_per_ball=0.25,
)


@dataclass(frozen=True)
class Balls:
    """What was seen of n balls: bows, ends (equal for a number), and the chance or density of a wild ball there."""

    bow: Floats
    low: Floats
    high: Floats
    wild: Floats

    @classmethod
    def of(cls, balls: tuple[tuple[float, Start], ...]) -> "Balls":
        ends = [side_interval(Side(start)) if isinstance(start, str) else (start, start) for _, start in balls]
        low, high = np.array(ends).T
        point = low == high
        density = np.exp(-0.5 * (np.where(point, low, 0.0) / WILD_SD_DEG) ** 2) / (WILD_SD_DEG * math.sqrt(2 * math.pi))
        return cls(
            np.array([bow for bow, _ in balls]), low, high, np.where(point, density, ndtr(high / WILD_SD_DEG) - ndtr(low / WILD_SD_DEG))
        )

    def log_chance(self, level: Floats, slope: Floats, spread: Floats) -> Floats:
        """Summed logarithms: each ball is normal about the line, or a wild one that knows nothing of it.

        level is (points,) or, where the line drifts, (points, n); slope and spread are (points,).
        """
        mean = (level if level.ndim == 2 else level[:, None]) + slope[:, None] * (self.bow - BOW_CENTRE)
        al, be = (self.low - mean) / spread[:, None], (self.high - mean) / spread[:, None]
        bell = np.exp(-0.5 * np.where(np.isfinite(al), al, 0.0) ** 2) / (spread[:, None] * math.sqrt(2 * math.pi))
        tame = np.where(self.low == self.high, bell, ndtr(be) - ndtr(al))
        return np.asarray(np.log((1 - WILD_SHARE) * tame + WILD_SHARE * self.wild).sum(axis=1))


@dataclass(frozen=True)
class Draws:
    """Weighted points of the posterior: the line now at the centre of the bow scale, the effect of a notch, the spread."""

    level: Floats
    slope: Floats
    spread: Floats
    weight: Floats

    def bias(self, bow: float) -> Floats:
        return self.level + self.slope * (bow - BOW_CENTRE)

    def moments(self, bow: float) -> tuple[float, float]:
        value = self.bias(bow)
        mean = float(self.weight @ value)
        return mean, math.sqrt(float(self.weight @ (value - mean) ** 2))

    def quantile(self, value: Floats, chance: float) -> float:
        order = np.argsort(value)
        below = np.cumsum(self.weight[order]) - self.weight[order] / 2
        return float(np.interp(chance, below, value[order]))

    def share(self, bow: float) -> float:
        mean = self.bias(bow)
        tame = ndtr((2 - mean) / self.spread) - ndtr((-2 - mean) / self.spread)
        wild = float(ndtr(2 / WILD_SD_DEG) - ndtr(-2 / WILD_SD_DEG))
        return (1 - WILD_SHARE) * float(self.weight @ tame) + WILD_SHARE * wild

    def bow_where_closed(self, chance: float) -> float:
        """Bow at which the bias lies on the closed side with this probability."""
        bows = np.arange(-3.0, 7.0, 0.05)
        closed = np.array([self.weight @ (self.bias(float(bow)) < 0) for bow in bows])
        return float(np.interp(chance, np.maximum.accumulate(closed), bows))


@cache
def summed(book: Book) -> Draws:
    """Sum over a fine grid of line, effect and spread: one session, no drift."""
    priors = Priors()
    level_sd = math.hypot(priors.line_sd, priors.day_shift_sd)
    axes = (
        np.linspace(priors.line - 3.6 * level_sd, priors.line + 3.6 * level_sd, 241),
        np.linspace(priors.bow - 4.5 * priors.bow_sd, priors.bow + 4.5 * priors.bow_sd, 81),
        priors.log_spread + priors.log_spread_sd * np.linspace(-4.0, 4.0, 25),
    )
    level, slope, log_spread = (axis.ravel() for axis in np.meshgrid(*axes, indexing="ij"))
    log_weight = -0.5 * (
        ((level - priors.line) / level_sd) ** 2
        + ((slope - priors.bow) / priors.bow_sd) ** 2
        + ((log_spread - priors.log_spread) / priors.log_spread_sd) ** 2
    )
    spread = np.exp(log_spread)
    log_weight += Balls.of(book.sessions[0]).log_chance(level, slope, spread)
    weight = np.exp(log_weight - log_weight.max())
    kept = weight > 1e-7
    return Draws(level[kept], slope[kept], spread[kept], weight[kept] / weight[kept].sum())


@cache
def walked(book: Book, seed: int, steps: int = 4000, chains: int = 150) -> Draws:
    """Random-walk Metropolis (Metropolis et al. 1953) over standard normal unknowns: line, effect, spread, its step from day to day,
    the line's step from day to day, every day's shift, and every step of the drift. The first quarter is burnt in.
    """
    priors = Priors()
    days = [Balls.of(balls) for balls in book.sessions]
    size = 3 + sum(3 + len(balls.bow) - 1 for balls in days)
    rng = np.random.default_rng(seed)

    def unpack(z: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """Log posterior, and level, slope and spread after the last ball, for unknowns of shape (chains, size)."""
        line = priors.line + priors.line_sd * z[:, 0]
        slope = priors.bow + priors.bow_sd * z[:, 1]
        log_spread = priors.log_spread + priors.log_spread_sd * z[:, 2]
        log_posterior = -0.5 * (z * z).sum(axis=1)
        level = np.zeros((len(z), 1))
        at = 3
        for day, balls in enumerate(days):
            if day:
                line = line + priors.line_walk_sd * z[:, at]
                log_spread = log_spread + SPREAD_WALK * z[:, at + 1]
            steps = z[:, at + 3 : at + 2 + len(balls.bow)]
            drift = np.concatenate((np.zeros((len(z), 1)), np.cumsum(book.drift_deg_per_ball * steps, axis=1)), axis=1)
            level = (line + priors.day_shift_sd * z[:, at + 2])[:, None] + drift
            log_posterior = log_posterior + balls.log_chance(level, slope, np.exp(log_spread))
            at += 2 + len(balls.bow)
        return log_posterior, level[:, -1], slope, np.exp(log_spread)

    here = rng.standard_normal((chains, size))
    now = unpack(here)
    pace = 1.5 / math.sqrt(size)
    kept: list[tuple[Floats, ...]] = []
    for step in range(steps):
        there = here + pace * rng.standard_normal(here.shape)
        new = unpack(there)
        taken = np.log(rng.random(chains)) < new[0] - now[0]
        here = np.where(taken[:, None], there, here)
        now = tuple(np.where(taken, ours, theirs) for ours, theirs in zip(new, now, strict=True))  # type: ignore[assignment]
        if step >= steps // 4 and step % 4 == 0:
            kept.append(now[1:])
    level, slope, spread = (np.concatenate(parts) for parts in zip(*kept, strict=True))
    return Draws(level, slope, spread, np.full(len(level), 1 / len(level)))


def gaps(b: Bracket, truth: Draws) -> dict[str, float]:
    """Largest distance between the engine's answers and the draws: angles in posterior SDs, shares and bows as they are."""
    found = dict.fromkeys(("mean", "sd", "ends", "share", "effect", "crossing"), 0.0)
    for bow in (0.0, 1.5, 2.0, 4.0):
        mean, sd = truth.moments(bow)
        bias = b.bias(bow=bow, grip=GRIP)
        low, high = (truth.quantile(truth.bias(bow), chance) for chance in (0.05, 0.95))
        found["mean"] = max(found["mean"], abs(bias.mean - mean) / sd)
        found["sd"] = max(found["sd"], abs(bias.sd / sd - 1))
        found["ends"] = max(found["ends"], abs(bias.low - low) / sd, abs(bias.high - high) / sd)
        found["share"] = max(found["share"], abs(b.on_line_share(bow=bow, grip=GRIP) - truth.share(bow)))
    effect = b.bow_effect()
    found["effect"] = abs(effect.mean - float(truth.weight @ truth.slope)) / effect.sd
    found["crossing"] = abs(b.crossing(grip=GRIP).bow - truth.bow_where_closed(0.5))
    return found


def close(found: dict[str, float], **allowed: float) -> bool:
    """Whether every gap is within what is allowed of it."""
    return all(found[name] <= most for name, most in allowed.items()) and found.keys() == allowed.keys()


@pytest.mark.parametrize("book", [CLASSES, NUMBERS_AND_A_WILD_BALL], ids=["classes", "numbers and a wild ball"])
def test_one_session_agrees_with_a_sum_over_a_grid(book: Book) -> None:
    """Bias, its interval, on-line share, effect and crossing of a session without drift equal the brute-force sums."""
    found = gaps(book.bracket(), summed(book))
    assert close(found, mean=0.03, sd=0.03, ends=0.12, share=0.005, effect=0.03, crossing=0.02), found


@pytest.mark.parametrize("book", [CLASSES, NUMBERS_AND_A_WILD_BALL, TWO_DAYS_OF_DRIFT], ids=["classes", "wild ball", "two days of drift"])
def test_small_books_agree_with_a_long_random_walk(book: Book) -> None:
    """The same answers equal those of a long seeded random walk over every unknown, each ball's drift step among them."""
    found = gaps(book.bracket(), walked(book, seed=3))
    assert close(found, mean=0.05, sd=0.05, ends=0.12, share=0.01, effect=0.05, crossing=0.03), found


def test_the_random_walk_agrees_with_the_sum_over_a_grid() -> None:
    """The two brute-force answers, which share no method, agree with one another."""
    walk, grid = walked(CLASSES, seed=3), summed(CLASSES)
    for bow in (0.0, 2.0, 4.0):
        assert walk.moments(bow) == pytest.approx(grid.moments(bow), abs=0.05)
        assert walk.share(bow) == pytest.approx(grid.share(bow), abs=0.01)


def test_the_crossing_interval_leaves_a_twentieth_outside_either_end() -> None:
    """At either end of the interval the bias lies on that end's side with probability 0.95, by the brute-force sum."""
    truth, crossing = summed(CLASSES), CLASSES.bracket().crossing(grip=GRIP)
    assert float(truth.weight @ (truth.bias(crossing.low) > 0)) == pytest.approx(0.95, abs=0.01)
    assert float(truth.weight @ (truth.bias(crossing.high) < 0)) == pytest.approx(0.95, abs=0.01)


def test_propagation_gives_the_printed_bayesian_median_of_the_drop_heights() -> None:
    """Hamada, Mang & Hoff (2019), Quality Engineering: mean ~ N(1.5, 9.4^2), ln SD ~ N(-2.8, 1), posterior median 1.535, 95 % 1.475-1.649.

    The printed values come from MCMC (allow 0.006 on the ends); a fine grid gives 1.5350 and 1.471-1.645.
    """
    low, high = hamada()
    log_sd = np.linspace(-4.6, 0.4, 101)
    cells = len(log_sd)
    prior = -0.5 * (log_sd + 2.8) ** 2
    # thresholds are on a log10 scale where 0.07 is a spread; counted in hundredths they are of the size of degrees
    balls = seen(100 * (low - 1.5), 100 * (high - 1.5))
    # a floor too small to count keeps the hopelessly narrow spreads of the grid from dividing by a vanished chance
    balls.floor[:] = 1e-9
    mean, cov, evidence, _ = propagate(
        np.zeros((cells, 1)), np.full((cells, 1, 1), 940.0**2), np.ones((len(low), 1)), balls, 100 * np.exp(log_sd)[:, None], prior
    )
    log_weight = evidence + prior
    weight = np.exp(log_weight - log_weight.max())
    posterior = Mixture(weight / weight.sum(), 1.5 + mean[:, 0] / 100, np.sqrt(cov[:, 0, 0]) / 100)
    assert posterior.quantile(0.5) == pytest.approx(1.535, abs=1e-3)
    assert posterior.quantile(0.025) == pytest.approx(1.475, abs=6e-3)
    assert posterior.quantile(0.975) == pytest.approx(1.649, abs=6e-3)
