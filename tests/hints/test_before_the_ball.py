"""Setup, one thing at a time, and new sets."""

from dataclasses import replace

from rangelog.core.results import Setting
from rangelog.core.words import BlockKind, Reason, Swing
from rangelog.hints.rules import choose


def test_nothing_is_hinted_before_the_setup_is_stated(build):
    hint = choose(build.facts(setup=build.setup(None, None)))
    assert (hint.rule, hint.action, hint.words) == ("setup", "SET UP", "Set bow and grip before hitting.")


def test_balls_without_a_setup_are_told(build):
    lost = replace(build.ball(1, setup=build.setup(None, None)), counted=False, reason=Reason.SETUP_UNKNOWN)
    hint = choose(build.facts(setup=build.setup(None, None), balls=(lost,)))
    assert hint.numbers == "1 ball kept, not counted: setup unknown"


def test_the_stick_comes_off_for_full_swings(build):
    hint = choose(build.facts(setup=build.setup(swing=Swing.FULL, stick=True)))
    assert (hint.action, hint.words) == ("STICK OFF", "Stick off for full swings.")


def test_a_missing_aim_line_is_told_once(build):
    guess = build.setup(aim_line=False)
    assert choose(build.facts(setup=guess)).action == "AIM LINE"
    assert choose(build.facts(setup=guess, balls=(build.ball(1, setup=guess),))).rule != "setup"


def test_two_levers_at_once_are_taken_back_by_one(build):
    hint = choose(build.facts(setup=build.setup(2.0, 45.0), balls=build.balls(4)))
    assert hint.words == "Change one thing at a time: grip AND bow moved. Go back one."
    assert (hint.action, hint.setting) == ("GO BACK ONE", Setting(2.0, 30.0))


def test_a_lever_with_the_ball_position_counts_as_two(build):
    hint = choose(build.facts(setup=build.setup(2.0, position_balls=1.0), balls=build.balls(4)))
    assert hint.words == "Change one thing at a time: bow AND ball position moved. Go back one."


def test_what_the_hint_proposed_is_no_departure(build):
    facts = build.facts(setup=build.setup(2.0, 45.0), balls=build.balls(4), previous=Setting(2.0, 45.0))
    assert choose(facts).rule != "one_thing"


def test_what_the_block_moves_is_no_departure(build):
    block = build.block(BlockKind.RANDOM, planned=10, moves=("bow", "grip", "club"))
    facts = build.facts(setup=build.setup(2.0, 45.0, club_id="wedge"), balls=build.balls(4), block=block)
    assert choose(facts).rule != "one_thing"


def test_a_baseline_holds_its_setting(build):
    block = build.block(BlockKind.BASELINE, planned=10, count=4, steady=True, home=Setting(0.0, 30.0))
    hint = choose(build.facts(setup=build.setup(1.0), balls=build.balls(4), block=block))
    assert hint.words == "Baseline: bow moved. Go back, change nothing."
    assert hint.setting == Setting(0.0, 30.0)


def test_club_bow_and_grip_changed_start_a_new_set(build):
    """Six balls with a loft-34 iron at bow 3, grip 45 right after a loft-28 iron at bow 2, grip 30."""
    before = [build.ball(seq, setup=build.setup(2.0, 30.0, club_id="28")) for seq in range(1, 9)]
    after = [build.ball(seq, setup=build.setup(3.0, 45.0, club_id="34")) for seq in range(9, 15)]
    facts = build.facts(
        setup=after[-1].setup, balls=(*before, *after), tried=(build.tried(3.0, 6, 5.0, grip=45.0),), club_name="34 deg iron"
    )
    hint = choose(facts)
    assert hint.words == "Club, bow and grip all changed: these 6 start a new set."
    assert hint.numbers == "34 deg iron: 6 balls, one setting: no effect known"


def test_levers_in_lock_step_cannot_be_separated(build):
    model = build.model(diagnosis={"locked": True, "bow_moved": False})
    tried = (build.tried(0.0, 4, 5.0, grip=30.0), build.tried(1.0, 4, 3.0, grip=45.0), build.tried(2.0, 4, 0.0, grip=60.0))
    now = build.setup(2.0, 60.0)
    hint = choose(build.facts(setup=now, balls=build.balls(12, setup=now), tried=tried, model=model))
    assert hint.words == "Cannot separate bow from grip. Hold grip, move bow."
    assert hint.numbers == "pairs tried: 0/30, 1/45 and 2/60"
    assert hint.setting is not None
    assert hint.setting.grip == 60.0


def design(build, *settings):
    """One ball at each (bow, grip) in turn, and the tallies that come of it."""
    balls = tuple(build.ball(seq, setup=build.setup(bow, grip)) for seq, (bow, grip) in enumerate(settings, start=1))
    tried = tuple(build.tried(bow, settings.count((bow, grip)), grip=grip) for bow, grip in sorted(set(settings)))
    bow, grip = settings[-1]
    return build.facts(balls=balls, tried=tried, setup=build.setup(bow, grip))


def test_a_design_of_the_players_own_is_told_which_pairs_it_has_left_out(build):
    """Both levers moved with every ball, without a block: bows 0, 2, 4 and grips 30, 45 make six pairs."""
    hint = choose(design(build, (0.0, 30.0), (4.0, 45.0), (2.0, 30.0), (4.0, 45.0)))
    assert hint.rule == "not_enough"
    assert hint.numbers == "not tried: bow 4 at grip 30, bow 0 at grip 45 and 1 more"
    assert hint.why[-1] == "Both levers moved: not tried yet are bow 4 at grip 30, bow 0 at grip 45 and 1 more."


def test_a_whole_design_and_one_lever_after_the_other_have_no_pairs_to_tell(build):
    whole = ((0.0, 30.0), (4.0, 45.0), (0.0, 45.0), (4.0, 30.0), (0.0, 45.0), (4.0, 30.0), (0.0, 45.0))
    in_turn = ((0.0, 30.0), (4.0, 30.0), (2.0, 30.0), (2.0, 45.0), (2.0, 60.0))
    for settings in (whole, in_turn):
        hint = choose(design(build, *settings))
        assert "not tried" not in hint.numbers
        assert not any("not tried" in line for line in hint.why)
