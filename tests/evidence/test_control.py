"""Control charts and the drift of an anchor."""

import math

import numpy as np
import pytest

from rangelog.core.errors import OffScale
from rangelog.evidence import control


def test_an_empty_row_charts_nothing():
    assert control.ewma([], 0.0, 1.0).upper == ()
    assert control.cusum([], 0.0, 0.5, 5.0).first_signal == 0


def test_a_shift_is_signalled_on_its_own_side_at_its_own_ball():
    row = [0.0] * 10 + [-2.0] * 10
    found = control.cusum(row, 0.0, 0.5, 5.0)
    assert (found.side, found.first_signal) == ("lower", 14)
    assert control.ewma(row, 0.0, 1.0).side == "lower"
    assert control.ewma([-v for v in row], 0.0, 1.0).side == "upper"


def test_a_steady_start_line_rarely_signals_and_a_creeping_one_mostly_does():
    """80 balls, SD 3: at most 1 session of 5 steady, at least 9 of 10 that creep by 6 deg."""
    rng = np.random.default_rng(3)
    steady = sum(control.residual_chart(rng.normal(0, 3, 80), 3.0).first_signal > 0 for _ in range(500))
    creeping = sum(control.residual_chart(rng.normal(0, 3, 80) + np.linspace(0, 6, 80), 3.0).first_signal > 0 for _ in range(500))
    assert steady / 500 < 0.2
    assert creeping / 500 > 0.9


def test_an_anchor_that_moved_eight_degrees_has_drifted():
    found = control.anchor_drift([4.0, 3.5, 4.5], [-4.0, -3.5, -4.5], 2.0)
    assert found.on
    assert found.now.mean == pytest.approx(-4.0)
    assert found.moved.mean == pytest.approx(-8.0)
    assert found.moved.low < -8.0 < found.moved.high


def test_an_anchor_that_moved_three_degrees_has_not_been_shown_to_drift_beyond_three():
    found = control.anchor_drift([0.0] * 3, [3.0] * 3, 3.0)
    assert not found.on
    assert found.beyond == pytest.approx(0.5, abs=0.02)


def test_a_steady_anchor_cries_drift_in_fewer_than_5_of_100_sessions():
    rng = np.random.default_rng(6)
    cries = sum(control.anchor_drift(rng.normal(0, 3, 3), rng.normal(0, 3, 3), 3.0).on for _ in range(2000))
    assert cries / 2000 < 0.05


def test_an_anchor_without_a_second_visit_is_unknown():
    found = control.anchor_drift([1.0, 2.0], [])
    assert not found.on
    assert math.isnan(found.now.mean)
    assert found.moved.high == math.inf


@pytest.mark.parametrize(
    "call",
    [
        lambda: control.ewma([math.nan], 0, 1),
        lambda: control.ewma([1], 0, 0),
        lambda: control.ewma([1], 0, 1, 1.5),
        lambda: control.cusum([1], 0, -1, 5),
        lambda: control.cusum([1], 0, 0.5, 0),
        lambda: control.cusum([math.inf], 0, 0.5, 5),
        lambda: control.residual_chart([1.0], 0.0),
        lambda: control.anchor_drift([1.0], [2.0], -1.0),
    ],
)
def test_what_cannot_be_charted_is_refused(call):
    with pytest.raises(OffScale):
        call()
