"""Strike mix: by setting and surface, never pooled across surfaces."""

import pytest

from rangelog.core.results import Setting
from rangelog.core.words import Side, Strike, Surface
from rangelog.evidence import strike

MAT, TURF = Surface.MAT, Surface.TURF


def test_the_mix_counts_every_kind_and_leaves_unknown_strikes_out_of_the_share():
    found = strike.mix(MAT, [Strike.SOLID] * 7 + [Strike.THIN] * 2 + [Strike.FAT, None])
    assert (found.solid.hits, found.solid.n, found.unknown) == (7, 10, 1)
    assert found.counts == ((Strike.SOLID, 7), (Strike.THIN, 2), (Strike.FAT, 1))
    assert found.count(Strike.SHANK) == 0


def test_surfaces_are_never_pooled():
    setting = Setting(2.0, 30.0)
    balls = [(setting, MAT, Strike.SOLID)] * 5 + [(setting, TURF, Strike.FAT)] * 5
    found = strike.mixes(balls)
    assert [(mix.surface, mix.solid.hits, mix.solid.n) for mix in found] == [(MAT, 5, 5), (TURF, 0, 5)]
    assert strike.compare(*found) is None


def test_two_settings_on_one_surface_compare_by_the_exact_test():
    """The choosing story (invented): solid 18 against 10 of 20, p = .014."""
    one = strike.mix(MAT, [Strike.SOLID] * 18 + [Strike.FAT] * 2, Setting(1.0, 45.0))
    other = strike.mix(MAT, [Strike.SOLID] * 10 + [Strike.THIN] * 10, Setting(2.0, 30.0))
    found = strike.compare(one, other)
    assert found is not None
    assert found.p == pytest.approx(0.014, abs=0.0005)
    assert found.shown


def test_settings_come_in_order():
    balls = [(Setting(bow, grip), MAT, Strike.SOLID) for bow, grip in ((3, 30), (1, 45), (1, 30))]
    assert [mix.setting for mix in strike.mixes(balls)] == [Setting(1, 30), Setting(1, 45), Setting(3, 30)]


@pytest.mark.parametrize(
    ("kinds", "sides", "seen"),
    [
        ([Strike.FAT, Strike.THIN, Strike.SOLID], [Side.LEFT, Side.RIGHT, Side.ON_LINE], True),
        ([Strike.FAT, Strike.THIN, Strike.SOLID], [Side.FAR_RIGHT, Side.RIGHT, Side.ON_LINE], False),
        ([Strike.FAT, Strike.THIN, Strike.SOLID], [], True),
        ([Strike.FAT, Strike.FAT, Strike.FAT], [Side.LEFT, Side.RIGHT], False),
        ([Strike.FAT, Strike.THIN, Strike.THIN] + [Strike.SOLID] * 7, [Side.LEFT, Side.RIGHT], True),
        ([Strike.FAT, Strike.THIN] + [Strike.SOLID] * 8, [Side.LEFT, Side.RIGHT], False),
        ([], [], False),
    ],
)
def test_fat_and_thin_mixed_with_both_sides_is_the_sign_of_the_head_passing(kinds, sides, seen):
    assert strike.passing_signature(kinds, sides) is seen
