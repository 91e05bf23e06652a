"""From a pressed key to an action: ready sets for the common keyboards, and the player's own keys checked as a whole."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise

from rangelog.tui import actions, layouts
from rangelog.tui.actions import ACTIONS, BY_ID, EVERYWHERE

MUST_REACH = ("log.quit", "log.help", "log.menu", "ball.undo")
"""Acts that no keymap may leave without a key."""

CHARACTER_NAMES = {
    " ": "space", ",": "comma", ".": "full_stop", ";": "semicolon", "/": "slash", "?": "question_mark", "&": "ampersand",
    '"': "quotation_mark", "'": "apostrophe", "(": "left_parenthesis", ")": "right_parenthesis", "-": "minus", "_": "underscore",
    ":": "colon", "!": "exclamation_mark", "[": "left_square_bracket", "]": "right_square_bracket", "=": "equals_sign",
    "+": "plus", "*": "asterisk", "#": "number_sign", "<": "less_than_sign", ">": "greater_than_sign", "\\": "backslash", "@": "at",
    "%": "percent_sign", "$": "dollar_sign", "^": "circumflex_accent", "`": "grave_accent", "~": "tilde", "|": "vertical_line",
}  # fmt: skip
"""Names the terminal library gives to characters that are not letters or digits."""

NAMED_KEYS = frozenset(
    {"space", "enter", "tab", "escape", "backspace", "delete", "insert", "home", "end", "pageup", "pagedown", "up", "down", "left", "right"}
    | {f"f{number}" for number in range(1, 13)}
    | set(CHARACTER_NAMES.values())
)
MODIFIERS = ("ctrl", "alt", "shift")
SHOWN = {name: character for character, name in CHARACTER_NAMES.items() if name != "space"} | {
    "up": "↑", "down": "↓", "left": "←", "right": "→", "space": "Space", "enter": "Enter", "backspace": "Backspace", "tab": "Tab",
    "escape": "Esc", "f1": "F1", "pageup": "PgUp", "pagedown": "PgDn",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class KeyProblem:
    """What is wrong with a keymap, in one line that names the act and the key."""

    action_id: str
    key: str
    text: str


def fold(key: str) -> str:
    """A key as the keymap knows it: characters named, letters in lower case, so that Caps Lock changes nothing."""
    if key in CHARACTER_NAMES:
        return CHARACTER_NAMES[key]
    if len(key) == 1:
        return key.lower()
    if key.startswith("upper_"):
        return key.removeprefix("upper_").lower()
    return key.lower() if "+" in key or key.lower() in NAMED_KEYS else key


def legal(key: str) -> bool:
    """Whether a folded key name can ever arrive from a terminal."""
    *modifiers, last = key.split("+") if key != "+" else ["+"]
    if any(modifier not in MODIFIERS for modifier in modifiers) or len(set(modifiers)) != len(modifiers):
        return False
    return last in NAMED_KEYS or (len(last) == 1 and last.isprintable())


def shown(key: str) -> str:
    """A key as it is written for the player."""
    if key.startswith("ctrl+"):
        return f"Ctrl {shown(key.removeprefix('ctrl+'))}"
    return SHOWN.get(key, key)


class KeyMap:
    """Which key does what. Immutable; made by `ready` or `own`.

    Attributes:
        layout: name of the keyboard.
        swapped: flight block on the right half.
        keys: action id to its keys, the one that is shown first.
    """

    def __init__(self, layout: str, swapped: bool, keys: Mapping[str, tuple[str, ...]]) -> None:
        self.layout = layout
        self.swapped = swapped
        self.keys = dict(keys)
        self._owners = {(BY_ID[action_id].scope, key): action_id for action_id, owned in keys.items() for key in owned}

    def action(self, key: str, scope: str) -> str | None:
        """The action a pressed key stands for on a screen, None where it means nothing."""
        folded = fold(key)
        return self._owners.get((scope, folded)) or self._owners.get((EVERYWHERE, folded))

    def shown(self, action_id: str) -> str:
        """The key to show for an action, empty where it lives in the menu."""
        keys = self.keys.get(action_id, ())
        return shown(keys[0]) if keys else ""

    def digit(self, character: str, typed_before: str) -> str:
        """What a character means in a number field on this keyboard."""
        return layouts.fold_digit(self.layout, character, typed_before)


def ready(layout: str = "qwerty", swapped: bool = False) -> KeyMap:
    """The ready set for a keyboard. Raises KeyError for an unknown layout."""
    sends = layouts.place_to_character(layout, swapped)
    digits = layouts.digit_characters(layout)
    keys: dict[str, tuple[str, ...]] = {}
    for action in ACTIONS:
        sent = [sends.get(place, place) for place in action.keys]
        also_digits = [digits[character] for character in sent if character in digits]
        keys[action.id] = tuple(fold(key) for key in (*sent, *also_digits))
    return KeyMap(layout, swapped, keys)


def own(base: KeyMap, changes: Mapping[str, tuple[str, ...]]) -> tuple[KeyMap, tuple[KeyProblem, ...]]:
    """A keymap with the player's own keys laid over a ready set.

    Checked as a whole: where anything is wrong the base comes back unchanged, with every problem named.
    """
    problems: list[KeyProblem] = []
    keys = dict(base.keys)
    for action_id, wanted in changes.items():
        if action_id not in BY_ID:
            problems.append(KeyProblem(action_id, "", f"{action_id}: there is no such act."))
            continue
        folded = tuple(dict.fromkeys(fold(key) for key in wanted))
        for key in folded:
            if not legal(key):
                problems.append(KeyProblem(action_id, key, f"{action_id}: {key!r} is not the name of a key."))
        keys[action_id] = folded
    problems += _clashes(keys) + [
        KeyProblem(action_id, "", f"{action_id}: needs a key, so that it can be reached.")
        for action_id in MUST_REACH
        if not keys.get(action_id)
    ]
    return (base, tuple(problems)) if problems else (KeyMap(base.layout, base.swapped, keys), ())


def _clashes(keys: Mapping[str, tuple[str, ...]]) -> list[KeyProblem]:
    """Every key with two owners that can be on the same screen."""
    owners: dict[str, list[str]] = {}
    for action_id, owned in keys.items():
        for key in owned:
            owners.setdefault(key, []).append(action_id)
    found = []
    for key, ids in owners.items():
        for earlier, later in pairwise(ids):
            scopes = {actions.BY_ID[earlier].scope, actions.BY_ID[later].scope}
            if len(scopes) == 1 or EVERYWHERE in scopes:
                found.append(KeyProblem(later, key, f"{later}: {shown(key)} already belongs to {earlier}."))
    return found
