"""The closed vocabularies of the trade, exactly as they stand in the file and on the screen.

Every word is stored as it reads. Left and right are always physical, whichever hand the player uses.
"""

from enum import StrEnum


class Hand(StrEnum):
    """The side a player swings from, or the hand that leads on the grip."""

    RIGHT = "right"
    LEFT = "left"

    @property
    def other(self) -> "Hand":
        return Hand.LEFT if self is Hand.RIGHT else Hand.RIGHT


class Side(StrEnum):
    """Class of the start direction against the aim line, as seen from behind the ball."""

    FAR_LEFT = "far left"
    LEFT = "left"
    ON_LINE = "on line"
    RIGHT = "right"
    FAR_RIGHT = "far right"


class Height(StrEnum):
    """Height of the flight against one fixed background mark."""

    LOW = "low"
    MID = "mid"
    HIGH = "high"


class Strike(StrEnum):
    """How the club met the ball."""

    SOLID = "solid"
    THIN = "thin"
    FAT = "fat"
    TOP = "top"
    TOE = "toe"
    HEEL = "heel"
    SHANK = "shank"


class Curve(StrEnum):
    """What the ball did after its start; a matter of path, never of the face at the start."""

    LEFT = "curved left"
    STRAIGHT = "flew straight"
    RIGHT = "curved right"


class Swing(StrEnum):
    """Swing length."""

    SHORT = "short"
    HALF = "half"
    FULL = "full"


class Surface(StrEnum):
    """What the ball lies on; strike is never pooled across surfaces (a mat hides fat strikes)."""

    MAT = "mat"
    TURF = "turf"


class Lever(StrEnum):
    """The two things that bring the start back on line."""

    BOW = "bow"
    GRIP = "grip"


class Reason(StrEnum):
    """Why a ball is not counted. Where the ball went is never a reason."""

    INTERRUPTED = "interrupted"
    WHIFF_OR_SHANK = "whiff or shank"
    WRONG_SETUP = "wrong setup"
    NOT_A_REAL_TRY = "not a real try"
    SETUP_UNKNOWN = "setup unknown"
    NOT_SEEN = "not seen"

    @classmethod
    def choices(cls) -> tuple["Reason", ...]:
        """The reasons a player may give; the last two are given by the log itself."""
        return (cls.INTERRUPTED, cls.WHIFF_OR_SHANK, cls.WRONG_SETUP, cls.NOT_A_REAL_TRY)


class BlockKind(StrEnum):
    """Purpose of a run of consecutive balls."""

    WARM_UP = "warm-up"
    BASELINE = "baseline"
    BOW_BRACKET = "bow bracket"
    GRIP_BRACKET = "grip bracket"
    CHOOSE = "choose"
    CONFIRM = "confirm"
    LADDER = "ladder"
    TRAJECTORY = "trajectory"
    CARRY_OVER = "carry-over"
    STICK_OFF = "stick off"
    RANDOM = "random"
    RETENTION = "retention"
    FREE = "free"


class PainSite(StrEnum):
    """Where it hurts; the log records and defers, it diagnoses nothing."""

    WRIST = "wrist"
    ELBOW = "elbow"
    BACK = "back"
    OTHER = "other"


class Verdict(StrEnum):
    """What may be said of a setting's bias at any moment, however often it is asked."""

    CENTRED = "centred"
    LEFT = "left"
    RIGHT = "right"
    UNDECIDED = "undecided"


class CheckAnswer(StrEnum):
    """Answer to one body or kit check; "not applicable" is legal and blocks nothing."""

    PASS = "pass"  # noqa: S105 - a word of the trade, not a secret
    NOT_SURE = "not sure"
    FAIL = "fail"
    NOT_APPLICABLE = "not applicable"
