"""Mean and standard deviation against the certified values of NIST StRD, univariate summary statistics.

Source: NIST/ITL, Statistical Reference Datasets (itl.nist.gov/div898/strd), read in the copy that the GNU
Scientific Library tests with (statistics/test_nist.c). Data of the US government, public domain. The
certified values were recomputed elsewhere with 60 digits and agree.
"""

from __future__ import annotations

import pytest

from calculators._statistics import mean_and_sd

MAVRO = """
2.00180 2.00170 2.00180 2.00190 2.00180 2.00170 2.00150 2.00140 2.00150 2.00150
2.00170 2.00180 2.00180 2.00190 2.00190 2.00210 2.00200 2.00160 2.00140 2.00130
2.00130 2.00150 2.00150 2.00160 2.00150 2.00140 2.00130 2.00140 2.00150 2.00140
2.00150 2.00160 2.00150 2.00160 2.00190 2.00200 2.00200 2.00210 2.00220 2.00230
2.00240 2.00250 2.00270 2.00260 2.00260 2.00260 2.00270 2.00260 2.00250 2.00240
"""
MICHELSO = """
299.85 299.74 299.90 300.07 299.93 299.85 299.95 299.98 299.98 299.88
300.00 299.98 299.93 299.65 299.76 299.81 300.00 300.00 299.96 299.96
299.96 299.94 299.96 299.94 299.88 299.80 299.85 299.88 299.90 299.84
299.83 299.79 299.81 299.88 299.88 299.83 299.80 299.79 299.76 299.80
299.88 299.88 299.88 299.86 299.72 299.72 299.62 299.86 299.97 299.95
299.88 299.91 299.85 299.87 299.84 299.84 299.85 299.84 299.84 299.84
299.89 299.81 299.81 299.82 299.80 299.77 299.76 299.74 299.75 299.76
299.91 299.92 299.89 299.86 299.88 299.72 299.84 299.85 299.85 299.78
299.89 299.84 299.78 299.81 299.76 299.81 299.79 299.81 299.82 299.85
299.87 299.87 299.81 299.74 299.81 299.94 299.95 299.80 299.81 299.87
"""

# Name, data, certified mean, certified standard deviation, relative tolerance of the latter. A reading such
# as 10000000.1 is a double only to 1e-9, which is 1e-8 of the standard deviation: no code can do better.
SETS = [
    ("NumAcc1", [10000001.0, 10000003.0, 10000002.0], 10000002.0, 1.0, 1e-15),
    ("NumAcc2", [1.2, *[1.1, 1.3] * 500], 1.2, 0.1, 1e-14),
    ("NumAcc3", [1000000.2, *[1000000.1, 1000000.3] * 500], 1000000.2, 0.1, 1e-9),
    ("NumAcc4", [10000000.2, *[10000000.1, 10000000.3] * 500], 10000000.2, 0.1, 1e-8),
    ("Mavro", [float(each) for each in MAVRO.split()], 2.00185600000000, 0.000429123454003053, 1e-12),
    ("Michelso", [float(each) for each in MICHELSO.split()], 299.852400000000, 0.0790105478190518, 1e-12),
]


@pytest.mark.parametrize(("name", "data", "mean", "sd", "tolerance"), SETS, ids=[each[0] for each in SETS])
def test_certified(name: str, data: list[float], mean: float, sd: float, tolerance: float) -> None:
    """Mean and standard deviation agree with the certified values as far as doubles can hold the data."""
    assert len(data) == {"NumAcc1": 3, "Mavro": 50, "Michelso": 100}.get(name, 1001)
    assert mean_and_sd(data) == (pytest.approx(mean, rel=1e-15), pytest.approx(sd, rel=tolerance))
