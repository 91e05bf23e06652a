"""The command line: thin commands, each loaded only when it is called, so that none pays for another's imports."""

from rangelog.cli.root import main

__all__ = ["main"]
