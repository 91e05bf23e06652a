"""What the balls of one block, or of one habit, add up to, in words."""

from rangelog.hints.parts import TallyFacts
from rangelog.hints.words import counted_share, estimate, sided


def tally_line(tally: TallyFacts) -> str:
    """ "10 counted. On line 3 of 10 (11-60 %). Right 6, left 1. Solid 7 of 10." """
    solid = "" if tally.solid is None else f" Solid {tally.solid.hits} of {tally.solid.n}."
    return f"{tally.counted} counted. On line {counted_share(tally.on_line)}. Right {tally.right}, left {tally.left}.{solid}"


def tally_lines(tally: TallyFacts) -> tuple[str, ...]:
    """The same with the mean start: "+2.4 +-1.7 (from classes)"; where all are on line, what that shows and no more."""
    lines = [tally_line(tally)]
    if tally.bias is not None:
        source = " (from classes)" if tally.from_classes else ""
        lines.append(f"Mean start {estimate(tally.bias)}{source}: {sided(tally.bias.mean)}.")
    if tally.on_line.n and tally.on_line.hits == tally.on_line.n:
        lines.append(f"All {tally.on_line.n} on line: true share likely over {round(100 * tally.on_line.low)} %.")
    return tuple(lines)
