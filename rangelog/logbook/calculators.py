"""The calculators of the log: geometry in sentences, for the prompt and for the screen alike.

Each says what it assumes; none prescribes a bow in degrees; logged balls overrule them all.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from rangelog.core import scales
from rangelog.core.errors import OffScale
from rangelog.core.units import angle
from rangelog.core.words import Hand
from rangelog.geometry import ball_position as position_geometry
from rangelog.geometry import gate as gate_geometry
from rangelog.geometry import loft as loft_geometry
from rangelog.geometry import wrist as wrist_geometry
from rangelog.logbook.calculator_asks import ANGLE, BALLS, DISTANCE, SMALL, WIDTH, Ask, Typed
from rangelog.logbook.showing import AS_KEPT, Showing

OVERRULED = "Logged balls overrule this."


@dataclass(frozen=True, slots=True)
class Worked:
    """What a calculator answers.

    Attributes:
        values: the numbers by name, units in the names, as a script wants them.
        lines: sentences.
        table: rows of cells of even rank, the first row and column being heads; may be empty.
    """

    values: Mapping[str, Any]
    lines: tuple[str, ...]
    table: tuple[tuple[str, ...], ...] = ()


def gate(
    *,
    distance_m: float,
    width_m: float | None = None,
    window_deg: float = scales.DEFAULT_WINDOW_DEG,
    offset_m: float | None = None,
    flag_m: float | None = None,
    launch_deg: float | None = None,
    showing: Showing = AS_KEPT,
) -> Worked:
    """A gate of a width at a distance in degrees, the width for a window, an offset at a flag, the height of the ball over the gate.

    Args:
        flag_m: distance the offset is seen at; that of the gate where None.

    Raises:
        OffScale: "Ball cannot pass." for a gate as narrow as the ball, "Distance must be over 0.", or a number off its scale.
    """
    wanted = gate_geometry.width_for(window_deg, distance_m)
    values: dict[str, Any] = {"distance_m": distance_m, "window_deg": window_deg, "width_for_window_m": wanted}
    at = showing.far(distance_m)
    lines = [f"For +-{window_deg:g} deg at {at} the gate is {showing.across(wanted)} wide inside."]
    if width_m is not None:
        made = gate_geometry.gate(width_m, distance_m)
        values |= asdict(made)
        fits = gate_geometry.distance_for(width_m, window_deg)
        lines = [
            f"{showing.across(width_m)} at {at} {made.sentence(window_deg, showing.across)}. Touches out to {made.touches_deg:.1f} deg."
        ]
        if fits <= gate_geometry.DISTANCE_MOST_M:
            values["distance_for_window_m"] = fits
            lines.append(f"This width is +-{window_deg:g} deg at {showing.far(round(fits, 2))}.")
    far = distance_m if flag_m is None else flag_m
    if offset_m is not None:
        values["offset_deg"] = gate_geometry.offset_deg(offset_m, far)
        lines.append(f"{showing.far(abs(offset_m))} off at {showing.far(far)} is {angle(values['offset_deg'])}.")
    if flag_m is not None:
        values["window_at_flag_m"] = gate_geometry.offset_m(window_deg, flag_m)
        lines.append(
            f"At {showing.far(flag_m)} your +-{window_deg:g} deg is {showing.far(round(values['window_at_flag_m'], 2))} to either side."
        )
    if launch_deg is not None:
        values["height_m"] = gate_geometry.height_m(launch_deg, distance_m)
        lines.append(f"At {launch_deg:g} deg launch the ball is {showing.across(values['height_m'])} up at the gate, its fall left out.")
    return Worked(values, tuple(lines))


def wrist(*, delta_deg: float = 15.0, grip_deg: float = 30.0, set_deg: float = 0.0, showing: Showing = AS_KEPT) -> Worked:
    """How a grip turns one bend between bow and sideways angle, exact. Raises OffScale for an angle off its scale."""
    found = wrist_geometry.wrist(delta_deg, grip_deg, set_deg)
    values: dict[str, Any] = asdict(found) | {"delta_deg": delta_deg, "grip_deg": grip_deg, "set_deg": set_deg}
    lines = [
        f"Shaft {delta_deg:g} deg behind the forearm, grip {grip_deg:g} deg, set {set_deg:g} deg:",
        f"bow {found.bow_deg:.1f} deg, sideways {found.sideways_deg:.1f} deg.",
    ]
    if grip_deg + 10 <= scales.GRIP_RANGE[1]:
        values["bow_saved_deg"] = wrist_geometry.bow_saved(delta_deg, grip_deg, set_deg)
        lines.append(f"Ten degrees stronger, same lines: {values['bow_saved_deg']:.1f} deg less bow.")
    if set_deg:
        values["flat_grip_deg"] = wrist_geometry.flat_grip(delta_deg, set_deg)
        lines.append(f"The wrist is flat at a grip of {values['flat_grip_deg']:.0f} deg.")
    return Worked(values, tuple(lines))


def wrist_table() -> Worked:
    """Bow and sideways angle without any set, by arm-shaft angle and grip."""
    rows = wrist_geometry.planar_table()
    head = ("delta", *(str(grip) for grip in wrist_geometry.TABLE_GRIPS))
    cells = tuple(
        (str(name), *(f"{cell.bow_deg:.1f}/{cell.sideways_deg:.1f}" for cell in row))
        for name, row in zip(wrist_geometry.TABLE_DELTAS, rows, strict=True)
    )
    values = {"grips_deg": wrist_geometry.TABLE_GRIPS, "rows": [[asdict(cell) for cell in row] for row in rows]}
    return Worked(values, ("bow / sideways in degrees, no set, by grip",), (head, *cells))


def loft(*, loft_deg: float, lean_deg: float | None = None, lie_deg: float = 62.0, showing: Showing = AS_KEPT) -> Worked:
    """Lean, the loft it takes, and how far the face opens when it is not squared again.

    Raises:
        OffScale: a number off its scale, or "Check numbers." for a lean that leaves no loft.
    """
    static = loft_geometry.static_loft(loft_deg)
    ruled = static >= loft_geometry.LEAST_LOFT_DEG
    values: dict[str, Any] = {"static_loft_deg": static}
    lines = ["The lean share is not for clubs under 15 deg of loft."]
    if ruled:
        band = loft_geometry.lean_band(static)
        values |= asdict(band)
        lines = [f"Loft {static:g} deg: lean {band.low_deg:.1f} to {band.high_deg:.1f} deg (25-35 %), usually {band.usual_deg:.1f}."]
    if lean_deg is not None:
        left = loft_geometry.dynamic_loft(static, lean_deg)
        move = loft_geometry.carried_forward(static, lie_deg, lean_deg)
        twist = loft_geometry.twist_to_square(lie_deg, lean_deg)
        values |= {"lean_deg": lean_deg, "dynamic_loft_deg": left, "carried_forward": asdict(move), "twist_to_square_deg": twist}
        share = f"{loft_geometry.lean_share(static, lean_deg):.0%} of loft, " if ruled else ""
        lines += [
            f"Lean {lean_deg:g}: {share}{left:.1f} deg left with the face kept square.",
            f"Carried forward without twist the face {'opens' if move.closing_deg <= 0 else 'closes'} {abs(move.closing_deg):.1f} deg; "
            f"{abs(twist):.1f} deg of twist squares it.",
        ]
    return Worked(values, tuple(lines))


def ball_position(
    *, position_balls: float = -1.0, hub_mm: float | None = None, hand: Hand | None = None, showing: Showing = AS_KEPT
) -> Worked:
    """What moving the ball does to lean, loft, attack, launch and start line.

    Args:
        hand: says which side the open one is; left out where None.

    Raises:
        OffScale: a position outside -3..3 ball widths, or a hub outside 600..1800 mm.
    """
    place = scales.number("ball position", position_balls, *scales.POSITION_RANGE, "ball widths")
    change = position_geometry.per_ball() if hub_mm is None else position_geometry.per_ball(hub_mm=hub_mm)
    back = -place
    low, high = sorted(back * end for end in change.start_open_deg)
    moved = {
        "lean": back * change.lean_deg,
        "loft": -back * change.loft_deg,
        "attack": -back * change.attack_deg,
        "launch": -back * change.launch_deg,
    }
    values: dict[str, Any] = {"position_balls": place, "position_mm": place * scales.BALL_DIAMETER_MM}
    values |= {f"{name}_deg": value for name, value in moved.items()} | {"start_open_deg": [low, high]}
    closed = place > 0
    side = "" if hand is None else f" ({'right' if (hand is Hand.RIGHT) != closed else 'left'} of the line)"
    least, most = sorted((abs(low), abs(high)))
    where = "at the stock position" if not place else f"{'back' if place < 0 else 'forward'} ({showing.small(abs(values['position_mm']))})"
    lines = [
        f"{abs(place):.3g} ball {where}, body not travelling:",
        ", ".join(f"{name} {value + 0.0:+.1f}" for name, value in moved.items()) + " deg;",
        f"start line {least:.1f} to {most:.1f} deg toward the {'closed' if closed else 'open'} side{side}.",
    ]
    return Worked(values, tuple(lines))


_ASKED_AS = {
    "arm-shaft angle": "delta_deg", "wrist set": "set_deg", "grip": "grip_deg", "lean": "lean_deg", "lie": "lie_deg",
    "static loft": "loft_deg", "launch": "launch_deg", "offset": "offset_m", "hub height": "hub_mm", "ball position": "position_balls",
}  # fmt: skip
"""Name of a scale to the ask its number comes from."""


@dataclass(frozen=True, slots=True)
class Calculator:
    """One calculator as data: what it asks, what it works out, what it takes for granted.

    Attributes:
        name: how acts and code name it.
        title: two or three words.
        asks: its numbers, in order.
        work: the answer to what was typed. Raises OffScale.
        assumes: what it takes for granted.
    """

    name: str
    title: str
    asks: tuple[Ask, ...]
    work: Callable[..., Worked]
    assumes: tuple[str, ...]

    def answer(self, given: Mapping[str, str], showing: Showing = AS_KEPT, hand: Hand | None = None) -> Worked:
        """The answer to typed words by the names of the asks; an empty word takes the default.

        Raises:
            OffScale: `field` is the name of the ask, or of the scale; the text is meant for the player.
        """
        known = {ask.name: ask.read(given.get(ask.name, ""), showing) for ask in self.asks}
        more = {"hand": hand} if self.name == "ball position" else {}
        try:
            found = self.work(**{name: value for name, value in known.items() if value is not None}, **more, showing=showing)
        except OffScale as problem:
            raise OffScale(_ASKED_AS.get(problem.field, problem.field), problem.title, problem.next_step) from None
        return Worked(found.values, tuple(showing.said(line) for line in (*found.lines, OVERRULED)), found.table)


def _wrist_with_table(**given: Any) -> Worked:
    found, table = wrist(**given), wrist_table()
    return Worked(found.values, found.lines, table.table)


def _checked(read: Callable[[float], object]) -> Typed:
    """A check that hands back the number."""

    def check(value: float) -> float:
        read(value)
        return value

    return check


GATE = Calculator(
    "gate",
    "Gate and offset",
    (
        Ask(
            "width_m", "Gate, inside width", WIDTH, help="Empty: the width your window needs.", check=_checked(gate_geometry.checked_width)
        ),
        Ask("distance_m", "Gate, from the ball", DISTANCE, 3.0, check=_checked(gate_geometry.checked_distance)),
        Ask("window_deg", "Window, to either side", ANGLE, scales.DEFAULT_WINDOW_DEG, check=_checked(gate_geometry.checked_window)),
        Ask("offset_m", "Offset at a flag", DISTANCE, help="+ or R right, - or L left.", signed=True),
        Ask("flag_m", "Flag, from the ball", DISTANCE, check=_checked(gate_geometry.checked_distance)),
        Ask("launch_deg", "Launch", ANGLE, help="How high the ball is over the gate."),
    ),
    gate,
    (
        "Assumes that the ball runs straight that far and that the gate lies evenly about the aim line.",
        "Gate sticks can throw a ball back: soft markers, to the side, nobody opposite; never walk out without leave of the range staff.",
    ),
)
WRIST = Calculator(
    "wrist",
    "Wrist: bow and sideways",
    (
        Ask("grip_deg", "Grip, lead hand", ANGLE, 30.0, help="0 weak, 90 very strong.", check=_checked(scales.grip)),
        Ask("delta_deg", "Shaft behind the forearm", ANGLE, 15.0, help="Butt toward the target is +."),
        Ask("set_deg", "Set, from down the line", ANGLE, 0.0, help="Angle between forearm and shaft; 0 is the planar picture."),
    ),
    _wrist_with_table,
    (
        "Assumes the hand fixed on the club. The grip only turns the bend between bow and sideways, it does not remove it.",
        "It prescribes no bow: how far a felt notch bends a wrist is not known from here.",
    ),
)
LOFT = Calculator(
    "loft",
    "Loft and lean",
    (
        Ask("loft_deg", "Static loft", ANGLE, required=True, help="Shaft upright, 5 to 70.", check=_checked(loft_geometry.static_loft)),
        Ask("lean_deg", "Lean at impact", ANGLE, help="Hands ahead is +."),
        Ask("lie_deg", "Lie", ANGLE, 62.0),
    ),
    loft,
    (
        "The 25 to 35 % band is common practice, no source; irons and wedges only, not for clubs under 15 deg.",
        "Assumes a straight shaft. Lofts differ by maker and age: ask.",
    ),
)
BALL_POSITION = Calculator(
    "ball position",
    "Ball position",
    (
        Ask("position_balls", "Ball moved", BALLS, -1.0, help="Toward the target is +; mm or in are taken too.", signed=True),
        Ask("hub_mm", "Hub above the ball", SMALL, help="What the swing turns about; empty: 1350 mm."),
    ),
    ball_position,
    (
        "Assumes that the body stays, the arm-shaft angle is kept and everything turns about one hub.",
        "Ball position is a lever of its own: hold it in every bracket.",
    ),
)

CALCULATORS = {each.name: each for each in (GATE, WRIST, LOFT, BALL_POSITION)}
"""All of them, in order."""

__all__ = [
    "CALCULATORS",
    "OVERRULED",
    "Ask",
    "Calculator",
    "OffScale",
    "Worked",
    "ball_position",
    "gate",
    "loft",
    "wrist",
    "wrist_table",
]
