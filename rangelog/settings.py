"""The settings file: a few lines of TOML, each checked on its own. What is wrong is reported with its line; the default stands in."""

import json
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

LOOKS = ("light", "dark", "contrast", "contrast-dark", "terminal")
UNITS = ("metric", "imperial")
DECIMALS = ("point", "comma")
KEYBOARDS = ("qwerty", "qwertz", "azerty", "dvorak", "colemak")


@dataclass(frozen=True, slots=True)
class Settings:
    """What a player may choose.

    Attributes:
        look: light, dark, contrast, contrast-dark or terminal.
        keyboard: qwerty, qwertz, azerty, dvorak or colemak.
        swapped: flight block on the right half of the keyboard, strike block on the left.
        mouse: clicks work.
        bell: the terminal's bell when a key is asked about.
        window_title: set the title of the terminal window.
        key_hints: show the two key blocks on the tee.
        large: letters as large as the terminal allows, in place of the bracket picture.
        units: metric or imperial, for the lengths and distances that are shown.
        decimal: point or comma, for the numbers that are shown; either may be typed.
        keys: the player's own keys, act to key names.
        key_lines: the line of the file each of them stands in.
    """

    look: str = "dark"
    keyboard: str = "qwerty"
    swapped: bool = False
    mouse: bool = True
    bell: bool = False
    window_title: bool = True
    key_hints: bool = False
    large: bool = False
    units: str = "metric"
    decimal: str = "point"
    keys: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    key_lines: Mapping[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with the file.

    Attributes:
        line: 1-based line, 0 where none can be named.
        text: what is wrong, and what stands in.
    """

    line: int
    text: str

    def __str__(self) -> str:
        return f"line {self.line}: {self.text}" if self.line else self.text


def other_units(settings: Settings) -> tuple[Settings, str]:
    """The settings with the other units, and what is said of it."""
    metric = settings.units != "metric"
    said = "Metres and millimetres." if metric else "Yards and inches."
    return replace(settings, units="metric" if metric else "imperial"), f"{said} The settings file has what stays."


def written(settings: Settings) -> dict[str, object]:
    """The settings by the words of the settings file; the player's own keys under "keys"."""
    return {name: getattr(settings, name) for name in _LEGAL} | {"keys": {act: list(keys) for act, keys in settings.keys.items()}}


def lines(settings: Settings) -> tuple[str, ...]:
    """The settings as lines that can stand in the settings file."""
    values = [f"{name} = {json.dumps(getattr(settings, name))}" for name in _LEGAL]
    keys = [f'"{act}" = {json.dumps(list(keys), ensure_ascii=False)}' for act, keys in settings.keys.items()]
    return (*values, "[keys]", *keys)


def _one_of(*words: str) -> Callable[[object], bool]:
    return lambda value: isinstance(value, str) and value in words


def _flag(value: object) -> bool:
    return isinstance(value, bool)


_LEGAL: dict[str, tuple[Callable[[object], bool], str]] = {
    "look": (_one_of(*LOOKS), ", ".join(LOOKS)),
    "keyboard": (_one_of(*KEYBOARDS), ", ".join(KEYBOARDS)),
    "swapped": (_flag, "true or false"),
    "mouse": (_flag, "true or false"),
    "bell": (_flag, "true or false"),
    "window_title": (_flag, "true or false"),
    "key_hints": (_flag, "true or false"),
    "large": (_flag, "true or false"),
    "units": (_one_of(*UNITS), ", ".join(UNITS)),
    "decimal": (_one_of(*DECIMALS), ", ".join(DECIMALS)),
}


def load(path: Path | None) -> tuple[Settings, tuple[Problem, ...]]:
    """Settings of a file, and what was wrong with it. A missing file is no problem; a broken one gives the defaults."""
    if path is None or not path.exists():
        return Settings(), ()
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as problem:
        return Settings(), (Problem(0, f"The settings file cannot be read ({type(problem).__name__}). Defaults are used."),)
    return read(text)


def read(text: str) -> tuple[Settings, tuple[Problem, ...]]:
    """Settings of a TOML text, and what was wrong with it."""
    import tomllib

    try:
        table = tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        found = re.search(r"line (\d+)", str(problem))
        return Settings(), (Problem(int(found.group(1)) if found else 0, "not TOML. Defaults are used."),)
    settings, problems = Settings(), []
    for name, value in table.items():
        if name == "keys":
            keys, wrong = _keys(value, text)
            settings = replace(settings, keys=keys, key_lines={action_id: line_of(text, action_id) for action_id in keys})
            problems += wrong
        elif name not in _LEGAL:
            problems.append(Problem(line_of(text, name), f"{name}: there is no such setting."))
        else:
            legal, words = _LEGAL[name]
            if legal(value):
                settings = replace(settings, **{name: value})
            else:
                problems.append(Problem(line_of(text, name), f"{name} is {words}. Kept {getattr(settings, name)!r}."))
    return settings, tuple(problems)


def _keys(value: object, text: str) -> tuple[dict[str, tuple[str, ...]], list[Problem]]:
    """The [keys] table. Whether acts and keys exist is for the keymap to say."""
    if not isinstance(value, dict):
        return {}, [Problem(line_of(text, "keys"), "keys is a table: [keys], then act = key.")]
    keys: dict[str, tuple[str, ...]] = {}
    problems = []
    for action_id, named in _flattened(value):
        listed = [named] if isinstance(named, str) else named
        if isinstance(listed, list) and all(isinstance(key, str) for key in listed):
            keys[action_id] = tuple(listed)
        else:
            problems.append(Problem(line_of(text, action_id), f"{action_id}: a key is a word in quotes, several stand in brackets."))
    return keys, problems


def _flattened(table: Mapping[str, object], prefix: str = "") -> list[tuple[str, object]]:
    """Act names with their dots, whether the player put them in quotes or not."""
    flat: list[tuple[str, object]] = []
    for name, value in table.items():
        full = f"{prefix}{name}"
        flat += _flattened(value, f"{full}.") if isinstance(value, dict) else [(full, value)]
    return flat


def line_of(text: str, name: str) -> int:
    """The 1-based line where a name is set, 0 where it is not found."""
    pattern = re.compile(rf"^\s*(\[\s*)?[\"']?{re.escape(name)}[\"']?\s*(=|\])")
    for at, line in enumerate(text.splitlines(), start=1):
        if pattern.match(line):
            return at
    return 0
