"""Strike: the mix by setting and surface, and the signs of a clubhead that passes the arm. The sequential charts live in `charts`."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from rangelog.core.results import Setting, Share
from rangelog.core.words import Side, Strike, Surface
from rangelog.evidence.charts import strike_gate, tired
from rangelog.evidence.intervals import ShareDifference, share_difference, wilson

_RIGHT = frozenset({Side.RIGHT, Side.FAR_RIGHT})
_LEFT = frozenset({Side.LEFT, Side.FAR_LEFT})


@dataclass(frozen=True, slots=True)
class StrikeMix:
    """Strikes of one setting on one surface.

    Attributes:
        setting: the combination; None where settings were not asked apart.
        surface: mat or turf. A mat hides fat strikes, so the two are never pooled.
        counts: every kind seen with its count, in the order of the vocabulary.
        unknown: balls whose strike was not logged; they enter no share.
        solid: solid of known, with its Wilson interval.
    """

    setting: Setting | None
    surface: Surface
    counts: tuple[tuple[Strike, int], ...]
    unknown: int
    solid: Share

    def count(self, kind: Strike) -> int:
        """Balls of one kind."""
        return dict(self.counts).get(kind, 0)


def mix(surface: Surface, strikes: Iterable[Strike | None], setting: Setting | None = None, level: float = 0.95) -> StrikeMix:
    """The strike mix of balls hit from one surface."""
    found = Counter(strikes)
    unknown = found.pop(None, 0)
    counts = tuple((kind, found[kind]) for kind in Strike if found[kind])
    return StrikeMix(setting, Surface(surface), counts, unknown, wilson(found[Strike.SOLID], sum(n for _, n in counts), level))


def mixes(balls: Iterable[tuple[Setting, Surface, Strike | None]], level: float = 0.95) -> list[StrikeMix]:
    """Strike mix of every setting on every surface, by setting, then surface; the surfaces are never pooled."""
    groups: dict[tuple[Setting, Surface], list[Strike | None]] = {}
    for setting, surface, strike in balls:
        groups.setdefault((setting, Surface(surface)), []).append(strike)
    return [mix(surface, strikes, setting, level) for (setting, surface), strikes in sorted(groups.items())]


def compare(first: StrikeMix, second: StrikeMix, level: float = 0.95) -> ShareDifference | None:
    """Solid share of one mix against another; None across surfaces, where a comparison would mean nothing."""
    if first.surface is not second.surface:
        return None
    return share_difference(first.solid.hits, first.solid.n, second.solid.hits, second.solid.n, level)


def fat_thin_share(strikes: Sequence[Strike | None]) -> Share:
    """Fat and thin balls out of the known ones, with the Wilson interval."""
    known = [strike for strike in strikes if strike is not None]
    return wilson(sum(strike in (Strike.FAT, Strike.THIN) for strike in known), len(known))


def passing_signature(strikes: Sequence[Strike | None], sides: Sequence[Side | None] = (), least_share: float = 0.3) -> bool:
    """Whether fat and thin are mixed as when the clubhead passes the arm (common practice, no source).

    True when both kinds occur, together they make up at least `least_share` of the known strikes, and, where `sides` are given,
    balls started on both sides of the line.
    """
    seen = set(strikes)
    if not {Strike.FAT, Strike.THIN} <= seen or fat_thin_share(strikes).share < least_share:
        return False
    kinds = set(sides)
    return not sides or bool(kinds & _RIGHT and kinds & _LEFT)


__all__ = ["StrikeMix", "compare", "fat_thin_share", "mix", "mixes", "passing_signature", "strike_gate", "tired"]
