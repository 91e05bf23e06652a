"""Simulated players, invented: what their ball does with a given bow and grip, and what their eye makes of it.

Everything random about a player (parameters, drift, errors, wild balls) is drawn once from (seed, number), so every method that
plays the same player meets the same drift and the same luck, ball by ball, in whatever process it runs.
"""

import math
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from rangelog.core.words import Side

BOW_RANGE = (-2.0, 5.0)
GRIP_RANGE = (-15.0, 90.0)
FIRST_GRIP = 30.0
WINDOW_DEG = 2.0
WIDE_DEG = 6.0
GRIP_STEP_DEG = 15.0
SIDES = (Side.FAR_LEFT, Side.LEFT, Side.ON_LINE, Side.RIGHT, Side.FAR_RIGHT)


@dataclass(frozen=True)
class Population:
    """The spread of a kind of player; every range is stated here and nowhere else.

    Attributes:
        name: what the tables call it.
        spread: ("log-normal", median in degrees, SD of the logarithm) or ("uniform", low, high).
        slope: the same for degrees to the closed side per notch more bow.
        grip_slope: the same for degrees to the closed side per 10 deg stronger grip.
        crossing: uniform range of the crossing at the first grip, in notches.
        growth: uniform range of the share by which the spread grows per squared 15-deg grip step away from the best grip.
        wild_share, wild_sd_deg: share of wild balls, and their SD around the bias.
        drift_deg: SD of the random-walk step of the line between two balls.
        shift_sd_deg: SD of a later day's line around the first day's.
        edge_sd_deg: SD of each class edge of the player's eye around the true one, fixed for the player.
        reading_sd_deg: SD of the reading error of each ball.
        hand: "right" or "left".
    """

    name: str
    spread: tuple[str, float, float] = ("log-normal", 2.8, 0.35)
    slope: tuple[str, float, float] = ("log-normal", 2.6, 0.40)
    grip_slope: tuple[str, float, float] = ("log-normal", 4.0, 0.35)
    crossing: tuple[float, float] = (-1.5, 4.5)
    growth: tuple[float, float] = (0.0, 0.0)
    wild_share: float = 0.04
    wild_sd_deg: float = 10.0
    drift_deg: float = 0.08
    shift_sd_deg: float = 1.5
    edge_sd_deg: float = 0.0
    reading_sd_deg: float = 0.0
    hand: str = "right"


STANDARD = Population("standard")
STEADY = Population("steady: spread 2-5, slope 1-5, no drift", spread=("uniform", 2.0, 5.0), slope=("uniform", 1.0, 5.0), drift_deg=0.0)
TWO_LEVERS = replace(STANDARD, name="two levers", growth=(0.03, 0.20))
MISJUDGED_EDGES = replace(STANDARD, name="class edges off by 1 deg SD", edge_sd_deg=1.0)
MISREAD_BALLS = replace(STANDARD, name="each ball misread by 1 deg SD", reading_sd_deg=1.0)
LEFT_HANDED = replace(STANDARD, name="left-handed", hand="left")


@dataclass(frozen=True)
class Player:
    """One simulated player. Angles inside are open-positive; what the methods see is physical (+ = right of the line).

    Attributes:
        slope_deg: degrees to the closed side per notch more bow.
        grip_slope_deg: degrees to the closed side per 10 deg stronger grip.
        spread_deg: SD at the best grip.
        crossing: notches at the first grip, at the first ball of the first session.
        best_grip, growth: where the spread is least, and its growth per squared 15-deg step.
        edges: the four class edges of the player's eye, ascending, open-positive degrees.
        line: (sessions, balls) day shift plus drift, open-positive degrees.
        error: (sessions, balls) standard normal error of each ball.
        wild: (sessions, balls) whether the ball is a wild one.
        reading: (sessions, balls) reading error in degrees.
    """

    number: int
    population: Population
    slope_deg: float
    grip_slope_deg: float
    spread_deg: float
    crossing: float
    best_grip: float
    growth: float
    edges: tuple[float, float, float, float]
    line: NDArray[np.float64] = field(repr=False)
    error: NDArray[np.float64] = field(repr=False)
    wild: NDArray[np.bool_] = field(repr=False)
    reading: NDArray[np.float64] = field(repr=False)

    @property
    def hand(self) -> str:
        return self.population.hand

    @property
    def sign(self) -> int:
        """+1 for a right-hander, -1 for a left-hander: physical = sign x open."""
        return 1 if self.hand == "right" else -1

    def open_bias_deg(self, bow: float, grip: float, session: int, ball: int) -> float:
        """Mean start of the setting at that ball, + = open side."""
        at_grip = self.grip_slope_deg * (grip - FIRST_GRIP) / 10.0
        return self.slope_deg * (self.crossing - bow) - at_grip + float(self.line[session, ball])

    def bias_deg(self, bow: float, grip: float, session: int, ball: int) -> float:
        """Mean start of the setting at that ball, physical sign."""
        return self.sign * self.open_bias_deg(bow, grip, session, ball)

    def crossing_now(self, grip: float, session: int, ball: int) -> float:
        """Bow at which the grip starts the ball on line at that ball, not confined to the scale."""
        return self.open_bias_deg(0.0, grip, session, ball) / self.slope_deg

    def spread_at(self, grip: float) -> float:
        """SD of the normal balls at a grip, degrees."""
        return self.spread_deg * (1.0 + self.growth * ((grip - self.best_grip) / GRIP_STEP_DEG) ** 2)

    def start_deg(self, bow: float, grip: float, session: int, ball: int) -> float:
        """Where that ball starts, physical degrees, held inside the legal +-45."""
        sd = self.population.wild_sd_deg if self.wild[session, ball] else self.spread_at(grip)
        start = self.open_bias_deg(bow, grip, session, ball) + sd * float(self.error[session, ball])
        return self.sign * min(45.0, max(-45.0, start))

    def side(self, bow: float, grip: float, session: int, ball: int) -> Side:
        """What the player's eye calls that ball."""
        seen = self.sign * self.start_deg(bow, grip, session, ball) + float(self.reading[session, ball])
        place = sum(seen > edge for edge in self.edges)
        return SIDES[place] if self.sign > 0 else SIDES[4 - place]

    def share(self, bow: float, grip: float, session: int, ball: int) -> float:
        """True chance that a ball starts inside the window, wild ones included."""
        bias = self.open_bias_deg(bow, grip, session, ball)
        wild = self.population.wild_share
        return (1.0 - wild) * _inside(bias, self.spread_at(grip)) + wild * _inside(bias, self.population.wild_sd_deg)

    def best_share(self, session: int, ball: int, grip: float | None = None) -> float:
        """Greatest true share on the scale (grips by the degree, any bow inside its range), or at one grip."""
        grips = np.arange(GRIP_RANGE[0], GRIP_RANGE[1] + 0.5) if grip is None else [grip]
        best = 0.0
        for each in grips:
            bow = min(BOW_RANGE[1], max(BOW_RANGE[0], self.crossing_now(float(each), session, ball)))
            best = max(best, self.share(bow, float(each), session, ball))
        return best


def _inside(bias: float, sd: float) -> float:
    root = sd * math.sqrt(2.0)
    return 0.5 * (math.erf((WINDOW_DEG - bias) / root) + math.erf((WINDOW_DEG + bias) / root))


def _draw(rng: np.random.Generator, how: tuple[str, float, float]) -> float:
    kind, first, second = how
    if kind == "log-normal":
        return float(first * math.exp(second * rng.standard_normal()))
    return float(rng.uniform(first, second))


def draw(population: Population, seed: int, number: int, sessions: int = 1, balls: int = 60) -> Player:
    """The player with this number. Same arguments, same player; more sessions or balls keep the earlier parameters.

    The best grip is uniform over the grips whose crossing lies inside the bow range, so that it can be reached.
    """
    rng = np.random.default_rng([seed, number])
    spread = _draw(rng, population.spread)
    slope = _draw(rng, population.slope)
    grip_slope = _draw(rng, population.grip_slope)
    crossing = float(rng.uniform(*population.crossing))
    notches_per_degree = grip_slope / 10.0 / slope
    weakest = max(GRIP_RANGE[0], FIRST_GRIP - (BOW_RANGE[1] - crossing) / notches_per_degree)
    strongest = min(GRIP_RANGE[1], FIRST_GRIP + (crossing - BOW_RANGE[0]) / notches_per_degree)
    best_grip = float(rng.uniform(weakest, strongest))
    growth = float(rng.uniform(*population.growth))
    true_edges = np.array([-WIDE_DEG, -WINDOW_DEG, WINDOW_DEG, WIDE_DEG])
    edges = np.sort(true_edges + population.edge_sd_deg * rng.standard_normal(4))
    shift = np.zeros(sessions)
    line = np.zeros((sessions, balls))
    error = np.zeros((sessions, balls))
    wild = np.zeros((sessions, balls), dtype=bool)
    reading = np.zeros((sessions, balls))
    for session in range(sessions):
        day = np.random.default_rng([seed, number, session])
        shift[session] = population.shift_sd_deg * day.standard_normal() if session else 0.0
        rows = day.standard_normal((3, 400))[:, :balls]
        steps = population.drift_deg * rows[0]
        steps[0] = 0.0
        line[session] = shift[session] + np.cumsum(steps)
        error[session] = rows[1]
        reading[session] = population.reading_sd_deg * rows[2]
        wild[session] = day.random(400)[:balls] < population.wild_share
    return Player(
        number, population, slope, grip_slope, spread, crossing, best_grip, growth,
        (float(edges[0]), float(edges[1]), float(edges[2]), float(edges[3])), line, error, wild, reading,
    )  # fmt: skip
