"""A block has reached its end, or none runs yet: what it found, and the next one."""

from dataclasses import replace

from rangelog.core.results import Hint
from rangelog.core.words import BlockKind
from rangelog.hints.body import ladder_lines, ladder_sentence
from rangelog.hints.bracketing import crossing_line
from rangelog.hints.choice import choose_between
from rangelog.hints.facts import Facts
from rangelog.hints.parts import BlockFacts, ComparisonFacts, Proposal
from rangelog.hints.tally import tally_line, tally_lines
from rangelog.hints.words import counted_share, listed, p_value, signed

COMPARED = frozenset({BlockKind.STICK_OFF, BlockKind.RANDOM, BlockKind.RETENTION, BlockKind.CARRY_OVER})


def block_done(facts: Facts) -> Hint | None:
    """Names the next block when one is complete, and the first one before the first ball."""
    block, proposed = facts.finished, facts.proposed
    if block is None:
        opens = not facts.balls and facts.block is None and proposed is not None
        return _opening(facts, proposed) if opens and proposed is not None else None
    if block.kind is BlockKind.CONFIRM:
        return None
    hint = _result(facts, block)
    if proposed is None:
        return replace(
            hint,
            words=hint.words or f"{block.name} done. That is the plan for today.",
            numbers=hint.numbers or facts.enough,
            action=hint.action or "DONE",
            why=(*hint.why, *((facts.enough,) if facts.enough else ())),
            change="Another day, or a block of your own choice.",
        )
    words = f"{hint.words or f'{block.name} done.'} {proposed.opening}"
    numbers = hint.numbers
    if hint.words and not hint.numbers:
        words, numbers = hint.words, proposed.opening
    setting = hint.setting or (facts.legal(proposed.setting) if proposed.setting is not None else None)
    return replace(
        hint,
        words=words,
        numbers=numbers,
        action=proposed.action or proposed.kind.value.upper(),
        block=proposed.kind.value,
        setting=setting,
        why=(*hint.why, *((proposed.reason,) if proposed.reason else ())),
        change="Another block, where you prefer one.",
    )


def _opening(facts: Facts, proposed: Proposal) -> Hint:
    return Hint(
        "block_done",
        proposed.action or proposed.kind.value.upper(),
        proposed.opening,
        numbers=f"{facts.balls_left} balls to the cap of {facts.prescription.ball_cap}",
        why=(proposed.reason,) if proposed.reason else (),
        change="Another block, or balls without one.",
        setting=facts.legal(proposed.setting) if proposed.setting is not None else None,
        block=proposed.kind.value,
    )


def _result(facts: Facts, block: BlockFacts) -> Hint:
    """What the finished block found; words stay empty where the next block's opening is the sentence."""
    hint = Hint("block_done", "", "")
    if block.kind is BlockKind.CHOOSE and facts.choice is not None:
        choice = choose_between(facts.choice)
        return replace(hint, words=choice.words, numbers=choice.numbers, why=choice.why, setting=facts.legal(choice.setting))
    if block.kind is BlockKind.LADDER and facts.ladder is not None:
        return replace(hint, numbers=ladder_sentence(facts.ladder), why=ladder_lines(facts.ladder))
    if block.kind in COMPARED and facts.comparison is not None:
        words, why = compared(facts.comparison)
        return replace(hint, words=words, why=why)
    if block.tally is None:
        return hint
    if block.kind is BlockKind.TRAJECTORY and block.tally.called is not None:
        called = block.tally.called
        return replace(hint, numbers=f"called heights seen {counted_share(called)}", why=tally_lines(block.tally))
    if block.kind in (BlockKind.BOW_BRACKET, BlockKind.GRIP_BRACKET) and facts.model is not None:
        return replace(hint, numbers=crossing_line(facts), why=tally_lines(block.tally))
    if block.kind is BlockKind.WARM_UP:
        return replace(hint, why=("Warm-up balls are stored and enter no fit.",))
    return replace(hint, numbers=tally_line(block.tally), why=tally_lines(block.tally))


def compared(facts: ComparisonFacts) -> tuple[str, tuple[str, ...]]:
    """ "6 of 10; not shown to differ from 15 of 20 (p = .43); stick and order also differ." and the lines behind it."""
    p = p_value(facts.p)
    told = "differs from" if facts.p < 0.05 else "not shown to differ from"
    besides = ""
    if facts.differs:
        besides = f"; {listed(facts.differs)} also {'differs' if len(facts.differs) == 1 else 'differ'}"
    equals = "" if p.startswith("<") else "= "
    words = f"{facts.hits} of {facts.n}; {told} {facts.was_hits} of {facts.was_n} (p {equals}{p}){besides}."
    why = [f"On line now {facts.hits} of {facts.n}, then {facts.was_hits} of {facts.was_n}."]
    if facts.shift_deg is not None:
        shift = facts.shift_deg
        why.append(f"Mean start moved {signed(shift.mean)} +-{shift.half_width:.1f} deg.")
    return words, tuple(why)
