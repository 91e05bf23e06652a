"""A hint as it is shown and kept."""

from dataclasses import dataclass

from rangelog.core.setting import Setting


@dataclass(frozen=True, slots=True)
class Hint:
    """One hint: what to do, the sentence, the numbers, and what would change it.

    Attributes:
        rule: id of the rule that spoke.
        action: the large word(s) read from two metres: "BOW 2", "2 MORE", "STOP".
        words: one sentence of about ten words.
        numbers: one line of numbers, may be empty.
        why: counts and facts behind it, one line each.
        change: what would change this hint.
        setting: the setting it proposes, taken with one key; None where it proposes none.
        block: the block kind it proposes, where it proposes one.
        holds_face: face advice is held back while this hint stands.
        runner_up: the rule that would have spoken next, with its sentence; empty where none would.
    """

    rule: str
    action: str
    words: str
    numbers: str = ""
    why: tuple[str, ...] = ()
    change: str = ""
    setting: Setting | None = None
    block: str | None = None
    holds_face: bool = False
    runner_up: str = ""
