"""A real terminal for a test: tmux runs the log, keys are sent, the screen is captured and waited for."""

import os
import shlex
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

PATIENCE_S = 60.0


class Terminal:
    """One tmux server of its own, on a socket in the test's folder."""

    def __init__(self, folder: Path, columns: int = 100, rows: int = 30) -> None:
        self._socket = folder / "tmux"
        self._size = ("-x", str(columns), "-y", str(rows))

    def _tmux(self, *words: str) -> str:
        done = subprocess.run(["tmux", "-S", str(self._socket), "-f", "/dev/null", *words], capture_output=True, text=True, check=True)
        return done.stdout

    def run(self, *words: str) -> None:
        """Start the log in a fresh terminal."""
        command = shlex.join([sys.executable, "-m", "rangelog", *words])
        self._tmux("new-session", "-d", *self._size, "-e", "TERM=tmux-256color", "-e", f"HOME={os.environ['HOME']}", command)

    def screen(self) -> str:
        return self._tmux("capture-pane", "-p")

    def press(self, *keys: str) -> None:
        """Keys by tmux's names, such as Enter, Up, Escape, or single letters."""
        self._tmux("send-keys", *keys)

    def type(self, text: str) -> None:
        self._tmux("send-keys", "-l", text)
        self.press("Enter")

    def wait(self, holds: str | Callable[[str], bool]) -> str:
        """Look at the screen until it shows a text, or until something holds of it; the screen is told where it never does."""
        shows = (lambda screen: holds in screen) if isinstance(holds, str) else holds
        until = time.monotonic() + PATIENCE_S
        screen = self.screen()
        while not shows(screen):
            if time.monotonic() > until:
                raise AssertionError(f"never seen: {holds}\n{screen}")
            time.sleep(0.05)
            screen = self.screen()
        return screen

    def kill(self) -> None:
        """End the log without a warning, as a dead battery does."""
        pid = int(self._tmux("display-message", "-p", "#{pane_pid}"))
        os.kill(pid, signal.SIGKILL)
        self.wait_end()

    def wait_end(self) -> None:
        """Until the log has ended and its terminal is gone."""
        until = time.monotonic() + PATIENCE_S
        while self.alive():
            if time.monotonic() > until:
                raise AssertionError(f"the log did not end\n{self.screen()}")
            time.sleep(0.05)

    def alive(self) -> bool:
        """Whether the terminal still runs something."""
        done = subprocess.run(["tmux", "-S", str(self._socket), "has-session"], capture_output=True, check=False)
        return done.returncode == 0

    def close(self) -> None:
        subprocess.run(["tmux", "-S", str(self._socket), "kill-server"], capture_output=True, check=False)
