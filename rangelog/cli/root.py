"""The `rangelog` command: what it offers, where the book is, and how an error is told."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from importlib import import_module
from pathlib import Path

import click

from rangelog import __version__
from rangelog.core.errors import RangelogError

COMMANDS = {
    "backup": ("rangelog.cli.keeping:backup", "Write a checked, dated copy of the book, or restore one."),
    "ball-position": ("rangelog.cli.calculators:ball_position", "What moving the ball does to lean, loft, launch and start line."),
    "check": ("rangelog.cli.keeping:check", "Check the book: every page, every row, every number."),
    "demo": ("rangelog.cli.tee:demo", "Open the log on an invented player's season."),
    "export": ("rangelog.cli.carrying:export", "Write every ball as CSV, or the whole book as JSON Lines."),
    "gate": ("rangelog.cli.calculators:gate", "Gate width and distance to degrees, and back."),
    "hint": ("rangelog.cli.hint:hint", "Read balls from JSON Lines, say what to hit next."),
    "import": ("rangelog.cli.carrying:import_", "Bring balls in from JSON Lines or CSV, with a preview."),
    "loft": ("rangelog.cli.calculators:loft", "Lean, the loft it takes, and the face it opens."),
    "merge": ("rangelog.cli.carrying:merge", "Bring together two books of the same player."),
    "practice": ("rangelog.cli.tee:practice", "Learn the keys: simulated balls, nothing is kept."),
    "report": ("rangelog.cli.reading:report", "One page for the coach, as text or HTML."),
    "review": ("rangelog.cli.reading:review", "A plain summary of one session, with intervals."),
    "sessions": ("rangelog.cli.reading:sessions", "List the sessions of the book."),
    "settings": ("rangelog.cli.keeping:settings", "Show the settings in force, and where they are kept."),
    "wrist": ("rangelog.cli.calculators:wrist", "Grip and forearm-shaft angles to bow and sideways angle."),
}

EXAMPLES = """\b
Examples:
  rangelog                       open the tee on your own book
  rangelog demo                  open it on an invented season
  rangelog practice              learn the keys on simulated balls
  rangelog --book club.book      open another book
  rangelog review                what the last session showed
  rangelog report --html page.html
"""


class Shelf(click.Group):
    """A group whose commands are imported when they are called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Names, in order."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        """The command of a name, None where there is none."""
        if name not in COMMANDS:
            return None
        module, attribute = COMMANDS[name][0].split(":")
        command = getattr(import_module(module), attribute)
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list of commands, without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])


@click.group(cls=Shelf, invoke_without_command=True, epilog=EXAMPLES, context_settings={"help_option_names": ["-h", "--help"]})
@click.option(
    "--book",
    "book",
    type=click.Path(path_type=Path, dir_okay=False),
    envvar="RANGELOG_BOOK",
    help="The book to open. Default: yours, in the user data folder.",
)
@click.option("--look", type=click.Choice(["light", "dark", "contrast", "terminal"]), help="How the screen looks.")
@click.option(
    "--keys",
    "key_set",
    type=click.Choice(["qwerty", "qwertz", "azerty", "dvorak", "colemak"]),
    help="Which keyboard the keys are laid out for.",
)
@click.option("--plain", is_flag=True, help="Plain lines, one sentence an event: for screen readers and pipes.")
@click.option("--no-mouse", is_flag=True, help="Leave the mouse to the terminal.")
@click.version_option(__version__, prog_name="rangelog", message="%(prog)s %(version)s")
@click.pass_context
def rangelog(ctx: click.Context, book: Path | None, look: str | None, key_set: str | None, plain: bool, no_mouse: bool) -> None:
    """A log for the range tee that brings the start line back.

    Without a command, it opens the tee: state the setup, hit, press one or two keys, read one hint.
    """
    ctx.obj = {"book": book, "look": look, "key_set": key_set, "plain": plain, "mouse": not no_mouse}
    if ctx.invoked_subcommand is None:
        from rangelog.cli.tee import open_tee

        ctx.exit(open_tee(ctx.obj))


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line.

    Args:
        arguments: words after the program's name; those of the process by default.

    Returns:
        The exit code: 0, or 2 after one clear line on bad input or a book that cannot be used.
    """
    try:
        result = rangelog.main(args=None if arguments is None else list(arguments), prog_name="rangelog", standalone_mode=False)
    except click.exceptions.Exit as done:
        return done.exit_code
    except click.Abort:
        return 130
    except click.ClickException as error:
        where = getattr(error, "ctx", None)
        path = where.command_path if where else "rangelog"
        return _told(f"{path}: {error.format_message()} ({path} --help)")
    except RangelogError as error:
        return _told(f"rangelog: {error}")
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    return result if isinstance(result, int) else 0


def _told(line: str) -> int:
    print(" ".join(line.split()), file=sys.stderr)
    return 2
