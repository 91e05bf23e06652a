"""One thing at a time, unless the plan itself asked for more."""

from itertools import pairwise

from rangelog.core.results import Hint, Setting
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Lever
from rangelog.hints.facts import Facts
from rangelog.hints.words import balls, grip_deg, listed, move, notch

NEW_CLUB_BALLS = 5
SET_SHOWN_BALLS = 10
FREE_DESIGN_BALLS, FREE_DESIGN_MOVES = 20, 3
"""Both levers moved at once so often within so many balls is a design of the player's own."""

PAIRS_NAMED = 2
LEVERS = (Lever.BOW.value, Lever.GRIP.value)
ORDER = ("club", "bow", "grip", "ball position", "swing", "stick")


def one_thing(facts: Facts) -> Hint | None:
    """A departure that moves two things at once, a block whose setting must hold, or levers that only ever moved together."""
    return _departure(facts) or _new_set(facts) or _locked(facts)


def _asked_for(facts: Facts, now: Setup) -> bool:
    setting = now.setting
    steps = [facts.block.next_step.setting] if facts.block is not None and facts.block.next_step is not None else []
    proposed = facts.proposed.setting if facts.proposed is not None else None
    return setting is not None and setting in (facts.previous, proposed, *steps)


def _moved(facts: Facts) -> tuple[str, ...]:
    """What moved since the last ball beyond what the plan moves, in the order it is said."""
    if not facts.balls or not facts.balls[-1].setup.stated:
        return ()
    planned = facts.block.moves if facts.block is not None else ()
    moved = facts.setup.moved_from(facts.balls[-1].setup)
    kept = [word for word in moved if word not in planned]
    if _asked_for(facts, facts.setup):
        kept = [word for word in kept if word not in LEVERS]
    return tuple(word for word in ORDER if word in kept)


def _departure(facts: Facts) -> Hint | None:
    now, moved = facts.setup.setting, _moved(facts)
    if now is None or not moved:
        return None
    levers = [word for word in moved if word in LEVERS]
    block = facts.block
    if block is not None and block.steady and levers and block.home is not None and now != block.home:
        return Hint(
            "one_thing",
            move(now, block.home),
            f"{block.name}: {listed(moved)} moved. Go back, change nothing.",
            why=(f"The block holds bow {notch(block.home.bow)}, grip {grip_deg(block.home.grip)}.",),
            change="The setting of the block, or another block.",
            setting=facts.legal(block.home),
        )
    if len(moved) < 2 or not levers:
        return None
    last = facts.balls[-1].setup.setting
    back = _one_back(facts, now, last) if last is not None and len(levers) == 2 else None
    named = f"{moved[1]} AND {moved[0]}" if moved == LEVERS else " AND ".join(moved)
    return Hint(
        "one_thing",
        "GO BACK ONE",
        f"Change one thing at a time: {named} moved. Go back one.",
        why=(f"Since the last ball {listed(moved)} moved together; what each did could not be told apart.",),
        change="One of them back where it was. Hitting on is allowed and starts a new set.",
        setting=None if back is None else facts.legal(back),
    )


def _one_back(facts: Facts, now: Setting, last: Setting) -> Setting:
    return Setting(now.bow, last.grip) if facts.lever is Lever.BOW else Setting(last.bow, now.grip)


def _new_set(facts: Facts) -> Hint | None:
    """A club changed together with a lever: the balls since then start a set of their own."""
    club = facts.setup.club_id
    at = next((i for i in range(len(facts.balls) - 1, 0, -1) if facts.balls[i - 1].setup.club_id != club), 0)
    if at == 0 or facts.balls[at].setup.club_id != club or (facts.block is not None and "club" in facts.block.moves):
        return None
    since = facts.balls[at:]
    first, before = since[0].setup, facts.balls[at - 1].setup
    moved = tuple(word for word in ORDER if word in first.moved_from(before))
    if len(moved) < 2 or not set(moved) & set(LEVERS) or not first.stated or not before.stated:
        return None
    one_setting = all(ball.setup.setting == first.setting for ball in since)
    if not one_setting or facts.setup.setting != first.setting or len(since) > SET_SHOWN_BALLS:
        return None
    both = "both" if len(moved) == 2 else "all"
    these = "this ball starts" if len(since) == 1 else f"these {len(since)} start"
    missing = NEW_CLUB_BALLS - len(since)
    return Hint(
        "one_thing",
        f"{missing} MORE" if missing > 0 else "ONE LEVER",
        f"{listed(moved).capitalize()} {both} changed: {these} a new set.",
        numbers=f"{facts.club_name or 'this club'}: {balls(len(since))}, one setting: no effect known",
        why=("Each club has its own line; balls of the other club do not enter it.", "5 balls with a new club before any claim."),
        change="Move one lever and hold the other.",
    )


def missing_pairs(facts: Facts) -> str:
    """ "bow 0 at grip 45, bow 4 at grip 30 and 2 more" where a player without a block moves both levers at once; else empty."""
    if facts.block is not None and facts.block.kind is not BlockKind.FREE:
        return ""
    settings = [ball.setup.setting for ball in facts.balls[-FREE_DESIGN_BALLS:] if ball.setup.setting is not None]
    both = sum(a.bow != b.bow and a.grip != b.grip for a, b in pairwise(settings))
    if both < FREE_DESIGN_MOVES:
        return ""
    tried = {tried.setting for tried in facts.tried if tried.n}
    missing = [
        Setting(bow, grip)
        for grip in sorted({setting.grip for setting in tried})
        for bow in sorted({setting.bow for setting in tried})
        if Setting(bow, grip) not in tried
    ]
    named = [f"bow {notch(each.bow)} at grip {grip_deg(each.grip)}" for each in missing[:PAIRS_NAMED]]
    rest = len(missing) - len(named)
    return ", ".join(named) + (f" and {rest} more" if rest else "")


def _locked(facts: Facts) -> Hint | None:
    """Bow and grip only ever moved in step: their effects cannot be separated."""
    model, now = facts.model, facts.setup.setting
    if model is None or now is None or not model.diagnosis.locked:
        return None
    partner = [t for t in facts.tried if (t.setting.grip == now.grip) != (t.setting.bow == now.bow)]
    if partner:
        return None
    pairs = listed(tuple(f"{notch(t.setting.bow)}/{grip_deg(t.setting.grip)}" for t in facts.tried if t.n))
    middle = facts.extremes[1] if now.bow <= sum(facts.bow_range) / 2 else facts.extremes[0]
    target = facts.with_lever(middle) if facts.lever is Lever.BOW else None
    return Hint(
        "one_thing",
        "ONE LEVER" if target is None or target == now else move(now, target),
        "Cannot separate bow from grip. Hold grip, move bow.",
        numbers=f"pairs tried: {pairs}" if pairs else "",
        why=("Bow and grip moved in step on every change.",),
        change="Two bows at one grip.",
        setting=None if target == now else target,
    )
