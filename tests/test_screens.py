"""The pictures of the README are what the program shows now; `python demo_data/make_screens.py` renews them."""

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).parent.parent
SCREENS = ROOT / "demo_data" / "screens"


@pytest.fixture(scope="module")
def maker() -> ModuleType:
    found = importlib.util.spec_from_file_location("make_screens", ROOT / "demo_data" / "make_screens.py")
    assert found is not None
    assert found.loader is not None
    module = importlib.util.module_from_spec(found)
    found.loader.exec_module(module)
    return module


async def test_every_picture_is_what_the_script_makes_now(maker: ModuleType) -> None:
    made = await maker.all_made()
    assert sorted(made) == sorted(path.name for path in SCREENS.iterdir())
    assert {name: text.splitlines() for name, text in made.items()} == {
        path.name: path.read_text(encoding="utf-8").splitlines() for path in SCREENS.iterdir()
    }


def test_the_readme_shows_every_picture_and_no_other() -> None:
    shown = re.findall(r"\]\(demo_data/screens/([\w-]+\.svg)\)", (ROOT / "README.md").read_text(encoding="utf-8"))
    assert sorted(shown) == sorted(path.name for path in SCREENS.iterdir())


def test_no_picture_fetches_anything() -> None:
    for path in SCREENS.iterdir():
        addresses = set(re.findall(r"https?://[^\"\s]+", path.read_text(encoding="utf-8")))
        assert addresses == {"http://www.w3.org/2000/svg"}
