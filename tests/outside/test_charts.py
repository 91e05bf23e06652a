"""Control charts against the tables of the NIST/SEMATECH e-Handbook of Statistical Methods, doi:10.18434/M32189."""

import pytest

from rangelog.evidence import control

# NIST/SEMATECH e-Handbook 6.3.2.4: weight .3, target 50, s 2.0539, width 3
EWMA_X = [52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
EWMA = "50.60 49.52 50.56 50.18 50.16 49.21 49.75 49.85 50.26 50.33 50.11 49.36 49.52 50.05 49.38 49.92 50.73 51.23 51.94 51.99"

# NIST/SEMATECH e-Handbook 6.3.2.3: target 325, k .3175, h 4.1959
CUSUM_X = [
    *(324.925, 324.675, 324.725, 324.350, 325.350, 325.225, 324.125, 324.525, 325.225, 324.600),
    *(324.625, 325.150, 328.325, 327.250, 327.825, 328.500, 326.675, 327.775, 326.875, 328.350),
]
CUSUM_HIGH = [0, 0, 0, 0, 0.03, 0, 0, 0, 0, 0, 0, 0, 3.01, 4.94, 7.45, 10.63, 11.99, 14.44, 16.00, 19.04]
CUSUM_LOW = [0, 0.01, 0, 0.33, 0, 0, 0.56, 0.72, 0.17, 0.25, 0.31, 0, 0, 0, 0, 0, 0, 0, 0, 0]


def test_the_ewma_row_and_its_limits():
    found = control.ewma(EWMA_X, 50.0, 2.0539)
    assert " ".join(f"{value:.2f}" for value in found.upper) == EWMA
    assert (found.upper_limit, found.lower_limit) == (pytest.approx(52.5884, abs=1e-4), pytest.approx(47.4115, abs=1e-4))
    assert found.first_signal == 0


def test_the_cusum_rows_and_the_first_signal_at_group_14():
    found = control.cusum(CUSUM_X, 325.0, 0.3175, 4.1959)
    assert list(found.upper) == pytest.approx(CUSUM_HIGH, abs=0.0051)
    assert list(found.lower) == pytest.approx(CUSUM_LOW, abs=0.0051)
    assert (found.first_signal, found.side) == (14, "upper")
