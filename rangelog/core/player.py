"""Who plays, with which clubs, and what was prescribed."""

from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.words import Hand, Lever, Swing


@dataclass(frozen=True, slots=True)
class Player:
    """The owner of a book.

    Attributes:
        id: unique id, carried by every export so that two players' books never mix by accident.
        code: short public name of the player's own choosing.
        hand: right- or left-handed.
        lead_hand: the hand that leads on the grip; stated apart, since some play cross-handed.
        junior: an adult is present, no extremes, fewer balls.
        hub_height_mm: height of the hub the swing turns about, for lean per ball width.
    """

    id: str
    code: str = "player"
    hand: Hand = Hand.RIGHT
    lead_hand: Hand = Hand.LEFT
    junior: bool = False
    hub_height_mm: float = 1350.0


@dataclass(frozen=True, slots=True)
class Club:
    """A club of the bag. A renamed club gets a new id; history keeps the old.

    Attributes:
        name: the player's own word for it.
        loft_deg: static loft with the shaft upright, None when unknown.
    """

    id: str
    name: str
    loft_deg: float | None = None

    @property
    def label(self) -> str:
        """The name, with the loft where it is known and not already said."""
        if self.loft_deg is None or f"{self.loft_deg:g}" in self.name:
            return self.name
        return f"{self.loft_deg:g} deg {self.name}"


@dataclass(frozen=True, slots=True)
class Prescription:
    """What the coach or the player asked for. A revision is a new version; old balls keep the old one.

    Attributes:
        version: 1-based.
        made_at: local time with offset, ISO 8601.
        set_by: "coach" or "player" or a code of their own.
        text: the words as given.
        club_id, swing, first_lever: what to start with.
        window_deg, wide_deg: half-width that counts as on line, and the wide edge.
        wrist_limit_bow: no hint ever goes above it; None where there is none.
        pain_history: wrist pain or surgery before: extremes are off.
        ball_cap: never urged past.
        solid_limit: share of solid strikes below which face hints pause, where the coach sets one.
        stop_rules: further stop conditions in words.
    """

    id: str
    version: int = 1
    made_at: str = ""
    set_by: str = "player"
    text: str = ""
    club_id: str = ""
    swing: Swing = Swing.HALF
    first_lever: Lever = Lever.BOW
    window_deg: float = scales.DEFAULT_WINDOW_DEG
    wide_deg: float = scales.DEFAULT_WIDE_DEG
    wrist_limit_bow: float | None = None
    pain_history: bool = False
    ball_cap: int = 60
    solid_limit: float | None = None
    stop_rules: str = ""

    def bow_range(self, pain_cap: float | None = None) -> tuple[float, float]:
        """Legal bows for hints: the scale, cut by the wrist limit, by a pain history (no extremes), and by today's pain cap."""
        low, high = scales.BOW_RANGE
        if self.pain_history:
            low, high = max(low, 0.0), min(high, 3.0)
        caps = [cap for cap in (self.wrist_limit_bow, pain_cap) if cap is not None]
        high = min([high, *caps])
        return min(low, high), high
