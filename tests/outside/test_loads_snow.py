"""Snow of ASCE 7 chapter 7 and EN 1991-1-3 against published answers."""

import math

import pytest

from estimator.loads.asce7.snow.drift import drift_height_7_16, drift_height_7_22, unbalanced_snow
from estimator.loads.asce7.snow.factors import Ct_heated_7_22, exposure_factor, importance, slope_factor
from estimator.loads.asce7.snow.roof_snow import SnowSite, balanced_snow, flat_roof_snow, least_snow, rain_on_snow
from estimator.loads.en1991.snow import EnSnowFactors, roof_snow, shape_mu1, shape_mu2

SLOPES = [0, 5, 10, 15, 20, 25, 30, 37.5, 45, 60, 70]
# Source: ASCE 7-16 Figure 7.4-1, from its knees
CS = {
    (1.0, True): [1, 1, 0.9231, 0.8462, 0.7692, 0.6923, 0.6154, 0.5, 0.3846, 0.1538, 0],
    (1.0, False): [1, 1, 1, 1, 1, 1, 1, 0.8125, 0.625, 0.25, 0],
    (1.1, True): [1, 1, 1, 0.9167, 0.8333, 0.75, 0.6667, 0.5417, 0.4167, 0.1667, 0],
    (1.1, False): [1, 1, 1, 1, 1, 1, 1, 1, 0.7692, 0.3077, 0],
    (1.2, True): [1, 1, 1, 1, 0.9091, 0.8182, 0.7273, 0.5909, 0.4545, 0.1818, 0],
    (1.2, False): [1, 1, 1, 1, 1, 1, 1, 1, 1, 0.4, 0],
}


@pytest.mark.parametrize(("Ct", "slippery"), CS)
def test_slope_factor_of_the_six_curves(Ct, slippery):
    found = [slope_factor(slope, Ct, slippery, "7-16") for slope in SLOPES]
    assert found == pytest.approx(CS[Ct, slippery], abs=6e-5)


@pytest.mark.parametrize(("Ct", "panel"), [(1.1, 1.0), (1.15, 1.1), (1.2, 1.2), (1.3, 1.2)])
def test_7_22_moves_the_borders_between_the_panels(Ct, panel):
    # Source: ASCE 7-22 Figure 7.4-1: (a) up to 1.1, (b) over 1.1 and under 1.2, (c) from 1.2
    found = [slope_factor(slope, Ct, False, "7-22") for slope in SLOPES]
    assert found == pytest.approx(CS[panel, False], abs=6e-5)


def test_slope_factor_is_nothing_past_70_deg():
    assert slope_factor(74, 1.0, False, "7-16") == 0


def test_flat_roof_snow_of_a_textbook_example():
    # Source: ASCE 7-16 worked textbook example, Lancaster PA: pg 30, B partially exposed, heated: 21 psf
    site = SnowSite(
        "7-16", 30, exposure_factor("B", "partially"), 1.0, "II", math.degrees(math.atan(1 / 20)), False, 50
    )
    snow = balanced_snow(site)
    assert snow.pf_psf == pytest.approx(21.0)
    assert snow.least_psf == 20
    assert snow.rain_psf == 0
    assert snow.balanced_psf == pytest.approx(21.0)


def test_flat_roof_snow_of_an_unheated_and_of_an_exposed_roof():
    # Source: ASCE 7 Equation 7.3-1, worked examples: 15.12 and 18.9 psf
    assert flat_roof_snow(20, 0.9, 1.2, 1.0, "7-16") == pytest.approx(15.12)
    assert flat_roof_snow(30, 0.9, 1.0, 1.0, "7-16") == pytest.approx(18.9)


def test_unheated_metal_building_4_on_12():
    # Source: computed from ASCE 7-16 Eq. 7.3-1, Fig. 7.4-1(c): pf 22.68, Cs 0.93755, ps 21.264 psf
    snow = balanced_snow(SnowSite("7-16", 30, 0.9, 1.2, "II", 18.435, True, 20))
    assert (snow.pf_psf, snow.Cs, snow.ps_psf) == pytest.approx((22.68, 0.93755, 21.264), rel=3e-5)
    cosine, sine = math.cos(math.radians(18.435)), math.sin(math.radians(18.435))
    assert snow.ps_psf * cosine**2 == pytest.approx(19.137, abs=5e-4)
    assert snow.ps_psf * sine * cosine == pytest.approx(6.379, abs=5e-4)


def test_unheated_metal_building_3_on_12():
    # Source: computed from ASCE 7-16 Eq. 7.3-1: pf 33.60, Cs 1, pm 20 psf
    snow = balanced_snow(SnowSite("7-16", 40, 1.0, 1.2, "II", 14.036, False, 40))
    assert (snow.pf_psf, snow.Cs, snow.ps_psf, snow.least_psf) == pytest.approx((33.60, 1.0, 33.60, 20))


@pytest.mark.parametrize(("risk", "factor"), [("I", 0.8), ("II", 1.0), ("III", 1.1), ("IV", 1.2)])
def test_importance_of_risk_categories(risk, factor):
    # Source: ASCE 7-16 Table 1.5-2
    assert importance(risk) == factor
    assert least_snow(50, risk, 5, "7-16") == pytest.approx(20 * factor)


@pytest.mark.parametrize(("risk", "most"), [("I", 25), ("II", 30), ("III", 35), ("IV", 40)])
def test_least_snow_of_7_22_stops_at_the_category_s_load(risk, most):
    # Source: ASCE 7-22 clause 7.3.3
    assert least_snow(80, risk, 5, "7-22") == most
    assert least_snow(12, risk, 5, "7-22") == 12


def test_7_22_has_no_importance_factor_on_snow():
    # Source: ASCE 7-22 Equation 7.3-1
    assert flat_roof_snow(40, 1.0, 1.2, 1.2, "7-22") == pytest.approx(33.6)


@pytest.mark.parametrize(
    ("pg", "R", "factor"),
    [
        (30, 30, 1.14),
        (40, 30, 1.13),
        (27.5, 20, 1.065),
        (42.9, 20, 1.0071),
        (35, 25, 1.0825),
        (5, 60, 1.20),
        (80, 55, 1.20),
    ],
)
def test_thermal_factor_of_a_heated_roof(pg, R, factor):
    # Source: ASCE 7-22 Table 7.3-3, straight between its rows and columns
    assert Ct_heated_7_22(pg, R) == pytest.approx(factor, abs=5e-5)


def test_rain_on_snow_asks_for_little_snow_and_a_flat_roof():
    # Source: ASCE 7-16 and 7-22 clause 7.10
    assert rain_on_snow(20, "II", 1.0, 60, "7-16") == 5
    assert rain_on_snow(21, "II", 1.0, 60, "7-16") == 0
    assert rain_on_snow(20, "II", 1.3, 60, "7-16") == 0
    assert rain_on_snow(0, "II", 1.0, 60, "7-16") == 0
    assert rain_on_snow(30, "II", 1.0, 60, "7-22") == 8
    assert rain_on_snow(31, "II", 1.0, 60, "7-22") == 0


def test_drift_over_the_ridge():
    # Source: ASCE 7-16 Figure 7.6-1 and 7-22 Equation 7.6-1, computed by hand with a pocket calculator
    assert drift_height_7_16(30, 100, 1.0) == pytest.approx(0.43 * 4.6416 * 2.5149 - 1.5, abs=1e-3)
    assert drift_height_7_22(50, 100, 0.5) == pytest.approx(1.5 * math.sqrt(18.079 * 25.119 * 0.30779 / 20.5), rel=1e-3)


def test_unbalanced_snow_keeps_the_drift_s_volume():
    # Source: ASCE 7-16 clause 7.6.1: surcharge hd gamma / sqrt(S) over 8 hd sqrt(S) / 3
    case = unbalanced_snow(balanced_snow(SnowSite("7-16", 30, 1.0, 1.2, "II", 14.036, False, 40)))
    assert case.surcharge_psf * case.reach_ft == pytest.approx(8 / 3 * case.hd_ft**2 * case.gamma_pcf)


@pytest.mark.parametrize(
    ("slope", "mu"),
    [(5.7, 0.8), (8.5, 0.8), (30, 0.8), (35, 0.6667), (40, 0.5333), (45, 0.4), (50, 0.2667), (60, 0), (65, 0)],
)
def test_shape_coefficient_of_the_eurocode(slope, mu):
    # Source: EN 1991-1-3 Table 5.2; 5.7 and 8.5 deg in Steel Buildings in Europe Part 3, Appendix A
    assert shape_mu1(slope) == pytest.approx(mu, abs=5e-5)


def test_snow_held_back_keeps_its_shape_coefficient():
    # Source: EN 1991-1-3 clause 5.3.2(2) [from memory]
    assert shape_mu1(50, held_back=True) == 0.8
    assert shape_mu2(30) == pytest.approx(1.6)


def test_roof_snow_of_the_steel_buildings_guide():
    # Source: Steel Buildings in Europe Part 3, Appendix A: sk 0.65, s 0.52 and 0.26; exceptional 1.04 kN/m2
    snow = roof_snow(0.65, 5.7, EnSnowFactors(Cesl=2.0))
    assert (snow.balanced, snow.drifted, snow.exceptional) == pytest.approx((0.52, 0.26, 1.04))
