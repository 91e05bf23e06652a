"""From keys to acts, and the player's own keys checked as a whole."""

import pytest

from rangelog.tui import keymap
from rangelog.tui.actions import ACTIONS, BY_ID, EVERYWHERE, TEE
from rangelog.tui.layouts import LAYOUTS


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("swapped", [False, True])
def test_a_ready_set_has_no_key_with_two_owners(layout: str, swapped: bool) -> None:
    keys = keymap.ready(layout, swapped)
    assert keymap.own(keys, {"ball.note": keys.keys["ball.note"]})[1] == ()


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("swapped", [False, True])
def test_every_act_with_a_key_is_reached_by_it(layout: str, swapped: bool) -> None:
    keys = keymap.ready(layout, swapped)
    for action in ACTIONS:
        for key in keys.keys[action.id]:
            assert keys.action(key, action.scope) == action.id


@pytest.mark.parametrize("key", ["A", "upper_a", "a"])
def test_caps_lock_changes_nothing(key: str) -> None:
    assert keymap.ready().action(key, TEE) == "flight.far_left.mid"


def test_azerty_digits_and_their_unshifted_signs_are_one_key() -> None:
    keys = keymap.ready("azerty")
    assert keys.action("é", TEE) == keys.action("2", TEE) == "flight.left"
    assert keys.action("quotation_mark", TEE) == "flight.on_line"


def test_keys_of_the_tee_mean_nothing_elsewhere() -> None:
    assert keymap.ready().action("d", EVERYWHERE) is None


def test_own_keys_replace_the_ready_ones() -> None:
    keys, problems = keymap.own(keymap.ready(), {"ball.note": ("insert", "+")})
    assert problems == ()
    assert keys.action("n", TEE) is None
    assert keys.action("plus", TEE) == "ball.note"


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"ball.fly": ("x",)}, "ball.fly: there is no such act."),
        ({"ball.note": ("hyper+x",)}, "ball.note: 'hyper+x' is not the name of a key."),
        ({"ball.note": ("notakey",)}, "ball.note: 'notakey' is not the name of a key."),
        ({"ball.note": ("p",)}, "range.pain: p already belongs to ball.note."),
        ({"ball.note": ("tab",)}, "log.next_screen: Tab already belongs to ball.note."),
        ({"log.help": ()}, "log.help: needs a key, so that it can be reached."),
        ({"log.quit": ()}, "log.quit: needs a key, so that it can be reached."),
        ({"ball.undo": ()}, "ball.undo: needs a key, so that it can be reached."),
    ],
)
def test_a_wrong_keymap_names_act_and_key_and_leaves_the_ready_set(changes: dict[str, tuple[str, ...]], said: str) -> None:
    base = keymap.ready()
    keys, problems = keymap.own(base, changes)
    assert keys is base
    assert [problem.text for problem in problems] == [said]


def test_every_problem_is_told_at_once() -> None:
    _, problems = keymap.own(keymap.ready(), {"ball.fly": ("x",), "ball.note": ("notakey",)})
    assert len(problems) == 2


@pytest.mark.parametrize("key", ["ctrl+enter", "ctrl+shift+f5", "é", "+", "f12"])
def test_keys_a_terminal_may_send_are_legal(key: str) -> None:
    assert keymap.legal(keymap.fold(key))


def test_nothing_needed_asks_for_a_modifier() -> None:
    keys = keymap.ready()
    needing = [action.id for action in ACTIONS if action.keys and all("+" in key for key in keys.keys[action.id])]
    assert needing == ["log.quit"], "leaving also has escape and the menu"
    assert BY_ID["log.back"].keys == ("escape",)
