"""The fast fit against the plain posterior summed on a grid."""

import numpy as np
import pytest

from rangelog.bracketing import Bracket
from rangelog.bracketing.log_posterior import log_posterior
from rangelog.bracketing.priors import BOW_CENTRE, Priors
from rangelog.core.scales import side_interval

CLASSES = [(0, "right"), (0, "far right"), (0, "right"), (4, "left"), (4, "on line"), (4, "far left"), (2, "on line"), (2, "right")]
NUMBERS = [(0, 6.0), (0, 4.5), (0, 7.5), (4, -3.0), (4, -6.5), (4, -4.0)]
WILD = [(1, 3.0), (1, 2.0), (3, -1.5), (3, -2.5), (2, 0.5), (2, -28.0), (2, 1.0)]
MIXED = [(0, "right"), (0, 5.0), (4, "left"), (4, -3.5), (2, "on line"), (2, 0.4), (2, "far right")]


def brute(balls: list[tuple[float, str | float]]) -> dict[str, float]:
    """Posterior moments by summing the plain posterior over a grid of level, slope and spread."""
    level = np.linspace(-16, 16, 97)[:, None, None]
    slope = np.linspace(-10, 5, 76)[None, :, None]
    log_spread = np.linspace(-0.3, 2.3, 27)[None, None, :]
    ends = [side_interval(s) if isinstance(s, str) else (s, s) for _, s in balls]
    low, high = np.array(ends).T
    log_p = log_posterior(level, slope, log_spread, np.array([b for b, _ in balls], dtype=float), low, high, Priors())
    p = np.exp(log_p - log_p.max())
    p /= p.sum()
    bias = level + slope * (2.0 - BOW_CENTRE)
    mean = float((p * bias).sum())
    slope_mean = float((p * slope).sum())
    return {
        "bias": mean,
        "bias_sd": float(np.sqrt((p * (bias - mean) ** 2).sum())),
        "slope": slope_mean,
        "slope_sd": float(np.sqrt((p * (slope - slope_mean) ** 2).sum())),
        "spread": float((p * np.exp(log_spread)).sum()),
        "open": float((p * (bias > 0)).sum()),
    }


@pytest.mark.parametrize("balls", [CLASSES, NUMBERS, WILD, MIXED], ids=["classes", "numbers", "a wild ball", "mixed"])
def test_the_fit_agrees_with_brute_force(balls: list[tuple[float, str | float]]) -> None:
    """Means within a tenth of the posterior's own width, widths within 8 %, spread within 5 %."""
    bracket = Bracket(drift_deg_per_ball=0)
    for bow, start in balls:
        bracket.add(bow=bow, grip=30, start=start, session="mon")
    truth, bias, slope = brute(balls), bracket.bias(2, 30), bracket.bow_effect()
    assert bias.mean == pytest.approx(truth["bias"], abs=0.1 * truth["bias_sd"])
    assert bias.sd == pytest.approx(truth["bias_sd"], rel=0.08)
    assert slope.mean == pytest.approx(truth["slope"], abs=0.1 * truth["slope_sd"])
    assert slope.sd == pytest.approx(truth["slope_sd"], rel=0.08)
    assert bracket.diagnosis().spread_deg.mean == pytest.approx(truth["spread"], rel=0.05)


def test_no_order_of_the_same_balls_changes_a_still_line() -> None:
    """With the drift held at zero the fit does not depend on the order of the balls inside a session."""
    answers = []
    for balls in (MIXED, MIXED[::-1], sorted(MIXED, key=str)):
        bracket = Bracket(drift_deg_per_ball=0)
        for bow, start in balls:
            bracket.add(bow=bow, grip=30, start=start, session="mon")
        answers.append((bracket.bias(2, 30).mean, bracket.crossing(30).low, bracket.bow_effect().sd, bracket.on_line_share(1, 30)))
    assert answers[1] == pytest.approx(answers[0], abs=1e-9)
    assert answers[2] == pytest.approx(answers[0], abs=1e-9)


def test_asking_in_between_changes_nothing() -> None:
    """The same balls give the same answers to the last digit, whatever was asked on the way."""
    quiet, curious = Bracket(), Bracket()
    for place, (bow, start) in enumerate(MIXED * 3):
        for bracket in (quiet, curious):
            bracket.add(bow=bow, grip=30, start=start, session="mon" if place < 7 else "tue")
        curious.suggest("bow", 30)
        curious.verdict(2, 30)
        curious.memory()
    assert curious.bias(2, 30) == quiet.bias(2, 30)
    assert curious.crossing(30) == quiet.crossing(30)
    assert curious.suggest("bow", 30) == quiet.suggest("bow", 30)
