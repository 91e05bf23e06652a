"""What was played, as tables: every figure with its standard error, every target beside it."""

import math
from collections.abc import Sequence
from statistics import fmean, median

import numpy as np
from rich.table import Table

from tests.bench.resampling import mean_and_error, ratio_and_error, share_and_error
from tests.bench.runs import BIAS_BALLS, BY_HAND, ORACLE, SECOND_DAY_BALLS, VERDICT_BALLS, YARDSTICKS, Played
from tests.bench.walks import Answer, SecondDay, TwoLevers, mean_by_ball

AFTER = (10, 20, 40)
ENGINE = "engine, suggest() followed"


def pair(figures: tuple[float, float], digits: int = 3) -> str:
    """A figure with its standard error."""
    return f"{figures[0]:.{digits}f} +-{figures[1]:.{digits}f}"


def bias_table(played: Sequence[Played], title: str) -> Table:
    """|bias| at the recommended bow after 10, 20 and 40 balls, and its ratios to the oracle and to by hand."""
    curves = {ENGINE: np.array([p.engine.left_deg[:BIAS_BALLS] for p in played])}
    curves |= {name: np.array([p.yardsticks[name] for p in played]) for name in YARDSTICKS}
    table = _curves_table(curves, title)
    table.add_row("target, engine", "", "1.12", "0.80", "", "1.12", "0.80", "", "1.14", "0.66")
    return table


def placements_table(played: Sequence[dict[str, list[float]]]) -> Table:
    """suggest() against simpler ways to choose the next bow with the same engine."""
    curves = {name: np.array([p[name] for p in played]) for name in played[0]}
    return _curves_table(curves, f"Where to hit next, the same engine, {len(played)} players")


def _curves_table(curves: dict[str, np.ndarray], title: str) -> Table:
    table = Table(title=title, title_justify="left")
    table.add_column("method")
    for n in AFTER:
        for what in (f"deg, {n} balls", "x oracle", "x by hand"):
            table.add_column(what, justify="right")
    for name, left in curves.items():
        cells = []
        for n in AFTER:
            at = left[:, n - 1]
            cells.append(pair(mean_and_error(at)))
            cells.append(pair(ratio_and_error(at, curves[ORACLE][:, n - 1])))
            cells.append(pair(ratio_and_error(at, curves[BY_HAND][:, n - 1])))
        table.add_row(name, *cells)
    return table


def reach_table(played: Sequence[Played]) -> Table:
    """Balls until the mean |bias| is no worse than by hand's after 40."""
    mark = fmean(p.yardsticks[BY_HAND][BIAS_BALLS - 1] for p in played)
    table = Table(title=f"Balls to reach by hand's 40-ball accuracy ({mark:.3f} deg)", title_justify="left")
    for column in ("method", "balls", "target"):
        table.add_column(column, justify="left" if column == "method" else "right")
    curves = {ENGINE: mean_by_ball([p.engine.left_deg for p in played])}
    curves |= {name: mean_by_ball([p.yardsticks[name] for p in played]) for name in YARDSTICKS}
    for name, curve in curves.items():
        reached = next((str(ball + 1) for ball, left in enumerate(curve) if left <= mark), "never")
        table.add_row(name, reached, "15" if name == ENGINE else "")
    moves = mean_and_error([sum(a != b for a, b in zip(p.engine.bows[:39], p.engine.bows[1:40], strict=True)) for p in played])
    table.add_row("bow changes of the engine in 40 balls", pair(moves, 1), "")
    return table


def verdict_table(played: Sequence[Played]) -> Table:
    """Truth and speed of "centred", asked after every ball of 60."""
    title = f'Verdict "centred", asked after every ball of {VERDICT_BALLS}'
    table = Table(title=title, title_justify="left")
    for column in ("asked of", "told", "median ball", "false at first telling", "ever false, of those told", "false, of all tellings"):
        table.add_column(column, justify="left" if column == "asked of" else "right")
    for name, told, over in (
        ("the setting just hit", [p.engine.told for p in played], [p.engine.over for p in played]),
        ("crossing().bow to the half notch", [p.engine.told_near for p in played], [p.engine.over_near for p in played]),
        ("crossing().bow itself", [p.engine.told_exact for p in played], [p.engine.over_exact for p in played]),
    ):
        firsts = [row.index(True) for row in told if any(row)]
        at_first = sum(o[t.index(True)] for t, o in zip(told, over, strict=True) if any(t))
        ever = sum(any(a and b for a, b in zip(t, o, strict=True)) for t, o in zip(told, over, strict=True))
        tellings = sum(map(sum, told))
        false = sum(a and b for t, o in zip(told, over, strict=True) for a, b in zip(t, o, strict=True))
        balls = [row.index(True) + 1 if any(row) else math.inf for row in told]
        table.add_row(
            name,
            pair(share_and_error(len(firsts), len(told))),
            f"{median(balls):g}",
            pair(share_and_error(at_first, len(firsts))),
            pair(share_and_error(ever, len(firsts))),
            f"{false / tellings:.3f}" if tellings else "none told",
        )
    table.add_row("target", "at least 0.90", "at most 18", "at most 0.04", "", "")
    claims = [true for p in played for true in p.engine.sides.values()]
    table.caption = f'"left" or "right" beyond the window: {len(claims)} bows were called so, falsely at first telling '
    table.caption += pair(share_and_error(len(claims) - sum(claims), len(claims))) if claims else "none"
    return table


def calibration_table(played: Sequence[Played]) -> Table:
    """Predicted against true on-line share in ten bins of equal count, for settings proposed and settings drawn from the scale."""
    answers = [answer for p in played for answer in p.engine.answers]
    table = Table(title=f"On-line share, predicted against true ({len(answers)} questions; gap target 0.03)", title_justify="left")
    table.add_column("settings")
    for place in range(1, 11):
        table.add_column(str(place), justify="right")
    table.add_column("mean gap", justify="right")
    groups = (("proposed next", True), ("drawn from the scale", False), ("both", None))
    for name, near in groups:
        chosen = [a for a in answers if near is None or a.near == near]
        bins = _bins(chosen)
        table.add_row(name + ": predicted", *(f"{predicted:.3f}" for predicted, _ in bins), "")
        gap = fmean(abs(predicted - true) for predicted, true in bins)
        table.add_row(name + ": true", *(f"{true:.3f}" for _, true in bins), f"{gap:.3f}")
    return table


def _bins(answers: Sequence[Answer]) -> list[tuple[float, float]]:
    order = sorted(answers, key=lambda answer: answer.predicted)
    parts = np.array_split(np.array([(a.predicted, a.true_share) for a in order]), 10)
    return [(float(part[:, 0].mean()), float(part[:, 1].mean())) for part in parts if len(part)]


def coverage_table(played: Sequence[Played]) -> Table:
    """How often the 90 % intervals of bias and crossing held the truth."""
    table = Table(title="Coverage of the 90 % intervals (target 0.87 to 0.94)", title_justify="left")
    for column in ("balls", "bias, proposed next", "bias, drawn from the scale", "crossing", "crossing, both ends finite"):
        table.add_column(column, justify="right")
    asked = sorted({ball for p in played for ball in p.engine.crossing_covered})
    for balls in [*asked, 0]:
        cells = ["all" if not balls else str(balls)]
        for near in (True, False):
            held = [a.bias_covered for p in played for a in p.engine.answers if a.near == near and balls in (0, a.ball)]
            cells.append(pair(share_and_error(sum(held), len(held))))
        held = [held for p in played for ball, held in p.engine.crossing_covered.items() if balls in (0, ball)]
        finite = [known for p in played for ball, known in p.engine.crossing_finite.items() if balls in (0, ball)]
        table.add_row(*cells, pair(share_and_error(sum(held), len(held))), f"{fmean(finite):.3f}")
    return table


def second_day_table(played: Sequence[tuple[SecondDay, list[float], list[float]]]) -> Table:
    """|bias| per ball of a second day, with and without memory, against methods that have none."""
    table = Table(title="Second session, day shift SD 1.5 deg, after a first of 40 balls", title_justify="left")
    for column in ("balls", "with memory", "without", "ratio", "oracle, no memory", "x oracle", "by hand"):
        table.add_column(column, justify="right")
    for n in range(1, SECOND_DAY_BALLS + 1):
        with_memory = [days.remembering[n - 1] for days, _, _ in played]
        without = [days.forgetting[n - 1] for days, _, _ in played]
        oracle = [row[n - 1] for _, row, _ in played]
        table.add_row(
            str(n),
            pair(mean_and_error(with_memory)),
            pair(mean_and_error(without)),
            pair(ratio_and_error(with_memory, without)),
            pair(mean_and_error(oracle)),
            pair(ratio_and_error(with_memory, oracle)),
            f"{fmean(row[n - 1] for _, _, row in played):.3f}",
        )
    table.add_row("target, 8 balls", "", "", "0.82 (0.75)", "", "below 1", "")
    return table


def two_levers_table(played: Sequence[TwoLevers]) -> Table:
    """On-line share given away at combinations()[0] against staying at the first grip."""
    table = Table(title="Two levers, three sessions of 60 balls: on-line share given away against the best", title_justify="left")
    for column in ("after session", "combinations()[0]", "staying at the first grip", "ratio", "first grip, truly best bow"):
        table.add_column(column, justify="right")
    for session in range(len(played[0].chosen)):
        chosen = [p.chosen[session] for p in played]
        stayed = [p.first_grip[session] for p in played]
        table.add_row(
            str(session + 1),
            pair(mean_and_error(chosen), 4),
            pair(mean_and_error(stayed), 4),
            pair(ratio_and_error(chosen, stayed)),
            pair(mean_and_error([p.first_grip_best[session] for p in played]), 4),
        )
    table.add_row("target, 3", "0.025", "", "0.5", "")
    grips, off = fmean(p.grips for p in played), fmean(p.grip_off for p in played)
    table.caption = f"grips used on average {grips:.1f}; combinations()[0] lies on average {off:.0f} deg of grip from the best one"
    return table


def robustness_row(name: str, played: Sequence[Played]) -> list[str]:
    """|bias| and its ratios at 10, 20 and 40 balls for one kind of player."""
    cells = [name, str(len(played))]
    for n in AFTER:
        left = [p.engine.left_deg[n - 1] for p in played]
        cells.append(f"{fmean(left):.3f}")
        cells.append(pair(ratio_and_error(left, [p.yardsticks[ORACLE][n - 1] for p in played]), 2))
        cells.append(pair(ratio_and_error(left, [p.yardsticks[BY_HAND][n - 1] for p in played]), 2))
    return cells


def robustness_table(rows: Sequence[list[str]]) -> Table:
    """Other kinds of player."""
    table = Table(title="Other kinds of player (oracle reads true degrees, by hand sees what the player sees)", title_justify="left")
    table.add_column("player")
    table.add_column("n", justify="right")
    for n in AFTER:
        for what in (f"deg, {n} balls", "x oracle", "x by hand"):
            table.add_column(what, justify="right")
    for row in rows:
        table.add_row(*row)
    return table
