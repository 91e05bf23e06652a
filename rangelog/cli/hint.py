"""`rangelog hint`: balls in, one hint out, no book needed."""

from __future__ import annotations

import sys
from dataclasses import asdict
from typing import IO

import click

from rangelog.cli.shared import as_json_option, print_json
from rangelog.core import scales
from rangelog.core.words import Hand, Lever

EPILOG = """\b
Examples:
  rangelog hint balls.jsonl
  rangelog export --format jsonl - | rangelog hint --json
  echo '{"bow": 0, "grip": 30, "start": 6}' | rangelog hint

\b
A line needs bow and grip, and start (degrees, + = right) or side
("far left" .. "far right"). It may name hand, strike, session, club,
stick, swing, position, counted and touched.
"""


@click.command(epilog=EPILOG)
@click.argument("balls", type=click.File("r", encoding="utf-8"), default="-")
@click.option("--hand", type=click.Choice([hand.value for hand in Hand]), help="The hand, where the lines do not state it. Default: right.")
@click.option("--window", default=scales.DEFAULT_WINDOW_DEG, show_default=True, help="Degrees that count as on line.")
@click.option("--wide", default=scales.DEFAULT_WIDE_DEG, show_default=True, help="Degrees from which a start is far.")
@click.option("--wrist-limit", type=float, help="No hint goes above this bow.")
@click.option(
    "--lever", type=click.Choice([lever.value for lever in Lever]), default=Lever.BOW.value, show_default=True, help="The lever that moves."
)
@as_json_option
def hint(balls: IO[str], hand: str | None, window: float, wide: float, wrist_limit: float | None, lever: str, as_json: bool) -> int:
    """Read balls from a JSON Lines file or standard input; print the hint and the estimates behind it."""
    from rangelog.exchange import hint_lines
    from rangelog.logbook.at_once import advise

    try:
        read = hint_lines.read(balls)
    except UnicodeDecodeError:
        raise click.BadParameter("the file is not UTF-8 text", param_hint="BALLS") from None
    for bad in read.bad:
        print(f"line {bad.line} set aside: {bad.why}", file=sys.stderr)
    stated = Hand(hand) if hand else read.hand or Hand.RIGHT
    limit = None if wrist_limit is None else scales.bow(wrist_limit)
    scales.number("window", window, 0.5, 10, "deg")
    scales.number("wide edge", wide, window + 0.1, 30, "deg")
    advice = advise(read.balls, hand=stated, window_deg=window, wide_deg=wide, wrist_limit_bow=limit, lever=Lever(lever))
    if as_json:
        print_json(asdict(advice) | {"set_aside": [asdict(line) for line in read.bad]})
        return 0
    click.echo(advice.hint.words)
    if advice.hint.numbers:
        click.echo(advice.hint.numbers)
    for line in advice.hint.why:
        click.echo(f"  {line}")
    click.echo(f"{advice.balls} balls, {advice.fitted} of this setting's set in the fit.")
    return 0
