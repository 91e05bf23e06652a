"""What a rule is."""

from collections.abc import Callable
from dataclasses import dataclass

from rangelog.core.results import Hint
from rangelog.hints.facts import Facts


@dataclass(frozen=True, slots=True)
class Rule:
    """One reason to speak: an id, a plain name for "why", and facts in, a hint or nothing out."""

    id: str
    name: str
    applies: Callable[[Facts], Hint | None]


def fresh_enough(facts: Facts, rule_id: str, balls: int = 8) -> bool:
    """A warning that cannot clear by itself steps back once it has stood for a few balls."""
    return facts.told.get(rule_id, 0) < balls
