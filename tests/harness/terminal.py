"""A program in a pseudo-terminal of its own, driven as a player drives it: keys in, paint out, signals, sizes, a closed window."""

import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
ESCAPES = re.compile(rb"\x1b(?:\[[0-?]*[ -/]*[@-~]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[@-Z\\-_]|[ -/][0-~])")
MODES = {"alternate screen": b"1049", "mouse": b"1000", "cursor": b"25"}
PATIENCE_S = 60.0
_OWNED = (
    "import fcntl, os, signal, sys, termios; fcntl.ioctl(0, termios.TIOCSCTTY, 0); "
    "signal.signal(signal.SIGINT, signal.SIG_DFL); signal.signal(signal.SIGQUIT, signal.SIG_DFL); os.execv(sys.argv[1], sys.argv[1:])"
)
"""Begins as in the foreground of a shell: a run of the tests in the background would hand its deafness to signals on."""
"""Makes the pseudo-terminal the controlling one, so that closing it hangs up, then becomes the program."""


def environment(home: Path, **more: str) -> dict[str, str]:
    """The variables a program in a terminal needs, with a home of its own."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("XDG_", "RANGELOG", "TEXTUAL", "NO_COLOR"))}
    own = {"HOME": str(home), "TERM": "xterm-256color", "COLORTERM": "truecolor", "OPENBLAS_NUM_THREADS": "1", "PYTHONPATH": str(ROOT)}
    return kept | own | more


class Terminal:
    """A program in a pseudo-terminal; everything it writes is kept in `seen`.

    Args:
        command: program and words; the program as a path.
        variables: its whole environment.
        columns, rows: size of the terminal.
        folder: working folder.
    """

    def __init__(
        self, command: Sequence[str], variables: Mapping[str, str], columns: int = 80, rows: int = 24, folder: Path | None = None
    ) -> None:
        self.file, follower = pty.openpty()
        self._open = True
        self.resize(columns, rows)
        self.process = subprocess.Popen(
            [sys.executable, "-S", "-c", _OWNED, *command],
            stdin=follower,
            stdout=follower,
            stderr=follower,
            env=dict(variables),
            cwd=folder or ROOT,
            start_new_session=True,
        )
        os.close(follower)
        self.seen = b""

    @property
    def text(self) -> str:
        """What was written, without the codes that place and colour it."""
        return ESCAPES.sub(b"", self.seen).decode("utf-8", "replace")

    def resize(self, columns: int, rows: int) -> None:
        """Another size, told to the program as a window does it."""
        fcntl.ioctl(self.file, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    def read(self, for_s: float) -> bool:
        """Take what comes within a time; False once nothing can come any more."""
        end = time.monotonic() + for_s
        while (left := end - time.monotonic()) > 0:
            if select.select([self.file], [], [], left)[0] and not self._take():
                return False
        return True

    def _take(self) -> bool:
        try:
            chunk = os.read(self.file, 65536)
        except OSError:
            return False
        self.seen += chunk
        return bool(chunk)

    def until(self, mark: str, since: int = 0, within_s: float = PATIENCE_S) -> None:
        """Wait until the mark was written after `since` bytes. Raises TimeoutError."""
        wanted, end = mark.encode(), time.monotonic() + within_s
        while wanted not in ESCAPES.sub(b"", self.seen[since:]):
            if time.monotonic() > end or not self.read_some(end):
                raise TimeoutError(f"{mark!r} never came; last output {self.text[-600:]!r}")

    def read_some(self, end: float) -> bool:
        """Wait for the next output until a time; False once nothing can come any more."""
        if not select.select([self.file], [], [], max(0.0, end - time.monotonic()))[0]:
            return True
        return self._take()

    def send(self, keys: str | bytes) -> None:
        """Type, reading all the while so that neither side waits for the other. A program that has gone reads nothing."""
        data = keys.encode() if isinstance(keys, str) else keys
        while data:
            try:
                _, ready, _ = select.select([], [self.file], [], 0.05)
                if ready:
                    data = data[os.write(self.file, data[:512]) :]
            except OSError:
                return
            if select.select([self.file], [], [], 0)[0] and not self._take():
                return

    def signal(self, number: signal.Signals) -> None:
        """Send a signal to the program."""
        self.process.send_signal(number)

    def hang_up(self) -> None:
        """Close the window."""
        if self._open:
            os.close(self.file)
            self._open = False

    def finish(self, within_s: float = PATIENCE_S) -> int:
        """The exit code, with everything that was still written. Raises TimeoutError."""
        end = time.monotonic() + within_s
        while time.monotonic() < end:
            over = self.process.poll() is not None
            if self._open and not self.read(0.05):
                return self.process.wait(max(0.1, end - time.monotonic()))
            if over:
                return self.process.returncode
            if not self._open:
                time.sleep(0.02)
        raise TimeoutError(f"it did not end; last output {self.text[-600:]!r}")

    def modes(self) -> dict[str, bool]:
        """Which modes of the terminal are on after everything written so far; the cursor is shown until it is hidden."""
        found = {name: name == "cursor" for name in MODES}
        for name, code in MODES.items():
            for match in re.finditer(rb"\x1b\[\?(?:[0-9]+;)*" + code + rb"(?:;[0-9]+)*([hl])", self.seen):
                found[name] = match[1] == b"h"
        return found

    def close(self) -> None:
        """Kill what still runs and let the terminal go."""
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        self.hang_up()


PUT_BACK = {"alternate screen": False, "mouse": False, "cursor": True}
"""The modes of a terminal that was given back."""


def tee_command(book: Path, *words: str) -> list[str]:
    """The log on a book."""
    return [sys.executable, "-m", "rangelog", "--book", str(book), *words]
