"""Is strike paying for the start line? Strikes by setting and surface; a mat hides fat strikes, so the two are never pooled."""

from collections.abc import Mapping
from dataclasses import dataclass

from rangelog.core.results import Setting, Share
from rangelog.core.words import Strike, Surface
from rangelog.evidence.intervals import fisher_two_sided, wilson
from rangelog.logbook import review_words as say
from rangelog.logbook.review_answer import Answer
from rangelog.logbook.review_tally import Tally


@dataclass(frozen=True, slots=True)
class StrikeCell:
    """Strikes of one setting on one surface: counts by class, and solid of known with its Wilson 95 % interval."""

    setting: Setting
    surface: Surface
    counts: Mapping[Strike, int]
    unknown: int
    solid: Share


@dataclass(frozen=True, slots=True)
class StrikeReview(Answer):
    """Strikes by setting and surface."""

    cells: tuple[StrikeCell, ...] = ()


def strikes(groups: Mapping[tuple[Setting, Surface], Tally], chosen: str) -> StrikeReview:
    """Strike mix and solid share of every setting on every surface, with the best and the worst told apart where they can be."""
    cells = tuple(
        StrikeCell(
            setting,
            surface,
            {strike: found.strikes[strike] for strike in Strike if found.strikes[strike]},
            found.strikes[None],
            wilson(found.solid, found.strike_known),
        )
        for (setting, surface), found in sorted(groups.items(), key=lambda item: (item[0][1], item[0][0].grip, item[0][0].bow))
    )
    rows = tuple(
        (
            cell.surface.value,
            f"{cell.setting.grip:g}",
            f"{cell.setting.bow:g}",
            say.share(cell.solid),
            *(str(cell.counts.get(strike, 0)) for strike in Strike),
            str(cell.unknown),
        )
        for cell in cells
    )
    unknown = sum(cell.unknown for cell in cells)
    return StrikeReview(
        "Is strike paying for it?",
        sum(found.n for found in groups.values()),
        chosen,
        _sentence(cells),
        ("surface", "grip", "bow", "solid", *(strike.value for strike in Strike), "not keyed"),
        rows,
        (f"Strike not keyed on {say.balls(unknown)}; they enter no share.",) if unknown else (),
        cells=cells,
    )


def _sentence(cells: tuple[StrikeCell, ...]) -> str:
    parts = []
    for surface in Surface:
        known = sorted((cell for cell in cells if cell.surface is surface and cell.solid.n), key=lambda cell: cell.solid.share)
        if not known:
            continue
        worst, best = known[0], known[-1]
        if len(known) == 1:
            parts.append(f"On {surface}: solid {say.likely(best.solid)}.")
            continue
        p = fisher_two_sided(best.solid.hits, best.solid.n, worst.solid.hits, worst.solid.n)
        pair = ", least ".join(f"{each.solid.hits}/{each.solid.n} at {say.setting(each.setting)}" for each in (best, worst))
        many = len(known) * (len(known) - 1) // 2
        verdict = "settings differ" if min(1.0, p * many) <= 0.05 else "no difference shown"
        parts.append(f"On {surface}: {verdict} (most {pair}, {say.chance(min(1.0, p * many))}).")
    return " ".join(parts) or "No strike was keyed."
