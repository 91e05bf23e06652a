"""Does height follow ball position? The ladder's balls, back to front."""

from collections.abc import Iterable
from dataclasses import dataclass

from rangelog.core.ball import Ball
from rangelog.evidence.ladder import Ladder, LadderBall, read
from rangelog.logbook import review_words as say
from rangelog.logbook.review_answer import Answer
from rangelog.logbook.review_start import UNKNOWN


@dataclass(frozen=True, slots=True)
class LadderReview(Answer):
    """The ladder with its verdict; `found` is None where there is no ladder ball."""

    found: Ladder | None = None


def ladder(balls: Iterable[Ball], chosen: str, loft_deg: float | None = None) -> LadderReview:
    """The verdict over counted balls of ladder blocks.

    Args:
        balls: counted balls of ladder blocks, any order.
        chosen: words of the filter.
        loft_deg: static loft of the club, None when unknown or when several clubs are in it.
    """
    standing = [ball for ball in balls if ball.counted and not ball.voided]
    if not standing:
        return LadderReview("Does height follow ball position?", 0, chosen, "No ladder has been hit.")
    found = read([LadderBall(ball.setup.position_balls, ball.strike, ball.height, ball.launch_deg) for ball in standing], loft_deg)
    unit = "deg" if found.basis == "degrees" else "classes"
    notes = []
    if found.basis != "none" and found.difference != UNKNOWN:
        notes.append(
            f"Front minus back {say.bias_range(found.difference)} {unit}, 90 % interval; a still body would give {found.expected:.1f}."
        )
    if found.dropped or found.unknown:
        notes.append(f"{say.balls(found.dropped)} left out as not solid, {found.unknown} with no strike keyed.")
    return LadderReview(
        "Does height follow ball position?",
        len(standing),
        chosen,
        found.sentence,
        ("position", "solid balls", "low", "mid", "high", "launch deg"),
        tuple(
            (
                f"{row.position:+g}" if row.position else "0",
                str(row.n),
                str(row.low),
                str(row.mid),
                str(row.high),
                say.bias_range(row.launch_deg),
            )
            for row in found.rows
        ),
        tuple(notes),
        found=found,
    )
