"""A disk that is really small, where this system lets us mount one; else a book that may not grow."""

import os
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def may_mount(folder: Path) -> bool:
    """Whether a memory disk can be mounted here (needs root and a system that allows it)."""
    if os.name != "posix" or os.geteuid() != 0:
        return False
    folder.mkdir(exist_ok=True)
    if _mount(folder, "size=64k"):
        _unmount(folder)
        return True
    return False


def _mount(folder: Path, options: str) -> bool:
    try:
        done = subprocess.run(["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(folder)], capture_output=True, check=False)
    except OSError:
        return False
    return done.returncode == 0


def _unmount(folder: Path) -> None:
    subprocess.run(["umount", "-l", str(folder)], capture_output=True, check=True)


def make_read_only(folder: Path) -> None:
    """Turn a mounted disk into read-only media."""
    subprocess.run(["mount", "-o", "remount,ro", str(folder)], capture_output=True, check=True)


@contextmanager
def mounted(folder: Path, kib: int) -> Iterator[Path]:
    """A memory disk of so many KiB, gone afterwards."""
    folder.mkdir(exist_ok=True)
    if not _mount(folder, f"size={kib}k"):
        raise OSError(f"{folder} cannot be mounted")
    try:
        yield folder
    finally:
        _unmount(folder)
