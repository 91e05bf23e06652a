"""Do I feel what happens? Intended bow against felt bow, and felt bow against where the ball started."""

from collections.abc import Mapping
from dataclasses import dataclass

from rangelog.core import hand as mirror
from rangelog.core.results import Estimate
from rangelog.core.words import Hand, Side
from rangelog.evidence.agreement import ENOUGH, agreement
from rangelog.logbook import review_words as say
from rangelog.logbook.review_answer import Answer

FELT = ("less bow", "as meant", "more bow")
"""What the bow felt like against what was meant; with less bow the ball is expected on the open side."""

_ORDER = {Side.FAR_LEFT: -2, Side.LEFT: -1, Side.ON_LINE: 0, Side.RIGHT: 1, Side.FAR_RIGHT: 2}


@dataclass(frozen=True, slots=True)
class FeelReview(Answer):
    """Intended against felt against seen.

    Attributes:
        same: balls that felt as they were meant.
        table: balls by what the bow felt like (less, as meant, more: rows) and the start (open side, on line, closed side: columns).
        kappa: agreement beyond chance of felt "less" with an open start, "as meant" with on line, "more" with closed, 90 % interval;
            None below 20 balls or where one of the two never changes.
    """

    same: int = 0
    table: tuple[tuple[int, ...], ...] = ()
    kappa: Estimate | None = None


def feel(counts: Mapping[tuple[float, float, Side | None], int], chosen: str, hand: Hand) -> FeelReview:
    """From counts of (intended bow, felt bow, side shown), balls with a felt bow only."""
    n = sum(counts.values())
    same = sum(count for (meant, felt, _), count in counts.items() if meant == felt)
    table = [[0, 0, 0] for _ in FELT]
    for (meant, felt, side), count in counts.items():
        if side is not None:
            table[_felt(meant, felt)][_started(side, hand)] += count
    found = agreement([(row, column) for row in range(3) for column in range(3) for _ in range(table[row][column])], (0, 1, 2))
    return FeelReview(
        "Do I feel what happens?",
        n,
        chosen,
        _sentence(n, sum(map(sum, table)), same, found.kappa),
        ("felt", f"started {mirror.open_word(hand)}", "on line", f"started {mirror.closed_word(hand)}"),
        tuple((word, *map(str, row)) for word, row in zip(FELT, table, strict=True)),
        same=same,
        table=tuple(tuple(row) for row in table),
        kappa=found.kappa,
    )


def _felt(meant: float, felt: float) -> int:
    return 1 if felt == meant else (2 if felt > meant else 0)


def _started(side: Side, hand: Hand) -> int:
    opened = mirror.to_open(_ORDER[side], hand)
    return 0 if opened > 0 else 2 if opened < 0 else 1


def _sentence(n: int, seen: int, same: int, kappa: Estimate | None) -> str:
    if seen < ENOUGH:
        return f"Felt bow noted on {say.balls(n)}: agreement can be told from {ENOUGH}."
    words = f"{same} of {n} felt as meant"
    if kappa is None:
        return f"{words}; felt or seen never changed, so agreement cannot be told."
    verdict = "agree beyond chance" if kappa.low > 0 else "are not shown to agree beyond chance"
    return f"{words}; felt and seen {verdict} (kappa {kappa.mean:.2f}, {kappa.low:.2f} to {kappa.high:.2f})."
