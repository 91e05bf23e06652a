"""The door: what it takes, what it refuses, which balls take part, and what stands before the first ball."""

import json
import math

import numpy as np
import pytest
from bracketing_players import MIRRORED, hit, story_extremes

from rangelog.bracketing import Bracket, Memory
from rangelog.core.errors import OffScale
from rangelog.core.words import Verdict


def answers(bracket: Bracket) -> tuple[object, ...]:
    """Everything a player may be told, for comparing two brackets."""
    return bracket.crossing(30), bracket.bias(1, 30), bracket.on_line_share(1, 30), bracket.suggest("bow", 30), bracket.verdict(0, 30)


def test_answers_exist_before_the_first_ball() -> None:
    """The prior alone gives a finite bow inside the range, infinite ends, no claim, and combinations."""
    bracket = Bracket(bow_range=(-1, 3), grip_range=(15, 60))
    crossing = bracket.crossing(30)
    assert -1 <= crossing.bow <= 3
    assert (crossing.low, crossing.high) == (-math.inf, math.inf)
    assert bracket.verdict(1, 30) is Verdict.UNDECIDED
    assert 0 < bracket.on_line_share(1, 30) < 0.5
    assert bracket.bow_effect().mean == pytest.approx(-3)
    assert all(-1 <= c.bow <= 3 and 15 <= c.grip <= 60 for c in bracket.combinations())
    assert bracket.diagnosis().prior_carries


@pytest.mark.parametrize(
    ("field", "change"),
    [
        ("bow", {"bow": 9}),
        ("bow", {"bow": 1.3}),
        ("bow", {"bow": math.nan}),
        ("grip", {"grip": 120}),
        ("grip", {"grip": math.inf}),
        ("start", {"start": 95}),
        ("start", {"start": "straight"}),
        ("start", {"start": math.nan}),
        ("start", {"start": None}),
        ("ball position", {"position": 15}),
        ("strike", {"strike": "clean"}),
    ],
)
def test_a_ball_off_the_scale_is_refused_by_name(field: str, change: dict[str, object]) -> None:
    """Words, NaN, infinities and values off the scale raise a ValueError naming the field, and nothing is taken."""
    bracket = Bracket()
    before = answers(bracket)
    with pytest.raises(OffScale) as refused:
        bracket.add(**{"bow": 0, "grip": 30, "start": "right", "session": "mon", **change})  # type: ignore[arg-type]
    assert refused.value.field == field
    assert isinstance(refused.value, ValueError)
    assert answers(bracket) == before


@pytest.mark.parametrize(
    "keywords", [{"hand": "both"}, {"window": 0}, {"wide": 1.0}, {"bow_range": (-4, 5)}, {"bow_range": (3, 1)}, {"grip_range": 30}]
)
def test_a_bracket_off_the_scale_is_refused(keywords: dict[str, object]) -> None:
    """The constructor checks what it is given."""
    with pytest.raises(OffScale):
        Bracket(**keywords)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    "keywords",
    [{"strike": "top"}, {"strike": "shank"}, {"touched": True}, {"counted": False}, {"position": 1}, {"strike": "toe"}, {"strike": "heel"}],
)
def test_balls_that_never_enter(keywords: dict[str, object]) -> None:
    """Top, shank, stick touched, not counted, ball moved, and toe and heel by default: no such ball moves the fit."""
    with_it, without = Bracket(drift_deg_per_ball=0), Bracket(drift_deg_per_ball=0)
    for bracket in (with_it, without):
        hit(bracket, [0, 0, 0, 4, 4, 4], seed=1)
    for _ in range(4):
        with_it.add(bow=1, grip=30, start="far left", session="mon", **keywords)  # type: ignore[arg-type]
    assert answers(with_it)[:3] == answers(without)[:3]
    assert with_it.diagnosis().counted == 6


def test_toe_and_heel_enter_by_setting_and_position_when_fitted() -> None:
    """What is left out by default takes part where the bracket is told so."""
    for keywords, ball in (({"toe_heel": True}, {"strike": "toe"}), ({"fit_position": True}, {"position": 1})):
        bracket = Bracket(**keywords)  # type: ignore[arg-type]
        before = bracket.bias(1, 30)
        bracket.add(bow=1, grip=30, start="far left", session="mon", **ball)  # type: ignore[arg-type]
        assert bracket.bias(1, 30).mean < before.mean


def test_a_mirrored_player_hears_mirrored_words_and_identical_numbers() -> None:
    """A left-hander whose balls go the other way gets the same bow, the same shares, and the opposite sides."""
    right, left = Bracket(), Bracket(hand="left")
    hit(right, [0, 0, 0, 0, 4, 4, 4, 2, 2, 3, 3], seed=2)
    words = []
    original = left.add
    left.add = lambda **ball: (words.append(ball["start"]), original(**{**ball, "start": MIRRORED[ball["start"]]}))  # type: ignore[method-assign,assignment,func-returns-value]
    hit(left, [0, 0, 0, 0, 4, 4, 4, 2, 2, 3, 3], seed=2)
    assert len(words) == 11
    assert left.crossing(30) == right.crossing(30)
    assert left.on_line_share(2, 30) == right.on_line_share(2, 30)
    assert left.suggest("bow", 30) == right.suggest("bow", 30)
    one, two = right.bias(0, 30), left.bias(0, 30)
    assert (two.mean, two.sd, two.low, two.high) == (-one.mean, one.sd, -one.high, -one.low)
    assert (right.verdict(0, 30), left.verdict(0, 30)) == (Verdict.RIGHT, Verdict.LEFT)
    assert right.diagnosis().wrong_sign == left.diagnosis().wrong_sign


def test_story_extremes() -> None:
    """+5.5 at bow 0 and -4.5 at bow 4 cross at 2.2 (least squares; common practice, no source); the prior moves the slope under 0.5."""
    bracket = Bracket()
    story_extremes(bracket)
    assert bracket.crossing(30).bow == pytest.approx(2.2, abs=0.1)
    assert bracket.bow_effect().mean == pytest.approx(-2.5, abs=0.5)
    assert bracket.suggest("bow", 30).bow == 2
    assert bracket.diagnosis().levels == (0.0, 4.0)


def test_story_extremes_for_a_left_hander() -> None:
    """The same balls the other way round cross at the same bow, and more bow now moves the start to the right."""
    right, left = Bracket(), Bracket(hand="left")
    story_extremes(right)
    story_extremes(left, sign=-1)
    assert left.crossing(30) == right.crossing(30)
    assert left.bow_effect().mean == -right.bow_effect().mean
    assert left.suggest("bow", 30).bow == 2


def test_story_baseline_from_classes() -> None:
    """1 far right, 5 right, 3 on line, 1 left give about +2.4, spread about 3.0, s.e. about 1.0 (common practice, no source)."""
    bracket = Bracket()
    for word in ["far right"] + ["right"] * 5 + ["on line"] * 3 + ["left"]:
        bracket.add(bow=0, grip=30, start=word, session="mon")
    bias = bracket.bias(0, 30)
    assert bias.mean == pytest.approx(2.4, abs=0.25)
    assert bias.sd == pytest.approx(1.0, abs=0.25)
    assert bracket.diagnosis().spread_deg.mean == pytest.approx(3.0, abs=0.3)


def test_infinite_ends_where_the_balls_cannot_tell() -> None:
    """Balls at one bow only cannot tell where the line crosses on the far side; the bow stays finite."""
    bracket = Bracket()
    for _ in range(6):
        bracket.add(bow=1, grip=30, start="on line", session="mon")
    crossing = bracket.crossing(30)
    assert math.isinf(crossing.low) or math.isinf(crossing.high)
    assert math.isfinite(crossing.bow)


def test_wild_balls_do_not_wreck_the_fit() -> None:
    """Two balls 25 deg off among twenty move the crossing by less than a third of a notch."""
    calm, wild = Bracket(), Bracket()
    for bracket in (calm, wild):
        for place in range(20):
            bow = (0, 1, 2, 3, 4)[place % 5]
            start = 5.2 - 2.6 * bow + (-2, 1, 0.5, -1.5, 2)[place // 4]
            if bracket is wild and place in (7, 14):
                start = 25.0
            bracket.add(bow=bow, grip=30, start=start, session="mon")
    assert wild.crossing(30).bow == pytest.approx(calm.crossing(30).bow, abs=0.33)


def test_misjudged_edges_do_not_wreck_the_fit() -> None:
    """An eye that sees every edge a degree too far out still finds the bow."""
    draw = np.random.default_rng(4)
    bracket = Bracket()
    for place in range(40):
        bow = (0, 4, 1, 3, 2)[place % 5]
        start = 5.2 - 2.6 * bow + 2.8 * draw.normal()
        word = ("far left", "left", "on line", "right", "far right")[int(np.searchsorted([-7, -3, 3, 7], start))]
        bracket.add(bow=bow, grip=30, start=word, session="mon")
    assert bracket.crossing(30).bow == pytest.approx(2.0, abs=0.5)


def test_recovers_the_player() -> None:
    """Two hundred balls give slope, spread and crossing back inside their own intervals."""
    bracket = Bracket(drift_deg_per_ball=0)
    hit(bracket, [0, 1, 2, 3, 4] * 40, seed=5)
    effect, spread, crossing = bracket.bow_effect(), bracket.diagnosis().spread_deg, bracket.crossing(30)
    assert effect.low < -2.6 < effect.high
    assert spread.low < 2.8 < spread.high
    assert crossing.low < 2.0 < crossing.high
    assert effect.half_width < 0.5
    assert not bracket.diagnosis().prior_carries


def test_ranges_are_respected() -> None:
    """A wrist limit at bow 2 holds in every suggestion, crossing and combination."""
    bracket = Bracket(bow_range=(-1, 2), grip_range=(0, 45))
    for place in range(25):
        setting = bracket.suggest(lever=(None, "bow", "grip")[place % 3], grip=30)
        assert -1 <= setting.bow <= 2
        assert 0 <= setting.grip <= 45
        bracket.add(bow=setting.bow, grip=setting.grip, start="right", session="mon")
    assert bracket.crossing(30).bow == 2
    assert all(-1 <= c.bow <= 2 and 0 <= c.grip <= 45 for c in bracket.combinations())


def test_a_range_of_one_bow() -> None:
    """Where only one bow is left, it is what is suggested."""
    assert Bracket(bow_range=(1, 1)).suggest("bow", 30).bow == 1


def test_memory_survives_its_file_and_shortens_the_next_session() -> None:
    """Memory written as JSON and read back gives the same answers, and knows the player's slope."""
    first = Bracket()
    hit(first, [0, 1, 2, 3, 4] * 12, seed=6)
    kept = first.memory()
    again = Memory.from_dict(json.loads(json.dumps(kept.as_dict())))
    assert again == kept
    one, two = Bracket(memory=kept), Bracket(memory=again)
    assert answers(one) == answers(two)
    assert one.bow_effect().sd < 0.6 * Bracket().bow_effect().sd
    assert abs(one.bias(2, 30).mean) < 1
    assert 1.2 < one.bias(2, 30).sd < 2.2


def test_memory_stands_for_the_sessions_before() -> None:
    """A new bracket with the memory of yesterday answers today as one that holds yesterday's balls."""
    whole, first = Bracket(), Bracket()
    for bracket in (whole, first):
        hit(bracket, [0, 1, 2, 3, 4] * 8, seed=7, session="mon")
    later = Bracket(memory=first.memory())
    for bracket in (whole, later):
        hit(bracket, [0, 4, 2, 2, 3], seed=8, session="tue")
    assert later.bias(2, 30).mean == pytest.approx(whole.bias(2, 30).mean, abs=1e-6)
    assert later.crossing(30).low == pytest.approx(whole.crossing(30).low, abs=1e-6)


def test_a_memory_that_is_not_one_is_refused() -> None:
    """Anything else than what was written is refused by name."""
    with pytest.raises(OffScale, match="Memory"):
        Memory.from_dict({"clubs": [{"club": "iron"}]})


def test_another_club_with_one_setting_changes_nothing() -> None:
    """Six balls with another club at one setting leave the first club's fit unchanged to the last digit."""
    bracket, alone = Bracket(), Bracket()
    for each in (bracket, alone):
        story_extremes(each)
    for word in ("right", "right", "on line", "far right", "right", "left"):
        bracket.add(bow=3, grip=45, start=word, session="wed", club="34")
    ball = {"bow": 2, "grip": 30, "start": "on line", "session": "thu"}
    for each in (bracket, alone):
        each.add(**ball)  # type: ignore[arg-type]
    assert answers(bracket) == answers(alone)


def test_another_club_lends_its_slope_and_never_its_intercept() -> None:
    """A club that was bracketed makes the slope of the next club surer; where that club starts stays open."""
    bracket = Bracket()
    hit(bracket, [0, 1, 2, 3, 4] * 10, seed=9)
    bracket.add(bow=2, grip=30, start="on line", session="mon", club="34")
    fresh = Bracket()
    fresh.add(bow=2, grip=30, start="on line", session="mon", club="34")
    assert bracket.bow_effect().sd < 0.6 * fresh.bow_effect().sd
    assert bracket.bias(2, 30).sd > 0.9 * fresh.bias(2, 30).sd


def test_a_new_day_is_less_sure_than_the_day_before() -> None:
    """The first ball of a new session reopens the bias but keeps the slope."""
    bracket = Bracket()
    hit(bracket, [0, 1, 2, 3, 4] * 10, seed=10)
    before, slope = bracket.bias(2, 30).sd, bracket.bow_effect().sd
    bracket.add(bow=2, grip=30, start="on line", session="tue")
    assert bracket.bias(2, 30).sd > 1.5 * before
    assert bracket.bow_effect().sd < 1.2 * slope


def test_stick_off_has_its_own_intercept() -> None:
    """Taking the stick off makes the bias less sure, since the line may move with it."""
    on, off = Bracket(), Bracket()
    for bracket, stick in ((on, True), (off, False)):
        hit(bracket, [0, 1, 2, 3, 4] * 6, seed=11)
        bracket.add(bow=2, grip=30, start="on line", session="mon", stick=stick)
    assert off.bias(2, 30).sd > 1.3 * on.bias(2, 30).sd


def test_the_straight_line_over_grips() -> None:
    """A stronger grip crosses at less bow, and the given order of grips is kept."""
    bracket = Bracket()
    draw = np.random.default_rng(12)
    for place in range(60):
        bow, grip = (0, 2, 4)[place % 3], (15, 30, 45)[(place // 3) % 3]
        start = 5.2 - 2.6 * bow - 4 * (grip - 30) / 10 + 2 * draw.normal()
        bracket.add(bow=bow, grip=grip, start=float(start), session="mon")
    weak, strong = bracket.straight_line([15, 45])
    assert weak.bow > strong.bow
    assert bracket.diagnosis().grip_moved
    assert not bracket.diagnosis().locked
