"""Two extremes in degrees: the bracket closes, and not before the second extreme is judged; a left-hander sees the mirror of it."""

import csv
import io
import re
from pathlib import Path

import numpy as np
import pytest

from rangelog.cli import main
from rangelog.core.ball import Ball
from rangelog.logbook.view import TeeView
from tests.conftest import Clock
from tests.stories.player import Player, at_the_tee

AT_0 = (6.0, 4.5, 7.5, 4.0)
AT_4 = (-3.0, -6.5, -4.0, -4.5)
"""Invented starts in degrees, + = right."""

MIRROR = {"left": "right", "right": "left"}


def mirrored(text: str) -> str:
    """The same words with the sides swapped."""
    return re.sub(r"\b(left|right)\b", lambda word: MIRROR[word[0]], text)


def in_order(text: str) -> str:
    """The same counts, left first, so that the order they are told in says nothing."""
    return re.sub(r"right (\d+), on line (\d+), left (\d+)", r"left \3, on line \2, right \1", text)


def unsigned(text: str) -> str:
    """The same words and numbers without the sign of a direction."""
    return re.sub(r"(?<![\w+])[+-](?=\d)", "", text)


async def extremes(player: Player, sign: int) -> list[str]:
    """Both extremes, keyed at the tee; the hint's sentence after each ball of the second."""
    await player.state(0, 30)
    await player.block("bow bracket")
    await player.starts(sign * start for start in AT_0)
    assert "Bracketed" not in player.hint.words
    await player.state(4, 30)
    spoken = []
    for start in AT_4:
        await player.starts([sign * start])
        spoken.append(player.hint.words)
    return spoken


def least_squares(balls: list[Ball]) -> tuple[float, float, float, float]:
    """Slope, crossing, residual SD and standard error of the crossing of a straight line, by numpy's least squares and the delta method."""
    bow = np.array([ball.setup.bow for ball in balls])
    start = np.array([ball.start_deg for ball in balls])
    design = np.column_stack([np.ones_like(bow), bow])
    (level, slope), residual, *_ = np.linalg.lstsq(design, start, rcond=None)
    variance = residual[0] / (len(bow) - 2)
    covariance = variance * np.linalg.inv(design.T @ design)
    toward = np.array([-1 / slope, level / slope**2])
    return slope, -level / slope, variance**0.5, float(toward @ covariance @ toward) ** 0.5


async def test_a_closed_bracket_names_the_middle_and_not_too_early(tmp_path: Path, clock: Clock) -> None:
    async with at_the_tee(tmp_path / "book.db", clock) as player:
        await player.begin()
        spoken = await extremes(player, 1)
        assert spoken[-1] == "Bracketed 0 to 4. Try 2."
        assert not any("Bracketed" in words for words in spoken[:2])
        assert "Bracketed 0 to 4. Try 2." in player.screen()
        balls = player.on_disk()
        assert len(balls) == 8
        assert [ball.setup.bow for ball in balls] == [0.0] * 4 + [4.0] * 4
        block = player.view.block
        assert block is not None
        assert block.kind == "bow bracket"
        assert {ball.block_id for ball in balls} == {block.id}
        assert np.mean([ball.start_deg for ball in balls[:4]]) == 5.5
        assert np.mean([ball.start_deg for ball in balls[4:]]) == -4.5
        slope, crossing, spread, error = least_squares(balls)
        assert (slope, crossing, spread, error) == pytest.approx((-2.5, 2.2, 1.5, 0.22), abs=0.05)
        shown = player.view.picture.crossing
        assert shown is not None
        assert shown.bow == pytest.approx(crossing, abs=0.1)
        assert shown.low < crossing < shown.high
        told = re.search(r"Bow (-?[\d.]+) deg a notch", " ".join(player.hint.why))
        assert told is not None
        assert abs(float(told[1]) - slope) < 0.5, "the prior pulls the slope by less than half a degree"


async def log_of(path: Path, clock: Clock, hand: str) -> tuple[TeeView, str, str]:
    sign = 1 if hand == "right" else -1
    async with at_the_tee(path, clock) as player:
        await player.begin(hand)
        await extremes(player, sign)
        return player.view, player.screen(), await player.why()


@pytest.fixture
def another_clock(clock: Clock) -> Clock:
    return Clock(clock.time)


async def test_a_left_hander_sees_the_mirrored_words_and_the_same_numbers(
    tmp_path: Path, clock: Clock, another_clock: Clock, capsys: pytest.CaptureFixture[str]
) -> None:
    ours, screen, why = await log_of(tmp_path / "right.db", clock, "right")
    theirs, mirror, mirrored_why = await log_of(tmp_path / "left.db", another_clock, "left")
    assert ours.hint is not None
    assert theirs.hint is not None
    assert theirs.hint.words == ours.hint.words == "Bracketed 0 to 4. Try 2."
    assert theirs.hint.numbers == ours.hint.numbers
    assert theirs.picture.crossing == ours.picture.crossing
    assert theirs.share_at_crossing == ours.share_at_crossing
    assert [mark.start_deg for mark in theirs.picture.marks] == [-mark.start_deg for mark in ours.picture.marks if mark.start_deg]
    assert in_order(unsigned(mirrored(in_order(mirrored_why)))) == in_order(unsigned(why))
    for picture, first, second in ((screen, "right", "left"), (mirror, "left", "right")):
        row = {word: next(line for line in picture.splitlines() if line.strip().startswith(word)) for word in ("left", "right")}
        assert row[first].index("●") < row[second].index("●"), "low bow starts on the open side"
    tables = []
    for name in ("right", "left"):
        assert main(["--book", str(tmp_path / f"{name}.db"), "export", "--format", "csv", "-"]) == 0
        tables.append(list(csv.DictReader(io.StringIO(capsys.readouterr().out))))
    for right, left in zip(*tables, strict=True):
        differ = {name for name in right if right[name] != left[name]}
        assert differ == {"hand", "lead_hand", "side", "start_deg", "corrected_start_deg"}
        assert float(right["start_deg"]) == -float(left["start_deg"])
        assert (right["hand"], left["hand"]) == ("right", "left")
    assert main(["--book", str(tmp_path / "left.db"), "report"]) == 0
    assert "the open side is left" in capsys.readouterr().out
