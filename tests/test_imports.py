"""Nothing heavy is loaded at the door, nothing of the screen for a command, nothing of the model for what needs none."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
SCREEN = ("textual", "plotext", "textual_plotext")
MODEL = ("numpy", "scipy")
HEAVY = (*SCREEN, *MODEL, "sqlite_utils", "rich", "statsmodels")
BALL = '{"bow": 0, "grip": 30, "start": 6}\n'

AT_THE_DOOR = {
    "rangelog",
    "rangelog.cli",
    "rangelog.cli.root",
    "rangelog.core",
    "rangelog.core.errors",
}
"""What `rangelog --help` loads of ours."""


def loaded(code: str, arguments: list[str] | None = None, typed: str = "") -> set[str]:
    """Names of the modules that are loaded once some code has run in a process of its own."""
    script = f"{code}\nimport json, sys; print('LOADED', json.dumps(sorted(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", script, *(arguments or [])],
        input=typed,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    last = [line for line in done.stdout.splitlines() if line.startswith("LOADED ")]
    assert last, done.stderr
    return set(json.loads(last[-1].removeprefix("LOADED ")))


def command(*words: str, typed: str = "") -> set[str]:
    """Modules loaded by one command."""
    return loaded("import sys\nfrom rangelog.cli import main\nmain(sys.argv[1:])", list(words), typed)


def of(modules: set[str], names: tuple[str, ...]) -> set[str]:
    """Those of some top names that are among the modules."""
    return {module for module in modules if module.partition(".")[0] in names}


def test_the_package_itself_loads_nothing_of_its_own() -> None:
    modules = loaded("import rangelog")
    assert of(modules, HEAVY) == set()
    assert of(modules, ("rangelog",)) == {"rangelog"}


@pytest.mark.parametrize("word", ["--help", "--version"])
def test_the_door_of_the_commands_loads_words_only(word: str) -> None:
    modules = command(word)
    assert of(modules, (*HEAVY, "sqlite3", "platformdirs", "filelock")) == set()
    assert of(modules, ("rangelog",)) <= AT_THE_DOOR


@pytest.mark.parametrize(
    "words",
    [
        ["gate", "--width", "0.5", "--distance", "3"],
        ["loft", "--loft", "30"],
        ["wrist"],
        ["ball-position"],
        ["settings"],
        ["sessions"],
        ["check"],
        ["backup", "--list"],
        ["export", "-"],
    ],
)
def test_commands_that_need_neither_screen_nor_model_load_neither(words: list[str]) -> None:
    assert of(command(*words), (*SCREEN, *MODEL)) == set()


@pytest.mark.parametrize("words", [["hint"], ["review"], ["report"]])
def test_commands_with_the_model_load_no_screen(words: list[str]) -> None:
    assert of(command(*words, typed=BALL), SCREEN) == set()


def test_a_hint_does_not_wait_for_distributions_it_does_not_use() -> None:
    modules = command("hint", typed=BALL)
    assert "numpy" in modules
    assert "scipy.stats" not in modules
    assert "sqlite_utils" not in modules


def test_the_model_is_a_library_without_file_or_screen() -> None:
    modules = loaded("from rangelog.bracketing import Bracket\nBracket().suggest(lever='bow', grip=30.0)")
    assert of(modules, (*SCREEN, "sqlite3", "sqlite_utils", "click")) == set()
    assert of(modules, ("rangelog",)) & {"rangelog.store", "rangelog.tui", "rangelog.logbook"} == set()


def test_the_tee_paints_before_the_model_is_loaded() -> None:
    modules = loaded(
        "import rangelog.tui, rangelog.tui.app\n"
        "from pathlib import Path\nimport tempfile\nfrom rangelog.logbook import Logbook\n"
        "book = Logbook.open(Path(tempfile.mkdtemp()) / 'book.db')\n"
        "rangelog.tui.app.RangelogApp(book)\n"
    )
    assert "textual" in modules
    assert of(modules, (*MODEL, "plotext", "textual_plotext", "sqlite_utils")) == set()
