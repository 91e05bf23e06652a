"""Geometry at the prompt. Each says what it assumes; none prescribes a bow in degrees."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import click

from rangelog.cli.shared import as_json_option, print_json

GATE_EXAMPLES = """\b
Examples:
  rangelog gate --width 0.5 --distance 3
  rangelog gate --distance 3 --window 2
  rangelog gate --offset 2 --distance 50
"""
OVERRULED = "Logged balls overrule this."


def _print(answer: dict[str, Any], lines: list[str], as_json: bool) -> None:
    if as_json:
        print_json(answer)
    else:
        click.echo("\n".join([*lines, OVERRULED]))


@click.command(epilog=GATE_EXAMPLES)
@click.option("--width", type=float, help="Inside width of the gate, metres.")
@click.option("--distance", type=float, required=True, help="From the ball, metres.")
@click.option("--window", type=float, default=2.0, show_default=True, help="Degrees that count as on line.")
@click.option("--offset", type=float, help="Offset from the line at that distance, metres, + = right: told in degrees.")
@click.option("--launch", type=float, help="Launch angle, to tell how high the ball passes.")
@as_json_option
def gate(width: float | None, distance: float, window: float, offset: float | None, launch: float | None, as_json: bool) -> int:
    """Gate width and distance to degrees, and back; offset at a flag; height over the gate.

    Assumes that the ball runs straight that far. Gate sticks can throw a ball back: soft markers, to the side, nobody
    opposite; never walk out without leave of the range staff.
    """
    from rangelog.core.units import angle
    from rangelog.geometry import gate as geometry

    answer: dict[str, Any] = {"distance_m": distance, "window_deg": window, "width_for_window_m": geometry.width_for(window, distance)}
    lines = [f"For +-{window:g} deg at {distance:g} m the gate is {answer['width_for_window_m']:.2f} m wide inside."]
    if width is not None:
        made = geometry.gate(width, distance)
        answer |= asdict(made)
        lines = [f"{width:.2f} m at {distance:g} m {made.sentence(window)}. Touches out to {made.touches_deg:.1f} deg."]
    if offset is not None:
        answer["offset_deg"] = geometry.offset_deg(offset, distance)
        lines.append(f"{abs(offset):g} m off at {distance:g} m is {angle(answer['offset_deg'])}.")
    if launch is not None:
        answer["height_m"] = geometry.height_m(launch, distance)
        lines.append(f"At {launch:g} deg launch the ball is {answer['height_m']:.2f} m up there, its fall left out.")
    _print(answer, lines, as_json)
    return 0


@click.command(
    epilog="\b\nExamples:\n  rangelog wrist --delta 15 --grip 30\n  rangelog wrist --delta 15 --grip 30 --set 25\n  rangelog wrist --table"
)
@click.option("--delta", type=float, default=15.0, show_default=True, help="How far the shaft trails the forearm line, degrees.")
@click.option("--grip", type=float, default=30.0, show_default=True, help="Lead-hand grip, degrees: 0 weak, 90 very strong.")
@click.option("--set", "hinge", type=float, default=0.0, show_default=True, help="Angle between forearm and shaft seen from down the line.")
@click.option("--table", is_flag=True, help="The whole planar table.")
@as_json_option
def wrist(delta: float, grip: float, hinge: float, table: bool, as_json: bool) -> int:
    """How a grip turns one bend between bow and sideways angle, exact.

    The grip only rotates the bend, it does not remove it. Assumes the hand fixed on the club. It prescribes no bow in
    degrees: how far a felt notch bends a wrist is not known from here.
    """
    from rangelog.geometry import wrist as geometry

    if table:
        rows = geometry.planar_table()
        answer: dict[str, Any] = {"grips_deg": geometry.TABLE_GRIPS, "rows": [[asdict(cell) for cell in row] for row in rows]}
        head = "delta  " + "".join(f"{found:>12}" for found in geometry.TABLE_GRIPS)
        lines = [
            "bow / sideways in degrees, no set, by grip",
            head,
            *(
                f"{name:>5}  " + "".join(f"{cell.bow_deg:>6.1f}/{cell.sideways_deg:<5.1f}" for cell in row)
                for name, row in zip(geometry.TABLE_DELTAS, rows, strict=True)
            ),
        ]
        _print(answer, lines, as_json)
        return 0
    found = geometry.wrist(delta, grip, hinge)
    answer = asdict(found) | {
        "delta_deg": delta,
        "grip_deg": grip,
        "set_deg": hinge,
        "bow_saved_deg": geometry.bow_saved(delta, grip, hinge),
    }
    lines = [
        f"Shaft {delta:g} deg behind the forearm, grip {grip:g} deg, set {hinge:g} deg:",
        f"bow {found.bow_deg:.1f} deg, sideways {found.sideways_deg:.1f} deg.",
        f"Ten degrees stronger, same lines: {answer['bow_saved_deg']:.1f} deg less bow.",
    ]
    if hinge:
        answer["flat_grip_deg"] = geometry.flat_grip(delta, hinge)
        lines.append(f"The wrist is flat at a grip of {answer['flat_grip_deg']:.0f} deg.")
    _print(answer, lines, as_json)
    return 0


@click.command(epilog="\b\nExamples:\n  rangelog loft --loft 30\n  rangelog loft --loft 30 --lean 10 --lie 62")
@click.option("--loft", "static", type=float, required=True, help="Static loft, degrees.")
@click.option("--lean", type=float, help="Shaft lean at impact, degrees.")
@click.option("--lie", type=float, default=62.0, show_default=True, help="Lie, degrees.")
@as_json_option
def loft(static: float, lean: float | None, lie: float, as_json: bool) -> int:
    """Lean, the loft it takes, and how far the face opens when it is not squared again.

    The share of loft is common practice, no source: a band of 25 to 35 %, not for clubs under 15 deg.
    """
    from rangelog.geometry import loft as geometry

    band = geometry.lean_band(static)
    answer: dict[str, Any] = asdict(band)
    lines = [f"Loft {static:g} deg: lean {band.low_deg:.1f} to {band.high_deg:.1f} deg (25-35 %), usually {band.usual_deg:.1f}."]
    if lean is not None:
        left = geometry.dynamic_loft(static, lean)
        move = geometry.carried_forward(static, lie, lean)
        twist = geometry.twist_to_square(lie, lean)
        answer |= {"lean_deg": lean, "dynamic_loft_deg": left, "carried_forward": asdict(move), "twist_to_square_deg": twist}
        lines += [
            f"Lean {lean:g}: {geometry.lean_share(static, lean):.0%} of loft, {left:.1f} deg left with the face kept square.",
            f"Carried forward without twist the face opens {abs(move.closing_deg):.1f} deg; {twist:.1f} deg of twist squares it.",
        ]
    _print(answer, lines, as_json)
    return 0


@click.command("ball-position", epilog="\b\nExamples:\n  rangelog ball-position --balls -1\n  rangelog ball-position --balls 2 --hub 900")
@click.option("--balls", type=float, default=-1.0, show_default=True, help="Ball widths from stock, + toward the target.")
@click.option("--hub", type=float, help="Height of the hub the swing turns about, millimetres.")
@as_json_option
def ball_position(balls: float, hub: float | None, as_json: bool) -> int:
    """What moving the ball does to lean, loft, attack, launch and start line.

    Assumes that the body stays and everything turns about one hub. Ball position is a lever of its own: hold it in every bracket.
    """
    from rangelog.core import scales
    from rangelog.geometry import ball_position as geometry

    place = scales.number("ball position", balls, *scales.POSITION_RANGE, "ball widths")
    change = geometry.per_ball() if hub is None else geometry.per_ball(hub_mm=hub)
    back = -place
    low, high = sorted(back * end for end in change.start_open_deg)
    answer: dict[str, Any] = {
        "position_balls": place,
        "position_mm": place * scales.BALL_DIAMETER_MM,
        "lean_deg": back * change.lean_deg,
        "loft_deg": -back * change.loft_deg,
        "attack_deg": -back * change.attack_deg,
        "launch_deg": -back * change.launch_deg,
        "start_open_deg": [low, high],
    }
    lines = [
        f"{abs(place):g} ball {'back' if place < 0 else 'forward'} ({abs(answer['position_mm']):.0f} mm), body not travelling:",
        ", ".join(f"{name} {answer[f'{name}_deg']:+.1f}" for name in ("lean", "loft", "attack", "launch")) + " deg;",
        f"start line {low:+.1f} to {high:+.1f} deg toward the open side.",
    ]
    _print(answer, lines, as_json)
    return 0
