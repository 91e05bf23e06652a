"""What a read height ladder says: plain frozen records and the verdict in words."""

from dataclasses import dataclass
from enum import StrEnum

from rangelog.core.results import Estimate, Share
from rangelog.core.scales import BALL_DIAMETER_MM
from rangelog.core.words import Height, Strike
from rangelog.evidence.ranks import RankTest


class LadderVerdict(StrEnum):
    """What may be said of the ladder; the first that matches."""

    BACKWARDS = "backwards"
    FOLLOWS = "follows"
    DOES_NOT_FOLLOW = "does not follow"
    UNDECIDED = "undecided"


class LadderCause(StrEnum):
    """Where to look when height does not follow (common practice, no source): a direction for the body check, no diagnosis."""

    NONE = ""
    TRAVELS = "body travels ahead with the ball"
    FLIP = "loft rescued by the hands"
    HANGS_BACK = "body hangs back when the ball is forward"


@dataclass(frozen=True, slots=True)
class LadderBall:
    """One counted ball of a ladder.

    Attributes:
        position: ball widths from stock, + toward the target.
        strike: how it was met; only solid balls are compared.
        height: class against the fixed mark, or None.
        launch_deg: launch angle in degrees, or None.
    """

    position: float
    strike: Strike | None = Strike.SOLID
    height: Height | None = None
    launch_deg: float | None = None


@dataclass(frozen=True, slots=True)
class LadderRow:
    """Solid balls of one position: class counts, and the mean launch with its 90 % interval (NaN without numbers)."""

    position: float
    n: int
    low: int
    mid: int
    high: int
    launch_deg: Estimate


@dataclass(frozen=True, slots=True)
class Ladder:
    """The ladder read.

    Attributes:
        verdict: first match of backwards, follows, does not follow, undecided.
        basis: "degrees", "classes", or "none" where neither can be compared.
        difference: front minus back with its interval, in degrees or in classes by `basis`.
        expected: what a still body would give between these ends, same unit.
        balls_apart: ball widths between the mean positions of the two ends.
        back_n, front_n: solid balls compared at the ends.
        dropped: balls left out because they were not solid; `unknown` because their strike was not logged.
        travel: share of the ball's move that the body made, 1 - observed / expected, with its interval; NaN without a comparison.
        low: solid balls classed low, of those classed.
        all_low: at least 60 % classed low, or mean launch below half the static loft.
        coarse: classes of one kind only, so that a misplaced height mark could also explain it.
        trend: rank trend over all positions on classes, where there are classes.
        balls_needed: balls still needed at each end before a verdict is likely; 0 once decided.
        cause: where to look, empty unless height does not follow or goes too far.
        rows: every position, back to front.
    """

    verdict: LadderVerdict
    basis: str
    difference: Estimate
    expected: float
    balls_apart: float
    back_n: int
    front_n: int
    dropped: int
    unknown: int
    travel: Estimate
    low: Share
    all_low: bool
    coarse: bool
    trend: RankTest | None
    balls_needed: int
    cause: LadderCause
    rows: tuple[LadderRow, ...]

    @property
    def back_to_body(self) -> bool:
        """Height does not follow and all is low: bow and grip hints are off until the body check."""
        return self.verdict is LadderVerdict.DOES_NOT_FOLLOW and self.all_low

    @property
    def moved_mm(self) -> float:
        """How far the ball was moved between the ends."""
        return self.balls_apart * BALL_DIAMETER_MM

    @property
    def travel_mm(self) -> float:
        """About how far the body went with it."""
        return self.travel.mean * self.moved_mm

    @property
    def sentence(self) -> str:
        """The verdict in words."""
        if self.verdict is LadderVerdict.FOLLOWS:
            return "Height follows."
        if self.verdict is LadderVerdict.BACKWARDS:
            return "Height goes the wrong way with ball position. Check the marks and the body."
        if self.verdict is LadderVerdict.UNDECIDED:
            return f"Not enough: about {self.balls_needed} more solid balls at each end."
        if self.back_to_body:
            mark = " Or the height mark is too high." if self.coarse else ""
            return (
                "Height does not follow ball position, and all is low. Body probably moves ahead about as far as the ball."
                f"{mark} Back to the body check."
            )
        if self.cause is LadderCause.FLIP:
            return "Height does not follow ball position, and it is not low. The hands may be rescuing loft. Back to the body check."
        return "Height does not follow ball position. Back to the body check."
