"""What the model and the hints answer with: plain frozen records, so that nothing needs numpy to speak of them."""

import math
from dataclasses import dataclass

from rangelog.core.hint import Hint
from rangelog.core.setting import Setting
from rangelog.core.words import Lever, Verdict


@dataclass(frozen=True, slots=True)
class Estimate:
    """A number with its uncertainty.

    Attributes:
        mean: best value, in the physical sign (+ = right of the line) where it is a direction.
        sd: standard deviation of what is believed about it.
        low, high: ends of the 90 % interval.
    """

    mean: float
    sd: float
    low: float
    high: float

    @property
    def half_width(self) -> float:
        """Half the 90 % interval: the +- that is shown."""
        return (self.high - self.low) / 2


@dataclass(frozen=True, slots=True)
class Crossing:
    """The bow at which a grip starts the ball on line.

    Attributes:
        bow: the recommended bow in notches, always finite and inside the bow range.
        low, high: 90 % interval in notches, infinite where the balls cannot tell.
    """

    bow: float
    low: float
    high: float

    @property
    def half_width(self) -> float:
        """Half the 90 % interval, infinite where an end is."""
        return (self.high - self.low) / 2

    @property
    def known(self) -> bool:
        """Whether both ends are finite."""
        return math.isfinite(self.low) and math.isfinite(self.high)


@dataclass(frozen=True, slots=True)
class Combination:
    """A setting with what is known of it, for the list of combinations, best first.

    Attributes:
        bow, grip: notches and degrees.
        share: chance that the next counted ball starts inside the window.
        bias: mean start direction now.
        spread: standard deviation of the start direction around the bias, degrees.
        n: counted balls hit at it.
        reason: why it stands where it stands, or that it cannot be told apart.
    """

    bow: float
    grip: float
    share: float
    bias: Estimate
    spread: Estimate
    n: int
    reason: str

    @property
    def setting(self) -> Setting:
        return Setting(self.bow, self.grip)


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """What the model sees behind the start line, for hints 11-17. Probabilities are posterior, angles physical.

    Attributes:
        bow_deg_per_notch: effect of one notch more bow, physical sign (right-hander: expected negative).
        grip_deg_per_ten: effect of a grip ten degrees stronger, physical sign.
        spread_deg: this player's spread.
        wrong_sign: probability that more bow moves the start to the open side.
        drift_deg: movement of the line within this session, last balls against the first.
        drift_beyond: probability that the movement is larger than 3 deg.
        levels: bows with counted balls at the present grip, this session, ascending.
        bow_moved, grip_moved: whether the lever was moved with the other held, so that its effect can be known.
        locked: the levers moved in step, so that bow and grip cannot be separated.
        outside: probability that the crossing lies outside the bow range at the present grip.
        counted: counted balls that enter the present fit with this club and stick.
        prior_carries: the prior still carries the answer (the balls add little).
    """

    bow_deg_per_notch: Estimate
    grip_deg_per_ten: Estimate
    spread_deg: Estimate
    wrong_sign: float
    drift_deg: Estimate
    drift_beyond: float
    levels: tuple[float, ...]
    bow_moved: bool
    grip_moved: bool
    locked: bool
    outside: float
    counted: int
    prior_carries: bool


@dataclass(frozen=True, slots=True)
class Share:
    """A count out of a total with its interval.

    Attributes:
        hits, n: the count and the total.
        low, high: ends of the interval, as shares.
        level: its level, 0.95 unless said.
    """

    hits: int
    n: int
    low: float
    high: float
    level: float = 0.95

    @property
    def share(self) -> float:
        """hits / n, NaN when n is 0."""
        return self.hits / self.n if self.n else math.nan


@dataclass(frozen=True, slots=True)
class Alarm:
    """State of a sequential chart.

    Attributes:
        on: the chart has signalled.
        recent_hits, recent_n: the stretch that speaks.
        before_hits, before_n: the stretch or baseline it is held against.
        since: 1-based index of the ball at which it signalled, 0 while it has not.
    """

    on: bool
    recent_hits: int
    recent_n: int
    before_hits: int
    before_n: int
    since: int = 0


__all__ = [
    "Alarm",
    "Combination",
    "Crossing",
    "Diagnosis",
    "Estimate",
    "Hint",
    "Lever",
    "Setting",
    "Share",
    "Verdict",
]
