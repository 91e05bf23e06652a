"""Balls for a hint from JSON Lines."""

from rangelog.core.words import Hand, Reason, Side, Strike
from rangelog.exchange.hint_lines import read


def test_few_fields_in_any_order_make_balls() -> None:
    found = read(
        [
            '{"start": 6.0, "grip": 30, "bow": 0}',
            "",
            '{"side": "left", "bow": 4, "strike": "solid", "grip": 30, "session": "tue", "stick": false}',
        ]
    )
    first, second = found.balls
    assert (first.setup.bow, first.setup.grip, first.start_deg, first.counted) == (0.0, 30.0, 6.0, True)
    assert (second.side, second.strike, second.session_id, second.setup.stick) == (Side.LEFT, Strike.SOLID, "tue", False)
    assert (found.hand, found.bad) == (None, ())


def test_a_class_may_be_given_as_start() -> None:
    assert read(['{"bow": 1, "grip": 30, "start": "far right"}']).balls[0].side is Side.FAR_RIGHT


def test_bad_lines_are_set_aside_by_number_and_named() -> None:
    found = read(
        [
            "nonsense",
            '{"bow": 9, "grip": 30, "start": 1}',
            '{"bow": 1, "grip": 30, "start": 95}',
            '{"bow": 1, "grip": 30, "wind": 3}',
            '{"bow": 1, "grip": 30, "start": NaN}',
            '["bow"]',
            '{"bow": 1, "grip": 30, "start": 1, "counted": "no"}',
            '{"bow": 1, "grip": 30, "start": 1}',
        ]
    )
    assert [each.line for each in found.bad] == [1, 2, 3, 4, 5, 6, 7]
    assert "Bow runs -2 to 5" in found.bad[1].why
    assert "'wind'" in found.bad[3].why
    assert len(found.balls) == 1


def test_the_first_stated_hand_stands_and_the_other_hand_is_set_aside() -> None:
    found = read(['{"bow": 0, "grip": 30, "start": 1, "hand": "left"}', '{"bow": 0, "grip": 30, "start": 1, "hand": "right"}'])
    assert found.hand is Hand.LEFT
    assert [each.line for each in found.bad] == [2]


def test_a_ball_without_setup_or_start_is_kept_uncounted() -> None:
    without_setup, not_seen = read(['{"start": 1}', '{"bow": 0, "grip": 30}']).balls
    assert (without_setup.counted, without_setup.reason) == (False, Reason.SETUP_UNKNOWN)
    assert (not_seen.counted, not_seen.reason) == (False, Reason.NOT_SEEN)


def test_rows_of_an_export_are_taken_and_other_kinds_and_voided_balls_passed_over() -> None:
    found = read(
        [
            '{"kind": "player", "id": "p", "hand": "left"}',
            '{"kind": "session", "id": "s"}',
            '{"kind": "ball", "id": "b1", "session_id": "s", "bow_notches": 1.0, "grip_deg": 30.0, '
            '"start_deg": 6.0, "aim_correction_deg": 5.0, '
            '"counted": true, "voided": false, "note": "x", "comfort": null}',
            '{"kind": "ball", "id": "b2", "bow_notches": 1.0, "grip_deg": 30.0, "start_deg": 6.0, "voided": true}',
        ]
    )
    assert (found.hand, found.bad) == (Hand.LEFT, ())
    (ball,) = found.balls
    assert (ball.id, ball.session_id, ball.corrected_start_deg()) == ("b1", "s", 1.0)


def test_numbers_count_up_within_each_session() -> None:
    rows = [f'{{"bow": 0, "grip": 30, "start": 1, "session": "{name}"}}' for name in ("a", "b", "a")]
    assert [(ball.session_id, ball.seq) for ball in read(rows).balls] == [("a", 1), ("b", 1), ("a", 2)]
