"""Strength from a test series against values computed from AISI S100 K2.1 with the screw statistics."""

import pytest

from estimator.attachment.capacity.series import correction_factor, evaluate_series, resistance_factor, safety_factor

C_P = {
    3: 5.7,
    4: 3.75,
    5: 2.4,
    6: 1.9444,
    7: 1.7143,
    8: 1.575,
    10: 1.4143,
    12: 1.3241,
    15: 1.2444,
    20: 1.1735,
    30: 1.1099,
}
SPREADS = (0.065, 0.1, 0.15, 0.2, 0.25)
PHI = {
    3: (0.5914, 0.4946, 0.3602, 0.2522, 0.1729),
    4: (0.6215, 0.5479, 0.4340, 0.3311, 0.2471),
    5: (0.6443, 0.5917, 0.5022, 0.4121, 0.3311),
    6: (0.6523, 0.6080, 0.5297, 0.4474, 0.3701),
    8: (0.6590, 0.6219, 0.5542, 0.4801, 0.4078),
    10: (0.6620, 0.6281, 0.5655, 0.4957, 0.4262),
    20: (0.6665, 0.6377, 0.5834, 0.5209, 0.4568),
}
OMEGA = {
    3: (2.706, 3.235, 4.442, 6.345, 9.255),
    4: (2.574, 2.920, 3.686, 4.833, 6.476),
    5: (2.483, 2.704, 3.186, 3.882, 4.833),
    6: (2.453, 2.632, 3.020, 3.576, 4.323),
    8: (2.428, 2.573, 2.887, 3.333, 3.924),
    10: (2.417, 2.547, 2.829, 3.228, 3.754),
    20: (2.401, 2.509, 2.743, 3.072, 3.503),
}


@pytest.mark.parametrize("n", C_P)
def test_the_correction_for_few_tests(n):
    assert correction_factor(n) == pytest.approx(C_P[n], abs=5.1e-5)


@pytest.mark.parametrize("n", PHI)
def test_resistance_and_safety_factors_by_number_and_scatter(n):
    found = [resistance_factor(n, V_P) for V_P in SPREADS]
    assert found == pytest.approx(PHI[n], abs=5.1e-5)
    assert [safety_factor(phi) for phi in found] == pytest.approx(OMEGA[n], abs=5.1e-4)


def test_five_pull_tests_worked_through():
    series = evaluate_series([412, 455, 437, 398, 470])
    assert (series.mean_n, series.C_P) == pytest.approx((434.4, 2.4))
    assert series.deviation_n == pytest.approx(29.687, abs=5e-4)
    assert pytest.approx(0.06834, abs=5e-6) == series.V_P
    assert series.phi == pytest.approx(0.63989, abs=5e-6)
    assert series.omega == pytest.approx(2.5004, abs=5e-5)
    assert series.allowable_n == pytest.approx(173.73, abs=5e-3)
    assert series.design_n == pytest.approx(277.97, abs=5e-3)
    assert series.scattered == ()
