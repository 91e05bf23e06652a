"""Reviews of settings: where each started the ball, which are straight, how wide, and whether one is really better."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from rangelog.core import scales
from rangelog.core.picture import BandPoint, Spot, Strip
from rangelog.core.results import Crossing, Estimate, Setting, Share
from rangelog.core.words import Side
from rangelog.evidence.intervals import share_difference, wilson
from rangelog.logbook import review_words as say
from rangelog.logbook.review_answer import Answer
from rangelog.logbook.review_start import UNKNOWN, StartLine, start_line
from rangelog.logbook.review_tally import Tally, together

Settings = Mapping[Setting, Tally]


@dataclass(frozen=True, slots=True)
class Cell:
    """One setting of the map.

    Attributes:
        setting: grip and bow.
        n: balls hit at it.
        start: where they started.
        on_line: on line of seen, Wilson 95 %.
        sides: seen balls by shown side.
        points: degrees and balls, to be drawn.
    """

    setting: Setting
    n: int
    start: StartLine
    on_line: Share
    sides: Mapping[Side, int]
    points: tuple[tuple[float, int], ...] = ()

    @property
    def spot(self) -> Spot:
        """Its place on a drawn map."""
        return Spot(self.setting.bow, self.setting.grip, self.start.bias.mean, self.n)

    def strip(self, label: str) -> Strip:
        """Its starts side by side."""
        return self.start.strip(label, self.points)


@dataclass(frozen=True, slots=True)
class Grid(Answer):
    """Where did each setting start the ball, and which combinations are straight?

    Attributes:
        cells: settings with balls; a setting never tried has none.
        line: the straight combinations, bow by grip, over the grips that were tried.
    """

    cells: tuple[Cell, ...] = ()
    line: tuple[BandPoint, ...] = ()


@dataclass(frozen=True, slots=True)
class Strips(Answer):
    """The starts of each setting, side by side; cells as in the map."""

    cells: tuple[Cell, ...] = ()


@dataclass(frozen=True, slots=True)
class Spreads(Answer):
    """The spread of each setting; cells as in the map."""

    cells: tuple[Cell, ...] = ()


@dataclass(frozen=True, slots=True)
class Comparison(Answer):
    """Is this combination really better?

    Attributes:
        difference: mean start of the first minus the second, degrees, 90 % interval.
        p_direction, p_strike: two-sided exact p of equal on-line and equal solid shares.
        cells: the two settings, as in the map.
    """

    difference: Estimate = UNKNOWN
    p_direction: float = 1.0
    p_strike: float = 1.0
    cells: tuple[Cell, ...] = ()


def line_points(grips: Sequence[float], crossings: Sequence[Crossing]) -> tuple[BandPoint, ...]:
    """The straight line from what the model answers for each grip."""
    return tuple(BandPoint(grip, found.bow, found.low, found.high) for grip, found in zip(grips, crossings, strict=True))


def cells(settings: Settings, window_deg: float = scales.DEFAULT_WINDOW_DEG, wide_deg: float = scales.DEFAULT_WIDE_DEG) -> tuple[Cell, ...]:
    """Every setting with its start line, by grip, then bow."""
    return tuple(
        Cell(
            setting,
            found.n,
            start_line(found, window_deg, wide_deg),
            wilson(found.on_line, found.seen),
            dict(found.sides),
            found.points(window_deg, wide_deg),
        )
        for setting, found in sorted(settings.items(), key=lambda item: (item[0].grip, item[0].bow))
    )


def grid(
    settings: Settings,
    chosen: str,
    line: Sequence[BandPoint] = (),
    window_deg: float = scales.DEFAULT_WINDOW_DEG,
    wide_deg: float = scales.DEFAULT_WIDE_DEG,
) -> Grid:
    """Mean start, n and interval of every setting that was tried, and the line of straight combinations over the tried grips."""
    found = cells(settings, window_deg, wide_deg)
    return Grid(
        "Where did each setting start the ball?",
        sum(cell.n for cell in found),
        chosen,
        _grid_sentence(found, tuple(line)),
        ("grip", "bow", "balls", "mean start", "90 % interval", "on line"),
        tuple(
            (
                f"{cell.setting.grip:g}",
                f"{cell.setting.bow:g}",
                str(cell.n),
                say.bias(cell.start.bias, cell.start.from_classes),
                say.bias_range(cell.start.bias),
                say.share(cell.on_line),
            )
            for cell in found
        ),
        lever_notes(settings),
        cells=found,
        line=tuple(line),
    )


def _grid_sentence(found: tuple[Cell, ...], line: tuple[BandPoint, ...]) -> str:
    known = [point for point in line if point.known]
    if known:
        parts = [f"grip {point.grip:g} at bow {point.bow:.1f} ({point.low:.1f} to {point.high:.1f})" for point in known]
        return f"Straight: {say.listed(parts)}."
    if line:
        return "The balls cannot yet tell where the straight line runs."
    nearest = [cell for cell in found if cell.start.known]
    if not nearest:
        return "Too few balls at any setting."
    best = min(nearest, key=lambda cell: abs(cell.start.bias.mean))
    return f"Nearest to the line: {say.setting(best.setting)}, start {say.bias(best.start.bias, best.start.from_classes)}."


def lever_notes(settings: Settings) -> tuple[str, ...]:
    """What the settings that were tried can never tell, in words."""
    n = together(settings.values()).n
    bows, grips = {setting.bow for setting in settings}, {setting.grip for setting in settings}
    if not settings:
        return ()
    notes = []
    if len(bows) == 1:
        notes.append(f"Bow was {next(iter(bows)):g} for all {say.balls(n)}: no effect of bow can be known.")
    if len(grips) == 1:
        notes.append(f"Grip was {next(iter(grips)):g} for all {say.balls(n)}: no effect of grip can be known.")
    if in_step(settings):
        notes.append("Bow and grip moved in step: they cannot be separated.")
    return tuple(notes)


def in_step(settings: Settings) -> bool:
    """Both levers moved, and all settings lie on one straight line of bow against grip."""
    if len({setting.bow for setting in settings}) < 2 or len({setting.grip for setting in settings}) < 2:
        return False
    points = sorted(settings, key=lambda setting: (setting.grip, setting.bow))
    first, last = points[0], points[-1]
    run, rise = last.grip - first.grip, last.bow - first.bow
    return all(abs((point.grip - first.grip) * rise - (point.bow - first.bow) * run) < 1e-9 for point in points)


def strips(
    settings: Settings, chosen: str, window_deg: float = scales.DEFAULT_WINDOW_DEG, wide_deg: float = scales.DEFAULT_WIDE_DEG
) -> Strips:
    """How the starts of every setting fell, side by side."""
    found = cells(settings, window_deg, wide_deg)
    whole = together(settings.values())
    total = wilson(whole.on_line, whole.seen)
    sentence = f"On line {say.likely(total)}; right {whole.right}, left {whole.left}." if whole.seen else "No start was seen."
    return Strips(
        "Where did the balls start?",
        whole.n,
        chosen,
        sentence,
        ("grip", "bow", *(side.value for side in Side), "on line share"),
        tuple(
            (
                f"{cell.setting.grip:g}",
                f"{cell.setting.bow:g}",
                *(str(cell.sides.get(side, 0)) for side in Side),
                say.share(cell.on_line),
            )
            for cell in found
        ),
        cells=found,
    )


def spreads(
    settings: Settings, chosen: str, window_deg: float = scales.DEFAULT_WINDOW_DEG, wide_deg: float = scales.DEFAULT_WIDE_DEG
) -> Spreads:
    """How wide are the starts of each setting: standard deviation with its 95 % interval."""
    found = cells(settings, window_deg, wide_deg)
    widest = max((cell for cell in found if math.isfinite(cell.start.spread.high)), key=lambda cell: cell.start.n, default=None)
    sentence = (
        "Too few balls at any setting to tell a spread."
        if widest is None
        else f"At {say.setting(widest.setting)} the spread is {say.spread(widest.start.spread)} deg over {say.balls(widest.start.n)}."
    )
    return Spreads(
        "How wide am I?",
        sum(cell.n for cell in found),
        chosen,
        sentence,
        ("grip", "bow", "balls", "spread deg", "read from"),
        tuple(
            (
                f"{cell.setting.grip:g}",
                f"{cell.setting.bow:g}",
                str(cell.start.n),
                say.spread(cell.start.spread),
                "classes" if cell.start.from_classes else "numbers",
            )
            for cell in found
        ),
        ("Two spreads that differ by half need about 40 balls each to be told apart.",) if len(found) > 1 else (),
        cells=found,
    )


def compare(
    first: Setting,
    second: Setting,
    settings: Settings,
    chosen: str,
    window_deg: float = scales.DEFAULT_WINDOW_DEG,
    wide_deg: float = scales.DEFAULT_WIDE_DEG,
) -> Comparison:
    """Two settings against each other: direction by mean and by on-line share, strike by solid share."""
    mine, theirs = settings.get(first, Tally()), settings.get(second, Tally())
    line_a, line_b = (start_line(each, window_deg, wide_deg) for each in (mine, theirs))
    direction = share_difference(mine.on_line, mine.seen, theirs.on_line, theirs.seen)
    strike = share_difference(mine.solid, mine.strike_known, theirs.solid, theirs.strike_known)
    difference = between(line_a, line_b)
    parts = [
        _against("Direction", direction.p, mine.on_line, mine.seen, theirs.on_line, theirs.seen, first, second),
        _against("Strike", strike.p, mine.solid, mine.strike_known, theirs.solid, theirs.strike_known, first, second),
    ]
    notes = ("Of many settings with few balls each, one always looks best by luck.",) if len(settings) > 3 else ()
    return Comparison(
        "Is this combination really better?",
        mine.n + theirs.n,
        chosen,
        " ".join(parts),
        ("setting", "balls", "mean start", "on line", "solid"),
        tuple(
            (
                say.setting(setting),
                str(each.n),
                say.bias(line.bias, line.from_classes),
                say.share(wilson(each.on_line, each.seen)),
                say.share(wilson(each.solid, each.strike_known)),
            )
            for setting, each, line in ((first, mine, line_a), (second, theirs, line_b))
        ),
        (f"Difference of the mean starts: {say.bias_range(difference)} deg, 90 % interval.", *notes),
        difference=difference,
        p_direction=direction.p,
        p_strike=strike.p,
        cells=cells({first: mine, second: theirs}, window_deg, wide_deg),
    )


def _against(what: str, p: float, hits: int, n: int, other_hits: int, other_n: int, first: Setting, second: Setting) -> str:
    if not n or not other_n:
        return f"{what}: too few balls."
    if p > 0.05:
        return f"{what}: no difference shown ({hits}/{n} v {other_hits}/{other_n}, {say.chance(p)})."
    better = first if hits / n > other_hits / other_n else second
    counts = (hits, n, other_hits, other_n) if better is first else (other_hits, other_n, hits, n)
    return f"{what}: {say.setting(better)} better, {counts[0]} of {counts[1]} v {counts[2]} of {counts[3]} ({say.chance(p)})."


def between(first: StartLine, second: StartLine) -> Estimate:
    """Difference of two mean starts with its 90 % interval: Welch's t for numbers, the normal one where classes are in it."""
    from rangelog.evidence.means import student

    a, b = first.bias, second.bias
    gap = a.mean - b.mean
    if not (first.known and second.known):
        return Estimate(gap, math.inf, -math.inf, math.inf)
    error = math.hypot(a.sd, b.sd)
    point = student(0.90, 1e9)
    if not first.from_classes and not second.from_classes:
        point = student(0.90, error**4 / (a.sd**4 / (first.n - 1) + b.sd**4 / (second.n - 1)))
    return Estimate(gap, error, gap - point * error, gap + point * error)
