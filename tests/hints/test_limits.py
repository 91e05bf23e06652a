"""What pain, a wrist limit, a history and age leave of the bow scale."""

from dataclasses import replace

from rangelog.core.player import Prescription
from rangelog.core.session import Pain
from rangelog.core.words import PainSite
from rangelog.hints import limits

RULES = Prescription("rx")
START = Pain(PainSite.WRIST, 1, starting=True)


def test_a_level_of_four_stops_and_names_what_it_was() -> None:
    stop = limits.stopping((START, Pain(PainSite.WRIST, 4, after_seq=9, bow=2.0)))
    assert stop is not None
    assert stop.said == "Pain 4 (was 1)"


def test_a_sharp_pain_stops_at_any_level() -> None:
    stop = limits.stopping((Pain(PainSite.ELBOW, 1, sharp=True),))
    assert stop is not None
    assert stop.said == "Sharp pain 1"


def test_three_neither_stops_nor_rises_by_two_from_two() -> None:
    pains = (Pain(PainSite.BACK, 2, starting=True), Pain(PainSite.BACK, 3, after_seq=5, bow=1.0))
    assert limits.stopping(pains) is None
    assert limits.risen(pains) is None


def test_a_rise_of_two_caps_one_notch_below_the_bow_that_hurt() -> None:
    pains = (START, Pain(PainSite.WRIST, 3, after_seq=9, bow=2.0))
    assert limits.risen(pains) is not None
    assert limits.pain_cap(pains) == 1.0
    assert limits.bow_range(RULES, pains)[1] == 1.0


def test_a_site_that_was_never_asked_counts_from_nought() -> None:
    assert limits.risen((Pain(PainSite.ELBOW, 2, after_seq=3),)) is not None


def test_the_cap_never_leaves_the_scale() -> None:
    pains = (Pain(PainSite.WRIST, 3, after_seq=3, bow=-2.0),)
    assert limits.bow_range(RULES, pains) == (-2.0, -2.0)


def test_the_wrist_limit_caps_the_range() -> None:
    assert limits.bow_range(replace(RULES, wrist_limit_bow=2.0)) == (-2.0, 2.0)


def test_a_junior_a_history_and_a_sore_start_have_no_extremes() -> None:
    assert limits.bow_range(RULES, junior=True) == limits.CALM_BOW
    assert limits.bow_range(replace(RULES, pain_history=True)) == limits.CALM_BOW
    assert limits.bow_range(RULES, (Pain(PainSite.WRIST, 3, starting=True),)) == limits.CALM_BOW
