"""A text file that is there whole or not at all, or standard output."""

import io
import os
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO

from rangelog.core.errors import Refused

STANDARD = "-"
"""The name that stands for standard input or output."""


@contextmanager
def text_out(target: Path | str, *, newline: str = "\n") -> Iterator[TextIO]:
    """A UTF-8 text stream that becomes the target only when everything has been written and synced.

    The target "-" is standard output. Where anything goes wrong, what stood at the target before still stands there.

    Raises:
        Refused: the folder is not there or cannot be written.
    """
    if str(target) == STANDARD:
        if isinstance(sys.stdout, io.TextIOWrapper):
            sys.stdout.reconfigure(encoding="utf-8", newline=newline)
        yield sys.stdout
        sys.stdout.flush()
        return
    path = Path(target)
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", suffix=".part", dir=path.parent)
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror}.", "Choose another file.") from None
    part = Path(name)
    try:
        with open(handle, "w", encoding="utf-8", newline=newline) as stream:
            yield stream
            stream.flush()
            os.fsync(stream.fileno())
        os.replace(part, path)
    except OSError as error:
        raise Refused(f"{path} cannot be written: {error.strerror or error}.", "What stood there before still stands.") from error
    finally:
        part.unlink(missing_ok=True)
    _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    """Make the new name itself last; some systems cannot sync a folder, and then the name is as safe as they make it."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def text_in(source: Path | str, *, newline: str | None = None) -> Iterator[TextIO]:
    """A UTF-8 text stream, with or without a byte order mark; bytes that are no UTF-8 come in as the replacement character.

    The source "-" is standard input.

    Raises:
        Refused: there is no such file, or it cannot be read.
    """
    if str(source) == STANDARD:
        if isinstance(sys.stdin, io.TextIOWrapper):
            sys.stdin.reconfigure(encoding="utf-8-sig", errors="replace", newline=newline)
        yield sys.stdin
        return
    path = Path(source)
    try:
        stream = open(path, encoding="utf-8-sig", errors="replace", newline=newline)  # noqa: SIM115 - closed below
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror}.", "Check the path.") from None
    with stream:
        yield stream
