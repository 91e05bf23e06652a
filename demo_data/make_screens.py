"""Makes the pictures of the README from the demo book, so that they never go stale:

python demo_data/make_screens.py
"""

import asyncio
import tempfile
from datetime import datetime, timedelta, timezone
from pathlib import Path

from rangelog.cli.demo_book import lay_down
from rangelog.logbook import Logbook
from rangelog.settings import Settings
from rangelog.tui.app import RangelogApp

NOW = datetime(2026, 11, 25, 17, 42, tzinfo=timezone(timedelta(hours=1)))
HERE = Path(__file__).parent / "screens"


async def picture(name: str, look: str, size: tuple[int, int], keys: tuple[str, ...] = ()) -> None:
    """One screen as SVG: the demo book, some keys, a look."""
    with tempfile.TemporaryDirectory() as folder:
        path = lay_down(Path(folder) / "demo.db", NOW)
        with Logbook.open(path, now=lambda: NOW) as log:
            log.load_model()
            app = RangelogApp(log, settings=Settings(look=look), now=lambda: NOW)
            async with app.run_test(size=size) as pilot:
                await app.workers.wait_for_complete()
                await pilot.pause()
                for key in keys:
                    await pilot.press(key)
                await pilot.pause()
                (HERE / f"{name}.svg").write_text(app.export_screenshot(title="Rangelog"), encoding="utf-8")


async def main() -> None:
    HERE.mkdir(exist_ok=True)
    await picture("tee-light", "light", (80, 24))
    await picture("tee-dark", "dark", (120, 40))
    await picture("why", "light", (80, 24), ("y",))
    await picture("help", "light", (100, 36), ("question_mark",))


if __name__ == "__main__":
    asyncio.run(main())
