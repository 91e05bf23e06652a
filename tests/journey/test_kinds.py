"""Block kinds as one table."""

import pytest

from rangelog.core.words import BlockKind, Lever
from rangelog.journey.kinds import KINDS, planned_count


def test_every_kind_has_an_entry_in_the_order_of_the_journey():
    assert tuple(KINDS) == tuple(BlockKind)


@pytest.mark.parametrize("kind", list(BlockKind))
def test_letters_and_sentences_are_short(kind):
    entry = KINDS[kind]
    assert 0 < len(entry.action) <= 12
    assert len(entry.opening_for(entry.planned).split()) <= 11
    assert len(entry.short.split()) <= 11
    assert entry.purpose
    assert entry.end
    assert "{" not in entry.opening_for(entry.planned)


def test_only_the_brackets_move_a_lever():
    assert {kind: entry.lever for kind, entry in KINDS.items() if entry.lever} == {
        BlockKind.BOW_BRACKET: Lever.BOW,
        BlockKind.GRIP_BRACKET: Lever.GRIP,
    }


def test_warm_up_and_trajectory_feed_no_fit():
    assert {kind for kind, entry in KINDS.items() if not entry.feeds_fits} == {BlockKind.WARM_UP, BlockKind.TRAJECTORY}


def test_only_the_baseline_is_the_yardstick():
    assert [kind for kind, entry in KINDS.items() if entry.feeds_baseline] == [BlockKind.BASELINE]


def test_confirm_random_and_retention_take_fresh_balls():
    assert {kind for kind, entry in KINDS.items() if entry.fresh} == {BlockKind.CONFIRM, BlockKind.RANDOM, BlockKind.RETENTION}


def test_extremes_bring_their_cautions():
    assert any("never when sore" in line for line in KINDS[BlockKind.BOW_BRACKET].cautions)


def test_a_wide_spread_makes_a_confirm_longer():
    """Planned counts are common practice of this log, no source: 20, 30 over a spread of 3.5 deg, second look 20."""
    assert planned_count(BlockKind.CONFIRM) == 20
    assert planned_count(BlockKind.CONFIRM, spread_deg=3.5) == 20
    assert planned_count(BlockKind.CONFIRM, spread_deg=3.6) == 30
    assert planned_count(BlockKind.CONFIRM, spread_deg=5.0, second_look=True) == 20


def test_a_juniors_block_is_shorter():
    assert planned_count(BlockKind.BASELINE, junior=True) == 7
    assert planned_count(BlockKind.FREE, junior=True) == 0
