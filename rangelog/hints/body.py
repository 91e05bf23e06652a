"""Body first, face second."""

from rangelog.core.results import Hint
from rangelog.core.words import BlockKind, CheckAnswer
from rangelog.hints.facts import Facts
from rangelog.hints.parts import LadderFacts
from rangelog.hints.words import deg, p_value, spanned


def body_gate(facts: Facts) -> Hint | None:
    """A failed body check, or a ladder that does not follow and is low."""
    failed = next((check for check in facts.checks if check.answer is CheckAnswer.FAIL), None)
    if failed is not None:
        return Hint(
            "body_gate",
            "BODY CHECK",
            f"Back to the body check: {failed.remedy}.",
            numbers="The face is not your problem yet.",
            why=(f"Body check {failed.name}: fail.", "Balls are still logged; face hints are held back."),
            change="The check passed, or answered not applicable.",
            holds_face=True,
        )
    ladder = facts.ladder
    running = facts.block is not None and facts.block.kind is BlockKind.LADDER and not facts.block.done
    if ladder is None or running or ladder.verdict != "does not follow" or not ladder.low:
        return None
    return Hint(
        "body_gate",
        "BODY CHECK",
        "Height does not follow ball position, and all is low.",
        numbers="Body probably moves ahead about as far as the ball. Back to the body check.",
        why=ladder_lines(ladder),
        change="Height that follows ball position.",
        holds_face=True,
    )


def ladder_lines(ladder: LadderFacts) -> tuple[str, ...]:
    """The counts and figures behind a ladder verdict."""
    lines = []
    if ladder.difference_deg is not None:
        lines.append(f"Forward minus back {spanned(ladder.difference_deg)} deg, expected {deg(ladder.expected_deg)}.")
    if ladder.p is not None:
        lines.append(f"Rank trend over back, centre, forward: p {p_value(ladder.p)}.")
    if ladder.travel_mm is not None and ladder.moved_mm is not None:
        lines.append(f"Body travelled about {ladder.travel_mm:.0f} of {ladder.moved_mm:.0f} mm.")
    if ladder.mixed_fat_thin:
        lines.append("Fat and thin are mixed: a flip to get height looks like this.")
    lines.append(f"{ladder.dropped} not solid, left out of the height comparison.")
    return tuple(lines)


def ladder_sentence(ladder: LadderFacts) -> str:
    """The verdict in one sentence."""
    if ladder.verdict == "follows":
        return "Height follows ball position."
    if ladder.verdict == "backwards":
        return "Height goes backwards: forward is lower. Ask coach."
    if ladder.verdict == "does not follow":
        level = "and all is low" if ladder.low else "at a normal height: look at strike"
        return f"Height does not follow ball position, {level}."
    return f"Height undecided: {ladder.balls_needed} more solid at each end."
