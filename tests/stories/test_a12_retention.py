"""A week after the confirm: ten random balls with the stick off, held against it honestly; the page for the coach, offline."""

import hashlib
from pathlib import Path

import pytest
from scipy.stats import fisher_exact

from rangelog.cli import main
from rangelog.core.flight import Flight
from rangelog.core.words import Side, Strike
from rangelog.logbook import Logbook
from tests.conftest import Clock
from tests.stories.player import Player, at_the_tee


def confirmed(path: Path, clock: Clock) -> None:
    """Visits a week ago, invented: a bracket, then twenty fresh balls at bow 2, stick on, fifteen of them on line."""
    with Logbook.open(path, now=clock) as book:
        book.load_model()
        book.first_start(loft_deg=28.0, ball_cap=100)
        book.start_session(stick=True)
        book.start_block("bow bracket", planned=12)
        for bow, starts in ((0.0, (5.0, 4.6, 5.4, 5.0)), (4.0, (-5.0, -4.8, -5.2, -5.0)), (2.0, (0.4, -0.4, 0.1, -0.1))):
            book.set_setup(bow=bow, grip=30.0)
            for start in starts:
                one(book, clock, start)
        book.start_block("confirm", planned=20)
        for number in range(20):
            one(
                book,
                clock,
                (-2.6, -1.2, 0.3, 2.4, 1.0)[number % 5] if number < 10 else (-1.8, -0.6, 0.4, 1.6, 2.3 if number < 15 else 0.0)[number % 5],
            )
        assert book.hint is not None
        assert book.hint.action == "CENTRED"
        book.end_session()
    clock.wait(days=7)


def one(book: Logbook, clock: Clock, start: float) -> None:
    clock.wait(seconds=45)
    book.hit(Flight(Side.ON_LINE if abs(start) <= 2 else Side.RIGHT if start > 0 else Side.LEFT))
    book.number(f"{start:+.1f}")
    book.amend(strike=Strike.SOLID)


async def week_later(player: Player) -> None:
    await player.fill("", "", "", "#2", "")
    await player.press("space")
    await player.state(2, 30)
    await player.block("warm-up")
    for _ in range(8):
        await player.ball("on line", "solid")
    assert player.hint.block == "retention", "retention comes first"
    await player.block("retention")
    for number in range(10):
        await player.ball("on line" if number < 6 else "right", "solid")


async def test_ten_random_balls_are_held_against_the_confirm_and_reported(
    tmp_path: Path, clock: Clock, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "book.db"
    confirmed(path, clock)
    async with at_the_tee(path, clock, size=(120, 36)) as player:
        await week_later(player)
        hint = player.hint
        assert hint.words == "6 of 10; not shown to differ from 15 of 20 (p = .43); stick and order also differ."
        assert hint.words in player.screen()
        assert [ball.setup.stick for ball in player.on_disk()][-10:] == [False] * 10
    # Fisher's exact test, two-sided, by scipy
    assert fisher_exact([[6, 4], [15, 5]]).pvalue == pytest.approx(0.43, abs=0.005)
    before = {file.name: hashlib.sha256(file.read_bytes()).hexdigest() for file in tmp_path.iterdir() if file.is_file()}
    assert main(["--book", str(path), "report"]) == 0
    page = capsys.readouterr().out
    after = {file.name: hashlib.sha256(file.read_bytes()).hexdigest() for file in tmp_path.iterdir() if file.is_file()}
    assert after["book.db"] == before["book.db"], "opening the report changes no byte of the log"
    assert len(page.splitlines()) <= 60
    assert "15 of 20 (53-89 %)" in page
    assert "6 of 10 (31-83 %)" in page
    assert "stick on" in page
    assert "stick off" in page
    assert page.isascii() or all(letter.isprintable() or letter == "\n" for letter in page)
    assert "\x1b" not in page
    assert not any(0x2500 <= ord(letter) < 0x2600 for letter in page), "no box drawing"
    for part in ("Confirmed: grip 30, bow 2.", "Runner-up: ", "Not known", "Questions for the coach"):
        assert part in page
    questions = [line.strip() for line in page.partition("Questions for the coach")[2].splitlines()]
    assert [line[:2] for line in questions if line[:1].isdigit()] == ["1.", "2.", "3."]
