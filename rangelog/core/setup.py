"""What the player states before a ball: the setting, and everything that is held with it."""

from dataclasses import dataclass, replace

from rangelog.core import scales
from rangelog.core.setting import Setting
from rangelog.core.words import Lever, Surface, Swing


@dataclass(frozen=True, slots=True)
class Setup:
    """The stated setup. `bow` and `grip` are None until the player has stated them.

    Attributes:
        bow: intended bow in notches, fixed before the ball and never rewritten by what was felt after.
        grip: lead-hand grip in degrees.
        position_balls: ball widths from the club's stock position, + toward the target.
        club_id: which club of the bag.
        swing: swing length.
        stick: the grip stick is on.
        surface: what the ball lies on.
        aim_line: an aim line lies on the ground; without it the start is read against a guess.
    """

    bow: float | None = None
    grip: float | None = None
    position_balls: float = 0.0
    club_id: str = ""
    swing: Swing = Swing.HALF
    stick: bool = True
    surface: Surface = Surface.MAT
    aim_line: bool = True

    def __post_init__(self) -> None:
        if self.bow is not None:
            scales.bow(self.bow)
        if self.grip is not None:
            scales.grip(self.grip)
        scales.position(self.position_balls)

    @property
    def stated(self) -> bool:
        """Both levers are stated, so that a ball can count."""
        return self.bow is not None and self.grip is not None

    @property
    def setting(self) -> Setting | None:
        """The combination of the two levers, None until both are stated."""
        if self.bow is None or self.grip is None:
            return None
        return Setting(self.bow, self.grip)

    def at(self, setting: Setting) -> "Setup":
        """The same setup with both levers at a setting."""
        return replace(self, bow=setting.bow, grip=setting.grip)

    def moved_from(self, other: "Setup") -> tuple[str, ...]:
        """Words for what differs from another setup: "bow", "grip", "ball position", "club", "swing", "stick"."""
        pairs = (
            (Lever.BOW.value, self.bow, other.bow),
            (Lever.GRIP.value, self.grip, other.grip),
            ("ball position", self.position_balls, other.position_balls),
            ("club", self.club_id, other.club_id),
            ("swing", self.swing, other.swing),
            ("stick", self.stick, other.stick),
        )
        return tuple(name for name, mine, theirs in pairs if mine != theirs)
