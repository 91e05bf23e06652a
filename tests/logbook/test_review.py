"""The questions of a review, each with its sentence, its first line and its numbers."""

import math
from dataclasses import replace

import pytest
from scipy import stats
from statsmodels.stats.inter_rater import cohens_kappa
from statsmodels.stats.proportion import proportion_confint

from rangelog.core.ball import Ball
from rangelog.core.player import Prescription
from rangelog.core.results import Crossing, Setting
from rangelog.core.setup import Setup
from rangelog.core.words import BlockKind, Hand, Height, Reason, Side, Strike, Surface, Swing
from rangelog.logbook import review
from rangelog.logbook.review import Filter, Tally

AT = "2026-05-04T17:00:00+02:00"
LETTERS = {"L": Side.FAR_LEFT, "l": Side.LEFT, "o": Side.ON_LINE, "r": Side.RIGHT, "R": Side.FAR_RIGHT, "-": None}


def hit(
    letters: str = "", bow: float = 0.0, grip: float = 30.0, *, starts: tuple[float, ...] = (), strikes: str = "", first: int = 1
) -> list[Ball]:
    """Balls at one setting; strikes: s solid, t thin, f fat."""
    kinds = {"s": Strike.SOLID, "t": Strike.THIN, "f": Strike.FAT, "-": None}
    n = max(len(letters), len(starts))
    return [
        Ball(
            f"b{first + at}",
            "s",
            first + at,
            AT,
            Setup(bow, grip),
            side=LETTERS[letters[at]] if letters else None,
            start_deg=starts[at] if starts else None,
            strike=kinds[strikes[at]] if strikes else None,
        )
        for at in range(n)
    ]


def by_setting(*groups: list[Ball]) -> dict[Setting, Tally]:
    return review.tally([ball for group in groups for ball in group], review.by_setting)


def test_the_baseline_story_as_a_summary_of_its_session() -> None:
    found = review.summary(hit("Rrrrrroool", strikes="sssssssttf"), "2026-05-04")
    assert found.sentence == "10 counted. On line 3 of 10 (11-60 %). Right 6, left 1. Solid 7 of 10."
    assert "mean start +2.4 +-1.7 (from classes)" in found.lines[1]
    assert found.first_line == "10 balls: 2026-05-04"


def test_all_balls_alike_are_never_a_hundred_per_cent() -> None:
    line = review.summary(hit("oooooo"), "today").lines[1]
    # Wilson lower end of 6 of 6 at 95 %, by statsmodels
    assert f"{100 * proportion_confint(6, 6, method='wilson')[0]:.0f}" == "61"
    assert "all 6: true share likely over 61 %" in line
    assert "mean start not known" in line


def test_a_summary_of_no_ball_says_so() -> None:
    assert review.summary([], "today").sentence == "0 counted."


def test_uncounted_balls_are_named_with_their_reasons_in_a_summary() -> None:
    balls = hit("rrr")
    balls[0] = replace(balls[0], counted=False, reason=Reason.INTERRUPTED)
    assert review.summary(balls, "x").lines[-1] == "1 ball not counted: 1 interrupted."


def test_the_map_holds_only_settings_that_were_hit_and_says_where_it_is_straight() -> None:
    settings = by_setting(hit(starts=(6.0, 4.5, 7.5, 4.0)), hit(starts=(-3.0, -6.5, -4.0, -4.5), bow=4.0))
    line = review.line_points((30.0, 45.0), (Crossing(2.2, 1.8, 2.6), Crossing(0.9, -math.inf, math.inf)))
    found = review.grid(settings, "counted", line)
    assert [(cell.setting.bow, cell.start.bias.mean) for cell in found.cells] == [(0.0, 5.5), (4.0, -4.5)]
    assert found.sentence == "Straight: grip 30 at bow 2.2 (1.8 to 2.6)."
    assert found.first_line == "8 balls: counted"
    assert "Grip was 30 for all 8 balls: no effect of grip can be known." in found.notes


@pytest.mark.parametrize(
    ("settings", "note"),
    [
        ([(2.0, 30.0), (2.0, 45.0)], "Bow was 2 for all 6 balls: no effect of bow can be known."),
        ([(0.0, 30.0), (1.0, 45.0), (2.0, 60.0)], "Bow and grip moved in step: they cannot be separated."),
    ],
)
def test_what_the_settings_can_never_tell_is_said(settings: list[tuple[float, float]], note: str) -> None:
    found = review.grid(by_setting(*[hit("rol", bow, grip) for bow, grip in settings]), "x")
    assert note in found.notes


def test_settings_over_a_square_can_be_separated() -> None:
    assert review.grid(by_setting(hit("o"), hit("o", 1.0), hit("o", 0.0, 45.0)), "x").notes == ()


def test_two_straight_combinations_are_told_apart_by_strike_alone() -> None:
    settings = by_setting(
        hit("o" * 14 + "rrrrll", 2.0, 30.0, strikes="s" * 10 + "t" * 10), hit("o" * 15 + "rrrll", 1.0, 45.0, strikes="s" * 18 + "tt")
    )
    found = review.compare(Setting(2.0, 30.0), Setting(1.0, 45.0), settings, "choose")
    assert "Direction: no difference shown (14/20 v 15/20, p = 1)." in found.sentence
    assert "Strike: grip 45, bow 1 better, 18 of 20 v 10 of 20 (p = .014)." in found.sentence
    # Fisher's exact test by scipy
    assert found.p_strike == pytest.approx(stats.fisher_exact([[10, 10], [18, 2]]).pvalue)
    assert found.p_direction == pytest.approx(stats.fisher_exact([[14, 6], [15, 5]]).pvalue)


def test_strikes_are_never_pooled_across_surfaces() -> None:
    balls = hit("ooooo", strikes="sssst")
    turf = [replace(ball, id=f"t{ball.id}", setup=replace(ball.setup, surface=Surface.TURF), strike=Strike.FAT) for ball in balls]
    groups = review.tally([*balls, *turf], lambda ball: (ball.setup.setting, ball.setup.surface) if ball.setup.setting else None)
    found = review.strikes(groups, "counted")
    assert [(cell.surface, cell.solid.hits, cell.solid.n) for cell in found.cells] == [(Surface.MAT, 4, 5), (Surface.TURF, 0, 5)]
    low, high = proportion_confint(4, 5, method="wilson")
    assert (found.cells[0].solid.low, found.cells[0].solid.high) == pytest.approx((low, high))
    assert found.sentence == (
        f"On mat: solid 4 of 5 ({100 * low:.0f}-{100 * high:.0f} %). "
        f"On turf: solid none of 5: true share likely under {100 * proportion_confint(0, 5, method='wilson')[1]:.0f} %."
    )


def test_block_and_retention_stand_side_by_side_and_the_difference_of_conditions_is_named() -> None:
    confirm = review.tally(hit("o" * 15 + "rrrll"), lambda _: (BlockKind.CONFIRM, True, False))
    retention = review.tally(hit("oooooorrrl"), lambda _: (BlockKind.RETENTION, False, True))
    found = review.side_by_side({**retention, **confirm}, "counted")
    assert found.sentence == "6 of 10; not shown to differ from 15 of 20 (p = .43); stick and order also differ."
    assert [row.label for row in found.conditions] == ["confirm, stick on", "retention, stick off, random order"]
    assert found.rows[0][4] == "15 of 20 (53-89 %)"
    assert found.rows[1][4] == "6 of 10 (31-83 %)"


def test_a_confirm_without_later_tests_says_what_is_missing() -> None:
    found = review.side_by_side(review.tally(hit("ooo"), lambda _: (BlockKind.CONFIRM, True, False)), "x")
    assert found.sentence == "Confirmed; not yet tested stick off, in random order, or another day."
    assert review.side_by_side({}, "x").sentence == "No confirm block yet."


def test_stick_off_that_starts_further_open_is_said_with_its_interval() -> None:
    on, off = (0.4, -0.6, 1.2, 0.1, -0.9), (3.1, 2.2, 4.0, 2.6, 3.3)
    tallies = [review.tally(hit(starts=starts), lambda _: 0)[0] for starts in (on, off)]
    found = review.stick_on_off(*tallies, "x")
    low, high = stats.ttest_ind(off, on, equal_var=False).confidence_interval(0.90)
    assert (found.bias_change.low, found.bias_change.high) == pytest.approx((low, high))
    assert found.sentence.startswith("Stick-off balls start 3.0 deg further right (")
    assert found.sentence.endswith("Lean may be fading.")
    assert "fading" not in review.stick_on_off(*tallies, "x", open_word="left").sentence


def test_a_session_that_tires_is_told_by_its_last_twelve_balls() -> None:
    strikes = "s" * 29 + "t" * 11 + "ssss" + "t" * 8
    found = review.course(hit("o" * 52, strikes=strikes), "today")
    assert "Tired: 4 of 12 solid at the end, 29 of 40 before (p = .019)." in found.sentence
    assert found.p_tired == pytest.approx(stats.fisher_exact([[4, 8], [29, 11]]).pvalue)


def test_a_session_that_drifts_is_told_by_its_ends_and_its_trend() -> None:
    starts = tuple(round(0.2 * at + (-1) ** at * 0.3, 2) for at in range(18))
    found = review.course(hit(starts=starts), "today")
    low, high = stats.ttest_ind(starts[-6:], starts[:6], equal_var=False).confidence_interval(0.90)
    assert (found.drift.low, found.drift.high) == pytest.approx((low, high))
    assert found.sentence.startswith("Drifted right: last third +2.4 (")
    assert found.p_drift == pytest.approx(stats.kendalltau(range(18), starts).pvalue, rel=0.05)
    assert sum(found.residuals) == pytest.approx(0.0, abs=1e-9)


def test_a_short_session_claims_neither_drift_nor_tiredness() -> None:
    found = review.course(hit("ol", strikes="st"), "today")
    assert "Too few balls at one setting" in found.sentence
    assert "too few strikes" in found.sentence
    assert review.course([], "today").n == 0


def test_day_to_day_never_pools_raw_balls() -> None:
    days = [
        review.Day(f"2026-05-{at:02d}", review.start_line(review.tally(hit(starts=starts), lambda _: 0)[0]))
        for at, starts in ((1, (0.0, 1.0, 0.5, 0.2)), (3, (4.0, 5.0, 4.5, 4.2)), (5, (2.0,)))
    ]
    found = review.day_to_day(days, "grip 30, bow 2", "counted")
    assert found.between_sd > 2
    assert found.sentence.startswith("Over 2 sessions the mean start is ")
    assert found.notes == ("1 session had too few balls to enter the mean.",)


def test_feel_is_judged_only_from_twenty_balls_and_beyond_chance() -> None:
    few = {(2.0, 1.0, Side.RIGHT): 10}
    assert "can be told from 20" in review.feel(few, "x", Hand.RIGHT).sentence
    counts = {(2.0, 1.0, Side.RIGHT): 9, (2.0, 2.0, Side.ON_LINE): 12, (2.0, 3.0, Side.LEFT): 8, (2.0, 3.0, Side.RIGHT): 4}
    found = review.feel(counts, "x", Hand.RIGHT)
    assert found.table == ((9, 0, 0), (0, 12, 0), (4, 0, 8))
    assert found.kappa is not None
    # Cohen's kappa with squared weights by statsmodels
    table = [list(row) for row in found.table]
    assert found.kappa.mean == pytest.approx(cohens_kappa(table, wt="quadratic").kappa)
    assert "agree beyond chance" in found.sentence
    mirrored = review.feel({(meant, felt, _other(side)): n for (meant, felt, side), n in counts.items()}, "x", Hand.LEFT)
    assert mirrored.table == found.table


def _other(side: Side) -> Side:
    return {Side.LEFT: Side.RIGHT, Side.RIGHT: Side.LEFT}.get(side, side)


def test_what_was_thrown_away_is_put_back_for_comparison() -> None:
    kept = review.tally(hit(starts=(1.0, 0.0, -1.0, 2.0)), lambda _: 0)[0]
    out = review.tally(hit(starts=(9.0, 9.5)), lambda _: 0)[0]
    found = review.uncounted(kept, out, {Reason.INTERRUPTED: 2}, "x")
    assert found.sentence.startswith("2 of 6 not counted. Mean start +0.5 +-1.5; with them put back +3.4 +-")
    assert found.notes == ("More than 20 % are not counted.",)
    assert found.rows == (("interrupted", "2"),)
    assert review.uncounted(kept, Tally(), {}, "x").sentence == "All 4 balls counted."


def test_asked_and_done_names_every_departure() -> None:
    asked = Prescription("rx", club_id="c", swing=Swing.HALF, wrist_limit_bow=2.0, ball_cap=50)
    done = review.Done(
        balls=100, with_club=90, with_swing=100, above_limit=3, sessions=2, over_cap=1, moved_bow=3, moved_grip=1, first_moved="grip"
    )
    found = review.asked_and_done(asked, done, "28 deg iron", "x")
    assert found.sentence == (
        "As asked, except: another club on 10 balls, grip moved first, bow above the limit on 3 balls "
        "and ball cap passed in 1 of 2 sessions."
    )
    assert (
        review.asked_and_done(asked, replace(done, with_club=100, above_limit=0, over_cap=0, first_moved="bow"), "i", "x").sentence
        == "As asked."
    )
    assert "No ball" in review.asked_and_done(asked, review.Done(), "i", "x").sentence


def test_the_ladder_compares_solid_balls_and_says_how_many_were_left_out() -> None:
    balls = []
    for position, launch in ((-1.0, 12.1), (0.0, 12.3), (1.0, 12.4)):
        for at in range(10):
            spread = 1.6 * (at - 4.5) / 3.03  # ten even steps with a standard deviation of 1.6
            balls.append(
                Ball(
                    f"{position}{at}",
                    "s",
                    len(balls) + 1,
                    AT,
                    Setup(2.0, 30.0, position),
                    launch_deg=launch + spread,
                    height=Height.LOW,
                    strike=Strike.SOLID,
                )
            )
    balls.append(Ball("x", "s", 99, AT, Setup(2.0, 30.0, 1.0), launch_deg=30.0, strike=Strike.THIN))
    found = review.ladder(balls, "ladder", 28.0)
    assert found.sentence.startswith("Height does not follow ball position, and all is low.")
    assert "1 ball left out as not solid" in found.notes[-1]
    back, front = ([ball.launch_deg for ball in balls if ball.setup.position_balls == p and ball.strike is Strike.SOLID] for p in (-1, 1))
    low, high = stats.ttest_ind(front, back).confidence_interval(0.90)
    assert found.notes[0].startswith(f"Front minus back +0.3 ({low:.1f} to +{high:.1f}) deg")
    assert review.ladder([], "x").sentence == "No ladder has been hit."


def test_spread_is_told_of_the_setting_with_most_balls() -> None:
    starts = (1.0, -2.0, 3.0, 0.5, -1.5)
    found = review.spreads(by_setting(hit(starts=starts), hit("o", 1.0)), "x")
    sd = float(stats.tstd(starts))
    ends = [sd * math.sqrt(4 / stats.chi2.ppf(q, 4)) for q in (0.975, 0.025)]
    assert found.sentence == f"At grip 30, bow 0 the spread is {sd:.1f} ({ends[0]:.1f} to {ends[1]:.1f}) deg over 5 balls."
    assert "Too few balls" in review.spreads({}, "x").sentence


def test_strips_count_every_side() -> None:
    found = review.strips(by_setting(hit("LLlorrR")), "x")
    assert found.rows[0][2:7] == ("2", "1", "1", "2", "1")
    assert found.cells[0].points == ((-8.0, 2), (-4.0, 1), (0.0, 1), (4.0, 2), (8.0, 1))
    assert review.strips({}, "x").sentence == "No start was seen."


def test_a_filter_is_told_in_words() -> None:
    chosen = Filter(since="2026-05-01", until="2026-05-31", clubs=frozenset({"c"}), surface=Surface.MAT, stick=False, swing=Swing.HALF)
    assert chosen.text({"c": "28 deg iron"}) == "counted, 28 deg iron, half swing, stick off, mat, since 2026-05-01, until 2026-05-31"
    assert Filter(counted=None, blocks=frozenset({BlockKind.CONFIRM})).text() == "counted or not, confirm"


def test_a_filter_leaves_out_voided_and_warm_up_balls() -> None:
    ball = hit("o")[0]
    assert Filter().keeps(ball)
    assert not Filter().keeps(replace(ball, voided=True))
    assert not Filter().keeps(ball, BlockKind.WARM_UP)
    assert Filter(blocks=frozenset({BlockKind.WARM_UP})).keeps(ball, BlockKind.WARM_UP)
    assert Filter(blocks=frozenset({BlockKind.FREE})).keeps(ball, None)
