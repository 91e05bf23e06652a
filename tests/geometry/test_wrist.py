"""Grip against bow: the two tables, the identity, the ends, and the four ways one degree of bow can work."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rangelog.core.errors import OffScale
from rangelog.geometry import wrist
from rangelog.geometry.wrist import bow_effect, bow_saved, camera_factor, flat_grip, planar_table, wrist_small_angles

PLANAR = {
    5: "5.0/0.0 4.8/1.3 4.3/2.5 3.5/3.5 2.5/4.3 1.3/4.8 0.0/5.0",
    10: "10.0/0.0 9.7/2.6 8.6/5.0 7.1/7.1 5.0/8.7 2.6/9.7 0.0/10.0",
    15: "15.0/0.0 14.5/4.0 13.0/7.6 10.5/10.7 7.4/13.1 3.8/14.5 0.0/15.0",
    20: "20.0/0.0 19.3/5.4 17.2/10.3 14.0/14.4 9.8/17.5 5.1/19.4 0.0/20.0",
    25: "25.0/0.0 24.1/6.9 21.5/13.1 17.4/18.2 12.2/22.0 6.3/24.2 0.0/25.0",
}
WITH_SET_25 = {
    10: (15.2, 9.1, 2.4, -4.3, -10.8, -16.7, -21.6, -25.0),
    15: (19.6, 13.6, 6.7, -0.5, -7.6, -14.4, -20.3, -25.0),
    20: (24.1, 18.1, 11.0, 3.3, -4.6, -12.2, -19.1, -25.0),
    25: (28.6, 22.5, 15.1, 6.9, -1.6, -10.0, -18.0, -25.0),
}
angles = {"delta": st.floats(-45, 45), "grip": st.floats(-15, 90), "hinge": st.floats(0, 60)}


def test_the_planar_table():
    for delta, row in zip(PLANAR, planar_table(), strict=True):
        assert " ".join(f"{cell.bow_deg:.1f}/{cell.sideways_deg:.1f}" for cell in row) == PLANAR[delta]


@pytest.mark.parametrize("delta", WITH_SET_25)
def test_the_table_with_a_set_of_25(delta):
    found = [round(wrist.wrist(delta, grip, 25).bow_deg, 1) for grip in (-15, 0, 15, 30, 45, 60, 75, 90)]
    assert found == list(WITH_SET_25[delta])


@given(**angles)
def test_grip_only_turns_one_bend_between_bow_and_sideways(delta, grip, hinge):
    """cos(bow) cos(sideways) = cos(delta) cos(set) at every grip."""
    found = wrist.wrist(delta, grip, hinge)
    kept = math.cos(math.radians(delta)) * math.cos(math.radians(hinge))
    assert math.cos(math.radians(found.bow_deg)) * math.cos(math.radians(found.sideways_deg)) == pytest.approx(kept, abs=1e-12)


@given(delta=st.floats(0, 25), grip=st.floats(-15, 90))
def test_small_angles_are_near_in_the_planar_case(delta, grip):
    exact, small = wrist.wrist(delta, grip), wrist_small_angles(delta, grip)
    assert small.bow_deg == pytest.approx(exact.bow_deg, abs=0.33)
    assert small.sideways_deg == pytest.approx(exact.sideways_deg, abs=0.65)


def test_a_grip_weaker_than_zero_mirrors_bow_and_turns_the_sideways_sign():
    weak, strong = wrist.wrist(15, -15), wrist.wrist(15, 15)
    assert weak.bow_deg == pytest.approx(strong.bow_deg)
    assert weak.sideways_deg == pytest.approx(-strong.sideways_deg)


@pytest.mark.parametrize(("hinge", "flat"), [(15, 44), (25, 29), (35, 20)])
def test_a_wrist_measures_flat_well_before_a_very_strong_grip(hinge, flat):
    grip = flat_grip(15, hinge)
    assert grip == pytest.approx(flat, abs=0.5)
    assert wrist.wrist(15, grip, hinge).bow_deg == pytest.approx(0.0, abs=1e-9)


def test_without_any_set_only_the_very_strong_grip_is_flat():
    assert flat_grip(15, 0) == flat_grip(0, 0) == 90.0


@pytest.mark.parametrize(("hinge", "least", "most"), [(0, 0.2, 1.55), (25, 4.45, 4.85), (35, 5.95, 6.15)])
def test_bow_saved_by_ten_degrees_stronger(hinge, least, most):
    for grip in (0, 10, 20, 30):
        assert least <= bow_saved(15, grip, hinge) <= most


@pytest.mark.parametrize(("hinge", "factor"), [(0, 1.13), (25, 0.91), (35, 0.82)])
def test_a_face_on_camera_reads_the_arm_shaft_angle_wrong_by_the_set(hinge, factor):
    assert camera_factor(10, hinge) == pytest.approx(factor, abs=0.01)


EFFECTS = {
    # grip: forearm frozen, then soled, then lines kept (face closing, loft), lie 62, loft 30, lean 10, delta 15, set 25
    0: ((-0.04, -1.00), (-0.06, -1.00), (1.89, -1.08)),
    30: ((-0.16, -0.90), (-0.03, -0.90), (1.68, -0.97)),
    45: ((-0.22, -0.77), (-0.01, -0.77), (1.73, -0.99)),
    60: ((-0.26, -0.60), (0.01, -0.60), (1.88, -1.08)),
}


@pytest.mark.parametrize("grip", EFFECTS)
def test_one_degree_of_bow_on_an_iron(grip):
    found = bow_effect(30, 62, 10, 15, grip, 25)
    moves = (found.forearm_frozen, found.soled, found.lines_kept)
    for move, (closing, loft) in zip(moves, EFFECTS[grip], strict=True):
        assert (move.closing_deg, move.loft_deg) == (pytest.approx(closing, abs=0.006), pytest.approx(loft, abs=0.006))
    assert (found.early.closing_deg, found.early.loft_deg) == (pytest.approx(0.88, abs=0.005), pytest.approx(-0.47, abs=0.005))


def test_one_degree_of_bow_on_a_wedge():
    for grip, closing in ((0, -0.03), (30, -0.52), (60, -0.91)):
        assert bow_effect(60, 62, 10, 15, grip, 25).forearm_frozen.closing_deg == pytest.approx(closing, abs=0.006)
    for grip in (0, 30, 45, 60):
        assert 1.4 <= bow_effect(60, 62, 10, 15, grip, 25).lines_kept.closing_deg <= 1.6


@pytest.mark.parametrize("grip", [0, 20, 45])
def test_with_the_lines_kept_the_twist_is_one_over_the_sine_of_the_sideways_angle(grip):
    step = 0.01
    sideways = wrist.wrist(15, grip, 25).sideways_deg
    closing = bow_effect(30, 62, 0, 15, grip, 25, step).lines_kept.closing_deg
    # at lean 0 a twist t about the shaft closes the face by t sin(lie) to first order
    assert closing / step == pytest.approx(math.sin(math.radians(62)) / math.sin(math.radians(sideways)), rel=0.01)


@pytest.mark.parametrize("step", [-3.0, -1.0, 2.0, 4.0])
def test_a_bow_step_of_the_other_sign_opens_what_it_closed(step):
    there = bow_effect(30, 62, 10, 15, 30, 25, step)
    assert math.copysign(1, there.lines_kept.closing_deg) == math.copysign(1, step)
    assert math.copysign(1, there.forearm_frozen.loft_deg) == -math.copysign(1, step)


@pytest.mark.parametrize(
    "call",
    [
        lambda: wrist.wrist(46, 0),
        lambda: wrist.wrist(15, 120),
        lambda: wrist.wrist(15, 0, 61),
        lambda: wrist.wrist(math.nan, 0),
        lambda: camera_factor(0, 25),
        lambda: bow_effect(30, 20, 10, 15, 0, 25),
        lambda: bow_saved(15, 85, 25),
        lambda: flat_grip(15, -1),
    ],
)
def test_angles_off_their_scale_are_refused(call):
    with pytest.raises(OffScale):
        call()


def test_a_wrist_that_turning_cannot_bow_further_says_so():
    """Without a set at grip 0 the bow is already the whole bend."""
    with pytest.raises(OffScale, match="at the end"):
        bow_effect(30, 62, 10, 15, 0, 0, 1)
