"""Opening the tee, on the player's own book or on the demo."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from rangelog import paths


def open_tee(choices: dict[str, Any], book: Path | None = None) -> int:
    """Open the tee screen, or its plain lines. Returns the exit code."""
    from rangelog import tui

    return tui.run(
        book or choices["book"] or paths.default_book(),
        look=choices["look"],
        mouse=choices["mouse"],
        keymap_set=choices["key_set"],
        plain=choices["plain"],
    )


@click.command(epilog="\b\nExamples:\n  rangelog demo\n  rangelog --look light demo\n  rangelog --plain demo")
@click.option("--to", type=click.Path(path_type=Path, dir_okay=False), help="Keep the demo book here, to open it later.")
@click.option("--no-open", is_flag=True, help="Only lay the book down; say where.")
@click.pass_obj
def demo(choices: dict[str, Any], to: Path | None, no_open: bool) -> int:
    """Open the log on six weeks of an invented player.

    The player, the coach and every ball are made up by a script with a fixed seed. The demo book is made anew each time,
    apart from your own book.
    """
    from rangelog.cli.demo_book import lay_down

    path = lay_down(to)
    if no_open:
        click.echo(str(path))
        return 0
    click.echo("This player and every ball are invented.")
    return open_tee(choices, path)


@click.command(epilog="\b\nExamples:\n  rangelog practice\n  rangelog --keys azerty practice\n  rangelog --plain practice")
@click.pass_obj
def practice(choices: dict[str, Any]) -> int:
    """Learn the keys in a minute: Enter hits a simulated ball.

    The golfer is invented, and every ball is simulated. The book is a temporary one: it is deleted when you leave, and your
    own book is not touched.
    """
    from rangelog.tui import practice as tee

    return tee.run(look=choices["look"], mouse=choices["mouse"], keymap_set=choices["key_set"], plain=choices["plain"])
