"""Geometry at the prompt. Each says what it assumes; none prescribes a bow in degrees."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from rangelog.cli.shared import as_json_option, print_json

if TYPE_CHECKING:
    from rangelog.logbook.calculators import Worked

GATE_EXAMPLES = """\b
Examples:
  rangelog gate --width 0.5 --distance 3
  rangelog gate --distance 3 --window 2
  rangelog gate --offset 2 --distance 50
"""


def _print(worked: Worked, as_json: bool) -> None:
    from rangelog.logbook.calculators import OVERRULED

    if as_json:
        print_json(dict(worked.values))
        return
    widest = max((len(cell) for row in worked.table for cell in row), default=0) + 2
    table = ["".join(f"{cell:>{widest}}" for cell in row) for row in worked.table]
    click.echo("\n".join([*worked.lines, *table, OVERRULED]))


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
    from rangelog.logbook import calculators

    worked = calculators.gate(distance_m=distance, width_m=width, window_deg=window, offset_m=offset, launch_deg=launch)
    _print(worked, as_json)
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
    from rangelog.logbook import calculators

    _print(calculators.wrist_table() if table else calculators.wrist(delta_deg=delta, grip_deg=grip, set_deg=hinge), as_json)
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
    from rangelog.logbook import calculators

    _print(calculators.loft(loft_deg=static, lean_deg=lean, lie_deg=lie), as_json)
    return 0


@click.command("ball-position", epilog="\b\nExamples:\n  rangelog ball-position --balls -1\n  rangelog ball-position --balls 2 --hub 900")
@click.option("--balls", type=float, default=-1.0, show_default=True, help="Ball widths from stock, + toward the target.")
@click.option("--hub", type=float, help="Height of the hub the swing turns about, millimetres.")
@as_json_option
def ball_position(balls: float, hub: float | None, as_json: bool) -> int:
    """What moving the ball does to lean, loft, attack, launch and start line.

    Assumes that the body stays and everything turns about one hub. Ball position is a lever of its own: hold it in every bracket.
    """
    from rangelog.logbook import calculators

    _print(calculators.ball_position(position_balls=balls, hub_mm=hub), as_json)
    return 0
