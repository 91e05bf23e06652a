"""Facts of the trade against the log's words, scales and geometry. Every check here is common practice, no source."""

import itertools
import math

import numpy as np
import pytest

from rangelog.core import hand, scales
from rangelog.core.errors import OffScale
from rangelog.core.results import Setting
from rangelog.core.words import BlockKind, CheckAnswer, Hand, Height, Lever, Side, Strike, Surface
from rangelog.evidence import means, strike
from rangelog.evidence.ladder import LadderBall, LadderVerdict, read
from rangelog.geometry import ball_position, body, loft, wrist
from rangelog.geometry.club import square


# common practice, no source: lean takes about 30 % of loft off irons and wedges, 25-35 %
@pytest.mark.parametrize("static", [24, 28, 30, 34, 46, 54, 60])
def test_lean_is_about_thirty_percent_of_loft(static):
    band = loft.lean_band(static)
    assert band.usual_deg / static == pytest.approx(0.30)
    assert (band.low_deg / static, band.high_deg / static) == (pytest.approx(0.25), pytest.approx(0.35))


# common practice, no source: a six-iron goes from 30 to 20, a lean of 10; 9 to 10 accepted, +-1.5 deg
def test_the_six_iron_example_lies_in_the_band():
    assert loft.lean_band(30).holds(9)
    assert loft.lean_band(30).holds(10)
    assert loft.dynamic_loft(30, 10) == 20
    assert loft.lean_band(30).usual_deg == pytest.approx(10, abs=1.5)


# common practice, no source: a 60 deg wedge leans 15 to 20, leaving 40 to 45
def test_the_wedge_example_lies_in_the_band():
    band = loft.lean_band(60)
    assert (band.low_deg, band.high_deg) == (15, 21)
    assert all(band.low_deg <= lean <= band.high_deg for lean in (15, 18, 20))
    assert loft.dynamic_loft(60, 18) == 42
    least, most = band.dynamic_loft_deg
    assert (least, most) == (pytest.approx(40, abs=1), pytest.approx(45, abs=1))


# common practice, no source: the lean share is not for driver or putter
def test_the_lean_share_refuses_a_driver():
    with pytest.raises(OffScale):
        loft.lean_band(10.5)


# common practice, no source: dynamic loft is static loft less lean while the face stays square, +-1 deg
@pytest.mark.parametrize(("static", "lean"), [(30, 10), (60, 18), (24, 7)])
def test_dynamic_loft_is_one_to_one_only_with_a_square_face(static, lean):
    assert square(static, 62, lean).loft_deg == pytest.approx(loft.dynamic_loft(static, lean), abs=1)
    assert -loft.carried_forward(static, 62, lean).loft_deg < lean - 1


# common practice, no source: nose 3-4 inches behind the midline at impact; warn under 25 mm or over 150 mm
@pytest.mark.parametrize("inches", [3, 3.5, 4])
def test_the_usual_nose_offset_passes(inches):
    offset = body.nose_mm(inches, "in", "behind")
    assert 76.2 - 1e-9 <= offset <= 101.6 + 1e-9
    assert body.nose_at_impact(offset).answer == CheckAnswer.PASS
    assert (body.nose_at_impact(24).answer, body.nose_at_impact(151).answer) == (CheckAnswer.NOT_SURE, CheckAnswer.NOT_SURE)


# common practice, no source: nobody elite has the nose ahead of the midline in stock shots
def test_a_nose_ahead_fails():
    assert body.nose_at_impact(body.nose_mm(5, "mm", "ahead")).answer == CheckAnswer.FAIL


# common practice, no source: the midline is half of the stance, from the feet, placed to +-20 mm
def test_the_midline_is_half_the_stance():
    assert body.midline_mm(500, 0) == pytest.approx(250, abs=20)


# common practice, no source: a normal trajectory change is one ball or slightly more (0.75-1.25 ball, 42.67 mm each)
@pytest.mark.parametrize("millimetres", [43, 53])
def test_a_trajectory_change_is_about_one_ball(millimetres):
    assert 0.75 <= ball_position.widths(millimetres, "mm") <= 1.25


# common practice, no source: centre = stock, back = low, forward = high
def test_back_is_low_and_forward_is_high():
    rng = np.random.default_rng(14)
    launches = {place: 15 + place * ball_position.per_ball().launch_deg for place in (-1.0, 0.0, 1.0)}
    assert launches[-1.0] < launches[0.0] < launches[1.0]
    balls = [LadderBall(place, launch_deg=value) for place, mean in launches.items() for value in rng.normal(mean, 1.5, 10)]
    assert read(balls).verdict is LadderVerdict.FOLLOWS


# common practice, no source: the arm-shaft angle is the same at all ball positions, absolute lean is smaller forward (+-3 deg on video)
def test_lean_falls_forward_while_the_arm_shaft_angle_stays():
    leans = [ball_position.lean_at(place, 9.0) for place in (-1, 0, 1)]
    assert leans == sorted(leans, reverse=True)
    assert leans[0] - leans[2] < 2 * 3
    assert wrist.wrist(15, 30, 25) == wrist.wrist(15, 30, 25)


# common practice, no source: the same low height everywhere means the body travelled ahead with the ball
def test_the_same_low_height_everywhere_goes_back_to_the_body():
    rng = np.random.default_rng(16)
    balls = [LadderBall(place, launch_deg=value) for place in (-1.0, 0.0, 1.0) for value in rng.normal(12, 1.5, 16)]
    found = read(balls, static_loft_deg=28)
    assert found.verdict is LadderVerdict.DOES_NOT_FOLLOW
    assert found.all_low
    assert found.back_to_body


# common practice, no source: the grip stick is clear of the lead arm (arm-shaft angle over 0) for any grip
@pytest.mark.parametrize("grip", [-15, 0, 30, 60, 90])
def test_the_stick_clears_the_arm_at_any_grip(grip):
    """The same arm-shaft angle of 15 deg is there at every grip; only its share of bow and sideways changes."""
    found = wrist.wrist(15, grip)
    kept = math.degrees(math.acos(math.cos(math.radians(found.bow_deg)) * math.cos(math.radians(found.sideways_deg))))
    assert kept == pytest.approx(15)


# common practice, no source: weak is 0 (the back of the hand faces with the leading edge), very strong 90 +-15, weaker than 0 exists
def test_the_ends_of_the_grip_scale():
    assert scales.GRIP_RANGE == (-15.0, 90.0)
    assert scales.grip(0) == 0.0
    assert scales.grip(90) == pytest.approx(90, abs=15)
    assert wrist.wrist(15, 0).sideways_deg == pytest.approx(0)
    with pytest.raises(OffScale):
        scales.grip(120)


# common practice, no source: stronger turns the lead hand clockwise for a right-hander looking down, mirrored for a left-hander
def test_open_and_closed_mirror_with_the_hand_and_nothing_else_does():
    assert hand.to_open(4.0, Hand.RIGHT) == 4.0 == hand.to_open(-4.0, Hand.LEFT)
    assert (hand.open_word("right"), hand.open_word("left")) == ("right", "left")
    assert hand.mirrored(Side.FAR_RIGHT) is Side.FAR_LEFT


# common practice, no source: stronger needs less bow; more arm-shaft angle needs more
@pytest.mark.parametrize("hinge", [0, 15, 25, 35])
def test_stronger_needs_less_bow_and_more_lean_needs_more(hinge):
    by_grip = [wrist.wrist(15, grip, hinge).bow_deg for grip in range(0, 91, 15)]
    assert all(later < earlier for earlier, later in itertools.pairwise(by_grip))
    by_lean = [wrist.wrist(delta, 30, hinge).bow_deg for delta in range(5, 30, 5)]
    assert all(later > earlier for earlier, later in itertools.pairwise(by_lean))


# common practice, no source: strongest is flat, weakest near maximum bow, with the same lines at impact (planar picture)
@pytest.mark.parametrize("delta", [5, 10, 15, 20, 25])
def test_the_ends_of_the_planar_picture(delta):
    assert wrist.wrist(delta, 0).bow_deg == pytest.approx(delta)
    assert wrist.wrist(delta, 90).bow_deg == pytest.approx(0, abs=1e-12)


# common practice, no source: hands first with old habits starts on the open side; bow brings it to the closed side
def test_hands_first_opens_and_bow_with_kept_lines_closes():
    assert loft.carried_forward(30, 62, 10).closing_deg == pytest.approx(-4, abs=1)
    assert wrist.bow_effect(30, 62, 10, 15, 30, 25).lines_kept.closing_deg > 0
    slope, _, _ = means.line([0] * 4 + [4] * 4, [6.0, 4.5, 7.5, 4.0, -3.0, -6.5, -4.0, -4.5])
    assert slope.high < 0


# common practice, no source: two levers, bow or grip
def test_there_are_two_levers_and_many_straight_combinations():
    assert {lever.value for lever in Lever} == {"bow", "grip"}
    bows = [(0.0 - 6.0 + 1.33 * grip / 10) / -3.0 for grip in (0, 30, 60)]
    assert len({round(bow, 2) for bow in bows}) == 3


# common practice, no source: bracket blocks for either lever, extremes first, so both ends of the bow scale are legal settings
def test_the_method_has_a_block_for_each_lever_and_legal_extremes():
    assert {BlockKind.BOW_BRACKET, BlockKind.GRIP_BRACKET} <= set(BlockKind)
    assert [scales.bow(end) for end in scales.BOW_RANGE] == [-2.0, 5.0]


# common practice, no source: a clean strike outranks direction
def test_solid_strikes_are_told_apart_where_direction_is_not():
    one = strike.mix(Surface.MAT, [Strike.SOLID] * 18 + [Strike.FAT] * 2, Setting(1, 45))
    other = strike.mix(Surface.MAT, [Strike.SOLID] * 10 + [Strike.THIN] * 10, Setting(2, 30))
    found = strike.compare(one, other)
    assert found is not None
    assert found.shown


# common practice, no source: short, slow shots may give no reading, so every number of a ball is optional
def test_a_ball_without_a_height_is_legal_and_compares_nothing():
    assert read([LadderBall(-1.0), LadderBall(1.0)]).basis == "none"
    assert read([LadderBall(0.0, height=Height.LOW)]).rows[0].low == 1


# common practice, no source: a flip for height mixes fat and thin and sends the face both ways
def test_fat_and_thin_with_both_sides_is_the_signature_of_a_flip():
    kinds = [Strike.FAT, Strike.THIN, Strike.SOLID, Strike.THIN]
    assert strike.passing_signature(kinds, [Side.LEFT, Side.RIGHT, Side.ON_LINE, Side.RIGHT])
    assert not strike.passing_signature([Strike.SOLID] * 4, [Side.LEFT, Side.RIGHT, Side.ON_LINE, Side.RIGHT])


# common practice, no source: the clubhead passing the arm is an arm-shaft angle under 0; at a weak grip that is a cupped wrist
@pytest.mark.parametrize("grip", [0, 30, 60])
def test_the_head_passing_the_arm_is_cup_on_the_planar_picture(grip):
    assert wrist.wrist(-10, grip).bow_deg < 0
