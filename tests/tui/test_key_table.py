"""The key table of the README."""

from rangelog.tui.actions import ACTIONS
from rangelog.tui.key_table import markdown
from rangelog.tui.keymap import ready


def test_every_act_stands_in_the_table_once() -> None:
    rows = [line for line in markdown().splitlines() if line.startswith("| ") and not line.startswith("| key")]
    assert [row.split(" | ")[1] for row in rows] == [action.label for action in ACTIONS]


def test_the_table_shows_the_keys_of_the_keyboard_that_is_asked_for() -> None:
    assert "| `q` | far left, high |" in markdown()
    assert "| `a` | far left, high |" in markdown(ready("azerty"))
    assert "| menu | felt bow |" in markdown()
