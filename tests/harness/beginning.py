"""How every harness begins: the words of its command, and the book of an invented player."""

import argparse
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Protocol

from rangelog.logbook import Logbook


class Came(Protocol):
    """What a run came to: one line of counts, and what went wrong."""

    failures: list[str]


def command(words: str, run: Callable[[Path, argparse.Namespace], Came], **choices: int | bool) -> int:
    """Run a harness in a folder of its own, print its counts and its first failures, and return its exit code: 1 where there are any.

    Args:
        words: what it does, for --help.
        run: takes the folder and the choices.
        choices: name and default of every choice; a default of False makes a switch.
    """
    parser = argparse.ArgumentParser(description=words, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name, default in choices.items():
        if default is False:
            parser.add_argument(f"--{name}", action="store_true")
        else:
            parser.add_argument(f"--{name}", type=int, default=default)
    chosen = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        came = run(Path(folder), chosen)
    print(came)
    for failure in came.failures[:20]:
        print(failure)
    return 1 if came.failures else 0


def tell(line: str) -> None:
    """Say how far it is, at once."""
    print(line, flush=True)


def begin(book: Logbook, ball_cap: int = 300) -> Logbook:
    """The first answers of an invented right-hander with a 28 degree iron, and a visit at bow 0, grip 30."""
    book.first_start(code="test", hand="right", club_name="iron", loft_deg=28.0, ball_cap=ball_cap)
    book.start_session()
    book.set_setup(bow=0.0, grip=30.0)
    return book
