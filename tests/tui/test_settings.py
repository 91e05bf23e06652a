"""The settings file, line by line."""

from pathlib import Path

import pytest

from rangelog import settings
from rangelog.settings import Settings, read
from rangelog.tui import keyboard, keymap, looks
from rangelog.tui.layouts import LAYOUTS


def test_no_file_gives_the_defaults(tmp_path: Path) -> None:
    assert settings.load(tmp_path / "none.toml") == (Settings(), ())
    assert settings.load(None) == (Settings(), ())


def test_a_file_is_read() -> None:
    chosen, problems = read('look = "contrast"\nkeyboard = "azerty"\nmouse = false\nswapped = true\n')
    assert problems == ()
    assert (chosen.look, chosen.keyboard, chosen.mouse, chosen.swapped) == ("contrast", "azerty", False, True)


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ('\n\ncolour = "red"\n', 3, "colour: there is no such setting."),
        ('# mine\nlook = "pink"\n', 2, "look is light, dark, contrast, contrast-dark, terminal. Kept 'dark'."),
        ('mouse = "no"\n', 1, "mouse is true or false. Kept True."),
        ("units = 'feet'\n", 1, "units is metric, imperial. Kept 'metric'."),
        ("decimal = true\n", 1, "decimal is point, comma. Kept 'point'."),
        ("look = \n", 1, "not TOML. Defaults are used."),
        ('bell = true\nkeys = "x"\n', 2, "keys is a table: [keys], then act = key."),
        ("[keys]\n'ball.note' = 5\n", 2, "ball.note: a key is a word in quotes, several stand in brackets."),
    ],
)
def test_a_wrong_line_is_named_and_the_default_stands(text: str, line: int, said: str) -> None:
    _, problems = read(text)
    assert [(problem.line, problem.text) for problem in problems] == [(line, said)]


def test_what_is_shown_can_stand_in_the_file() -> None:
    chosen, _ = read('look = "contrast"\nlarge = true\n[keys]\n"ball.note" = ["ö", "f2"]\n')
    again, problems = read("\n".join(settings.lines(chosen)))
    assert problems == ()
    assert settings.written(again) == settings.written(chosen)
    assert settings.written(chosen)["keys"] == {"ball.note": ["ö", "f2"]}


def test_one_wrong_line_spoils_no_other() -> None:
    chosen, problems = read('look = "pink"\nbell = true\n')
    assert chosen.bell
    assert len(problems) == 1


def test_a_file_that_cannot_be_read_gives_the_defaults(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_bytes(b"\xff\xfe\x00")
    chosen, problems = settings.load(path)
    assert chosen == Settings()
    assert "cannot be read" in problems[0].text


def test_own_keys_work_with_and_without_quotes() -> None:
    chosen, _ = read("[keys]\nball.note = 'insert'\n'range.pain' = ['p', 'end']\n")
    keys, said = keyboard(chosen)
    assert said == ()
    assert keys.shown("ball.note") == "insert"
    assert keys.action("end", "tee") == "range.pain"


def test_a_wrong_key_is_named_with_act_key_and_line_and_the_defaults_are_used() -> None:
    chosen, problems = read("look = 'light'\n[keys]\n'ball.note' = 'hyper+x'\n")
    keys, said = keyboard(chosen)
    assert problems == ()
    assert said == ("settings line 3: ball.note: 'hyper+x' is not the name of a key.", "The default keys are used.")
    assert keys.keys == keymap.ready().keys


def test_settings_know_every_look_and_keyboard_there_is() -> None:
    assert settings.LOOKS == looks.NAMES
    assert tuple(LAYOUTS) == settings.KEYBOARDS
