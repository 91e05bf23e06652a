"""One ball, as it stands in the book."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from rangelog.core import scales
from rangelog.core.setup import Setup
from rangelog.core.words import Curve, Height, Reason, Side, Strike, Surface, Swing

NO_DIRECTION = frozenset({Strike.TOP, Strike.SHANK})
"""Strikes whose start direction says nothing of the face (common practice, no source)."""

FIELD_WORDS: Mapping[str, type[StrEnum]] = MappingProxyType(
    {
        "side": Side,
        "height": Height,
        "strike": Strike,
        "curve": Curve,
        "called": Height,
        "reason": Reason,
        "swing": Swing,
        "surface": Surface,
    }
)
"""Fields of a ball and its setup that hold a word, and whose words they are."""


@dataclass(frozen=True, slots=True)
class Ball:
    """A ball with the setup that was stated before it. Unknown is a legal value and is never "on line".

    Attributes:
        id: unique across books, so that a merge never doubles a ball.
        session_id: the session it belongs to.
        seq: 1-based number within the session; sequence, not the clock, orders balls.
        at: local time with offset, ISO 8601.
        setup: the intended setup, fixed before the ball.
        block_id: the block it was hit in, empty outside any.
        prescription_id: the version of the prescription in force.
        side: class of the start direction, physical; None when not seen.
        start_deg: start direction in degrees, + = right of the line; wins over the class where both are there.
        height, launch_deg, apex_m: height class and optional numbers.
        strike, curve: classes, None when not keyed.
        touched: the grip stick touched the arm or body.
        felt_bow: what the bow felt like afterwards, apart from the intended bow.
        comfort: 1-5, optional.
        called: height called before the ball (trajectory block), optional.
        target: target drawn for this ball (random block), optional.
        counted: takes part in fits.
        reason: why not, where it is not counted.
        voided: taken back with undo; kept in the file, left out of everything.
        aim_correction_deg: correction of the aim line added later, subtracted from what was read.
        note: the player's own words.
    """

    id: str
    session_id: str
    seq: int
    at: str
    setup: Setup = field(default_factory=Setup)
    block_id: str = ""
    prescription_id: str = ""
    side: Side | None = None
    start_deg: float | None = None
    height: Height | None = None
    launch_deg: float | None = None
    apex_m: float | None = None
    strike: Strike | None = None
    curve: Curve | None = None
    touched: bool = False
    felt_bow: float | None = None
    comfort: int | None = None
    called: Height | None = None
    target: str = ""
    counted: bool = True
    reason: Reason | None = None
    voided: bool = False
    aim_correction_deg: float = 0.0
    note: str = ""

    @property
    def seen(self) -> bool:
        """Something is known of where it started."""
        return self.side is not None or self.start_deg is not None

    @property
    def enters_fits(self) -> bool:
        """Counted, stated, seen, clean of touch, and struck so that its start speaks of the face.

        Toe and heel balls enter here; the model leaves them out by setting. Balls away from the stock position are ladder balls.
        """
        return (
            self.counted
            and not self.voided
            and self.setup.stated
            and self.seen
            and not self.touched
            and self.strike not in NO_DIRECTION
            and self.setup.position_balls == 0
        )

    def corrected_start_deg(self) -> float | None:
        """Start direction in degrees with the aim correction applied, None where only a class is known."""
        return None if self.start_deg is None else self.start_deg - self.aim_correction_deg

    def shown_side(self, window_deg: float = scales.DEFAULT_WINDOW_DEG, wide_deg: float = scales.DEFAULT_WIDE_DEG) -> Side | None:
        """The class to show: from the number where there is one, else as keyed. The raw class is never shifted."""
        start = self.corrected_start_deg()
        return self.side if start is None else scales.side_of(start, window_deg, wide_deg)
