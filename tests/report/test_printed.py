"""The HTML page in a real browser: it is drawn, it asks for nothing, and it prints on one A4 page."""

import re
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from rangelog.core.words import BlockKind
from rangelog.report.collect import collect
from rangelog.report.html import html

BROWSER = shutil.which("chromium")
QUIET = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--virtual-time-budget=3000",
)

pytestmark = pytest.mark.skipif(BROWSER is None, reason="chromium is not installed here; the printed page is checked where it is")


def browse(folder: Path, *more: str) -> subprocess.CompletedProcess[bytes]:
    assert BROWSER is not None
    command = [BROWSER, *QUIET, f"--user-data-dir={folder / 'profile'}", *more]
    return subprocess.run(
        command, capture_output=True, timeout=120, check=True, cwd=folder, env={"HOME": str(folder), "PATH": "/usr/bin:/bin"}
    )


def pages(pdf: bytes) -> int:
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))


def asked_for(folder: Path, page: Path) -> set[str]:
    """Addresses that the browser asked the network for while it drew a page, from its own record."""
    record = folder / "network.json"
    browse(folder, f"--log-net-log={record}", "--dump-dom", page.as_uri())
    return set(re.findall(r'"url":"(https?://[^"]*)"', record.read_text(encoding="utf-8", errors="replace")))


def test_a_full_page_prints_on_one_a4_page(season, tmp_path: Path) -> None:
    story = season
    for day in range(12, 40, 3):
        story.day(day)
        for grip in (15.0, 30.0, 45.0, 60.0):
            story.block(BlockKind.GRIP_BRACKET, 1, grip, "oorrlLRo", solid=5)
        story.block(BlockKind.RANDOM, 1, 45, "oooorrll", solid=5, stick=False, drawn=True)
        story.block(BlockKind.STICK_OFF, 1, 45, "oooorrll", solid=5, stick=False)
        story.form("body", {"pelvis": "pass", "nose": "fail", "side_tilt": "pass", "hands": "not sure"})
    (tmp_path / "page.html").write_text(html(collect(story.archive)), encoding="utf-8")
    browse(tmp_path, "--no-pdf-header-footer", f"--print-to-pdf={tmp_path / 'page.pdf'}", (tmp_path / "page.html").as_uri())
    pdf = (tmp_path / "page.pdf").read_bytes()
    assert pages(pdf) == 1
    # A4 is 210 mm x 297 mm (ISO 216), that is 595 x 842 points
    box = re.search(rb"/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    assert box is not None
    assert [round(float(side)) for side in box.groups()] == [595, 842]


def test_no_request_leaves_even_for_what_a_player_typed(new_story: Callable, tmp_path: Path) -> None:
    address = "http://127.0.0.1:9"
    story = new_story("anna", text=f'"><img src="{address}/typed"><script>fetch("{address}/script")</script>')
    story.day(0)
    story.block(BlockKind.BASELINE, 0, 30, "rro", solid=3)
    page = tmp_path / "page.html"
    page.write_text(html(collect(story.archive)), encoding="utf-8")
    seen = browse(tmp_path, "--dump-dom", page.as_uri()).stdout.decode()
    assert "<svg" in seen
    assert "Questions for the coach" in seen
    assert not {url for url in asked_for(tmp_path, page) if url.startswith(address)}
    # the record does hold what a page asks for, so that silence means something
    page.write_text(f'<img src="{address}/asks">')
    assert f"{address}/asks" in asked_for(tmp_path, page)
