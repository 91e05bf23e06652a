"""The straight line's band against an interval worked out another way."""

import random
from pathlib import Path

import numpy as np
import pytest
import statsmodels.api as sm
from scipy import stats

from rangelog.core.ball import Ball
from rangelog.core.player import Player, Prescription
from rangelog.core.session import Session
from rangelog.core.setup import Setup
from rangelog.logbook.archive import Archive
from rangelog.logbook.review_model import model_review


def fieller(bows: list[float], starts: list[float], level: float) -> tuple[float, float, float]:
    """Crossing -a/b of a least-squares line (statsmodels), and Fieller's interval (1954): x with (a + b x)^2 <= t^2 var(a + b x)."""
    fit = sm.OLS(np.array(starts), sm.add_constant(np.array(bows))).fit()
    a, b = fit.params
    cov = fit.cov_params()
    t = stats.t.ppf(0.5 + level / 2, fit.df_resid)
    square, linear, constant = b * b - t * t * cov[1, 1], 2 * (a * b - t * t * cov[0, 1]), a * a - t * t * cov[0, 0]
    low, high = sorted(np.roots([square, linear, constant]).real)
    return -a / b, low, high


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_the_band_of_the_straight_line_is_close_to_fiellers(tmp_path: Path, seed: int) -> None:
    """Many balls in degrees, so that the prior adds little; the model also allows for drift and wild balls, hence the tolerance."""
    rng = random.Random(seed)
    bows = [float(bow) for bow in (0, 1, 2, 3, 4) for _ in range(24)]
    rng.shuffle(bows)
    starts = [round(5.5 - 2.5 * bow + rng.gauss(0, 2.0), 2) for bow in bows]
    with Archive.take(tmp_path / "a.book", daily_backup=False) as archive:
        archive.save_player(Player("p", "anna"))
        archive.add_prescription(Prescription("rx"))
        archive.start_session(Session("s", "2026-05-04T17:00:00+02:00"))
        archive.add_balls(
            [
                Ball(f"b{at}", "s", at, "2026-05-04T17:00:00+02:00", Setup(bow, 30.0), "", "rx", start_deg=start)
                for at, (bow, start) in enumerate(zip(bows, starts, strict=True), start=1)
            ]
        )
        found = model_review(archive, Player("p"), Prescription("rx"))
    assert found is not None
    (point,) = found.line
    crossing, low, high = fieller(bows, starts, 0.90)
    assert point.bow == pytest.approx(crossing, abs=0.15)
    assert (high - low) * 0.8 < point.high - point.low < (high - low) * 2.5
    assert point.low < crossing < point.high
