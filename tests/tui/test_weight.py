"""What may be loaded before the first screen."""

import json
import subprocess
import sys

import pytest

HEAVY = ("numpy", "scipy", "sqlite_utils", "plotext", "textual_plotext", "pandas", "statsmodels")

FIRST_PAINT = """
import asyncio, json, sys
from rangelog.tui.app import RangelogApp
from tests.tui.fake_book import FakeBook

class Watched(RangelogApp):
    loaded = []
    def _opened(self):
        Watched.loaded = sorted({name.partition(".")[0] for name in sys.modules})
        self.exit()

async def main():
    async with Watched(FakeBook()).run_test(size=(80, 24)) as pilot:
        await pilot.pause()

asyncio.run(main())
print(json.dumps(Watched.loaded))
"""

PLAIN = """
import json, sys
import rangelog.tui
from rangelog.tui.plain import PlainLog
print(json.dumps(sorted({name.partition(".")[0] for name in sys.modules})))
"""


def loaded(program: str) -> set[str]:
    """Top-level modules a program had loaded when it looked, in a fresh process."""
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=120)
    return set(json.loads(ran.stdout.splitlines()[-1]))


@pytest.mark.parametrize("name", HEAVY)
def test_nothing_heavy_is_loaded_before_the_first_paint(name: str, before_first_paint: set[str]) -> None:
    assert "textual" in before_first_paint, "the app did open"
    assert name not in before_first_paint


@pytest.fixture(scope="module")
def before_first_paint() -> set[str]:
    return loaded(FIRST_PAINT)


def test_plain_lines_load_no_terminal_library() -> None:
    modules = loaded(PLAIN)
    assert "rangelog" in modules
    assert not modules & {"textual", "rich", *HEAVY}
