"""Agreement of felt and seen beyond chance."""

import math

import numpy as np
import pytest

from rangelog.core.errors import OffScale
from rangelog.core.words import Height, Side
from rangelog.evidence.agreement import agreement


def test_fewer_than_twenty_pairs_say_nothing_beyond_the_plain_share():
    found = agreement([(Side.LEFT, Side.LEFT), (Side.RIGHT, Side.LEFT)] * 9)
    assert not found.enough
    assert found.kappa is None
    assert (found.same.hits, found.same.n) == (9, 18)


def test_no_pairs_at_all():
    found = agreement([])
    assert found.same.n == 0
    assert math.isnan(found.by_chance)
    assert not found.beyond_chance


def test_a_feel_that_never_changes_has_no_agreement_to_measure():
    assert agreement([(Side.ON_LINE, side) for side in (Side.LEFT, Side.RIGHT, Side.ON_LINE)] * 10).kappa is None


def test_perfect_agreement_is_one_and_still_has_an_interval():
    found = agreement([(side, side) for side in Side] * 6)
    assert found.kappa is not None
    assert found.kappa.mean == pytest.approx(1.0)
    assert found.kappa.low < 1.0
    assert found.beyond_chance


def test_readings_that_know_nothing_of_one_another_are_seldom_called_agreeing():
    rng = np.random.default_rng(5)
    called = sum(
        agreement(zip(rng.integers(0, 3, 40).tolist(), rng.integers(0, 3, 40).tolist(), strict=True)).beyond_chance for _ in range(500)
    )
    assert called / 500 < 0.10


def test_ordered_classes_forgive_a_near_miss_more_than_a_far_one():
    order = list(Height)
    base = [(height, height) for height in order] * 8
    near = agreement([*base, *[(Height.LOW, Height.MID)] * 4], order).kappa
    far = agreement([*base, *[(Height.LOW, Height.HIGH)] * 4], order).kappa
    assert near is not None
    assert far is not None
    assert near.mean > far.mean


def test_a_class_outside_the_order_is_refused():
    with pytest.raises(OffScale):
        agreement([("low", "sideways")], ["low", "mid", "high"])
    with pytest.raises(OffScale):
        agreement([("low", "low")], level=1.0)
