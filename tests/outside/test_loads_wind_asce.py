"""Velocity pressure and roof panel pressures of ASCE 7 against published answers."""

import pytest

from estimator.errors import LoadsRefused
from estimator.loads.actions.curves import FT2_M2
from estimator.loads.asce7.wind.gcp_7_16 import coefficients_7_16
from estimator.loads.asce7.wind.panels import effective_area, gamma_a, panel_pressure
from estimator.loads.asce7.wind.velocity import Ke, Kz_formula, Kz_table, WindFactors, velocity_pressure
from estimator.loads.asce7.wind.zone_layouts import zone_width
from tests.facts import refusing

HEIGHTS_FT = [15, 20, 25, 30, 40, 50, 60]
FT_MM = 304.8

# Source: ASCE 7-16 and 7-22 Table 26.10-1, notes; values of the power law, four decimals
KZ_FORMULA = {
    ("7-16", "B"): [0.5747, 0.6240, 0.6650, 0.7006, 0.7606, 0.8107, 0.8540],
    ("7-16", "C"): [0.8489, 0.9019, 0.9453, 0.9823, 1.0436, 1.0938, 1.1366],
    ("7-16", "D"): [1.0302, 1.0831, 1.1259, 1.1622, 1.2218, 1.2702, 1.3111],
    ("7-22", "B"): [0.5729, 0.6186, 0.6565, 0.6892, 0.7442, 0.7898, 0.8291],
    ("7-22", "C"): [0.8512, 0.9026, 0.9447, 0.9805, 1.0398, 1.0882, 1.1295],
    ("7-22", "D"): [1.0350, 1.0881, 1.1312, 1.1676, 1.2276, 1.2761, 1.3172],
}
# Source: ASCE 7-22 Table 26.10-1, printed
KZ_TABLE_7_22 = {
    "B": [0.57, 0.62, 0.66, 0.70, 0.74, 0.79, 0.83],
    "C": [0.85, 0.90, 0.94, 0.98, 1.04, 1.09, 1.13],
    "D": [1.03, 1.08, 1.12, 1.16, 1.22, 1.27, 1.31],
}


@pytest.mark.parametrize(("edition", "exposure"), KZ_FORMULA)
def test_kz_by_formula(edition, exposure):
    found = [Kz_formula(z, exposure, edition) for z in HEIGHTS_FT]
    assert found == pytest.approx(KZ_FORMULA[edition, exposure], abs=6e-5)


@pytest.mark.parametrize("exposure", KZ_TABLE_7_22)
def test_kz_by_the_printed_table(exposure):
    assert [Kz_table(z, exposure, "7-22") for z in HEIGHTS_FT] == KZ_TABLE_7_22[exposure]


@pytest.mark.parametrize("exposure", ["B", "C", "D"])
def test_the_7_16_table_follows_its_power_law_within_its_rounding(exposure):
    # Source: ASCE 7-16 Table 26.10-1, notes; columns C and D are also those printed in 7-22
    by_formula = [Kz_formula(z, exposure, "7-16") for z in HEIGHTS_FT]
    assert [Kz_table(z, exposure, "7-16") for z in HEIGHTS_FT] == pytest.approx(by_formula, abs=0.007)


def test_kz_is_straight_between_the_rows_of_the_table_and_level_below_15_ft():
    # Source: ASCE 7 Table 26.10-1, note on interpolation
    assert Kz_table(35, "C", "7-22") == pytest.approx(1.01)
    assert Kz_table(9, "B", "7-16") == Kz_table(15, "B", "7-16") == 0.57
    assert Kz_formula(3, "D", "7-16") == Kz_formula(15, "D", "7-16")


def test_above_60_ft_the_table_refuses_and_the_formula_serves():
    with refusing(LoadsRefused, holds=(61,)):
        Kz_table(61, "C", "7-16")
    assert Kz_formula(100, "C", "7-16") == pytest.approx(1.2655, abs=1e-3)  # power law, computed by hand


@pytest.mark.parametrize(
    ("elevation_ft", "factor"),
    [(1000, 0.9644), (2000, 0.9302), (3000, 0.8971), (4000, 0.8652), (5000, 0.8344), (6000, 0.8048)],
)
def test_thin_air_lowers_the_pressure(elevation_ft, factor):
    # Source: ASCE 7-16 Table 26.9-1, note
    assert Ke(elevation_ft) == pytest.approx(factor, abs=5e-5)


def test_velocity_pressure_of_a_public_building_record():
    # Source: City of Santa Ana building record 370639, ASCE 7-16 Eq. 26.10-1: 15.01 psf
    q = velocity_pressure(110, 15, "B", "7-16")
    assert q.Kz == 0.57
    assert q.qh_psf == pytest.approx(15.0079, abs=5e-5)


def test_velocity_pressure_of_a_worked_cladding_note():
    # Source: worked cladding note, ASCE 7-16 Eq. 26.10-1, exposure B, z = 25.599 ft: Kz 0.669544, qh 19.2679 psf
    q = velocity_pressure(115, 25.5990, "B", "7-16", WindFactors(Kz_source="formula"))
    assert q.Kz == pytest.approx(0.669544, abs=5e-7)
    assert q.qh_psf == pytest.approx(19.2679, abs=1e-4)


def test_kd_counts_once_in_either_edition():
    # Source: ASCE 7-22 26.10 with Table 26.6-1: V 115, Kh 0.94: qh 31.82, with Kd 27.05 psf
    new = velocity_pressure(115, 25, "C", "7-22")
    assert new.qh_psf == pytest.approx(31.82, abs=0.006)
    assert new.pressure_base_psf == pytest.approx(27.05, abs=0.006)
    old = velocity_pressure(115, 25, "C", "7-16")
    assert old.qh_psf == old.pressure_base_psf == pytest.approx(new.pressure_base_psf, rel=1e-12)


def test_metal_building_by_table_and_by_formula():
    # Source: computed from ASCE 7-16 Eq. 26.10-1: V 115, exposure C, 20 ft
    assert velocity_pressure(115, 20, "C", "7-16").qh_psf == pytest.approx(25.900, abs=5e-4)
    by_formula = velocity_pressure(115, 20, "C", "7-16", WindFactors(Kz_source="formula"))
    assert by_formula.qh_psf == pytest.approx(25.954, abs=5e-4)


def test_pressure_equalisation_over_area():
    # Source: ASCE 7-16 Figure 29.4-8; 0.76 at 12.7 ft2 in City of Santa Ana building record 370639
    areas = [1, 10, 12.7, 16, 20, 21, 27.81, 30, 50, 100, 400]
    expected = [0.8, 0.8, 0.7585, 0.7184, 0.6796, 0.6711, 0.6223, 0.6092, 0.5204, 0.4, 0.4]
    assert gamma_a(areas).tolist() == pytest.approx(expected, abs=6e-5)


def test_effective_wind_area_is_at_least_a_third_of_the_span_wide():
    # Source: ASCE 7 clause 26.2, in a worked cladding note
    found = effective_area([4, 2, 6], [3.74, 3.74, 1.2])
    assert found.tolist() == pytest.approx([14.96, 7.48, 12.00], abs=5e-3)


def test_panel_pressure_of_a_public_building_record():
    # Source: City of Santa Ana building record 370639, ASCE 7-16 29.4.4: -34.1 psf at 12.7 ft2, GCp -2.0
    found = float(panel_pressure(15.0079, -2.0, 1.5, 12.7))
    assert found == pytest.approx(-34.15, abs=0.005)
    assert found == pytest.approx(-34.1, rel=0.01)


@pytest.mark.parametrize(
    ("area_ft2", "zone", "inner", "exposed"),
    [
        (27.81, "1", -27.284, -40.926),
        (27.81, "2e", -27.284, -40.926),
        (27.81, "2n", -38.111, -57.166),
        (27.81, "3r", -45.137, -67.706),
        (14.95, "1", -37.823, -56.734),
        (14.95, "2r", -52.011, -78.016),
        (14.95, "3r", -62.138, -93.208),
    ],
)
def test_metal_building_gable_3_on_12(area_ft2, zone, inner, exposed):
    # Source: computed from ASCE 7-16 29.4.4 and Figure 30.3-2B, qh 25.900 psf
    roof = coefficients_7_16("gable", 14.036, 0.3)
    GCp = next(c for c in roof.uplift if c.label == zone).at(area_ft2 * FT2_M2)
    qh = velocity_pressure(115, 20, "C", "7-16").qh_psf
    assert float(panel_pressure(qh, GCp, 1.0, area_ft2)) == pytest.approx(inner, rel=2e-4)
    assert float(panel_pressure(qh, GCp, 1.5, area_ft2)) == pytest.approx(exposed, rel=2e-4)


def test_zone_width():
    # Source: ASCE 7 Figures 30.3-2, note on a: L 60 ft, h 20 ft; L 32 ft, h 25 ft; and the floor of 3 ft
    assert zone_width(60 * FT_MM, 20 * FT_MM) == pytest.approx(6.0 * FT_MM)
    assert zone_width(32 * FT_MM, 25 * FT_MM) == pytest.approx(3.2 * FT_MM)
    assert zone_width(20 * FT_MM, 10 * FT_MM) == pytest.approx(3.0 * FT_MM)
    assert zone_width(200 * FT_MM, 12 * FT_MM) == pytest.approx(8.0 * FT_MM)
