"""Wind of EN 1991-1-4 against published answers."""

from dataclasses import replace

import pytest

from estimator.errors import LoadsRefused
from estimator.loads.en1991.annexes import RECOMMENDED
from estimator.loads.en1991.wind.cpe import zone_coefficients
from estimator.loads.en1991.wind.cpe_tables import DUOPITCH_0, DUOPITCH_90, FLAT, MONOPITCH_90
from estimator.loads.en1991.wind.peak_pressure import peak_velocity_pressure, terrain_factor
from tests.facts import refusing


@pytest.mark.parametrize(
    ("vb", "z", "terrain", "kr", "cr", "Iv", "vm", "qb", "ce", "qp"),
    [
        # Source: Steel Buildings in Europe Part 3, Appendix B (published 659 N/m2 with rounded steps)
        (26, 8, "III", 0.2154, 0.7072, 0.3046, 18.388, 422.5, 1.5664, 661.8),
        # Source: EN 1991-1-4 worked example (published 0.58 kN/m2)
        (22, 13.48, "III", 0.2154, 0.8196, 0.2628, 18.031, 302.5, 1.9075, 577.0),
        # Source: computed from EN 1991-1-4 Equations 4.1 to 4.8
        (25, 10, "II", 0.1900, 1.0067, 0.1887, 25.167, 390.6, 2.3523, 918.9),
        (27, 6, "I", 0.1698, 1.0859, 0.1563, 29.320, 455.6, 2.4696, 1125.2),
    ],
)
def test_peak_velocity_pressure(vb, z, terrain, kr, cr, Iv, vm, qb, ce, qp):
    p = peak_velocity_pressure(vb, z, terrain)
    assert (p.kr, p.cr, p.Iv, p.ce) == pytest.approx((kr, cr, Iv, ce), abs=6e-5)
    assert (p.vm, p.qb, p.qp) == pytest.approx((vm, qb, qp), abs=0.06)


def test_published_peak_pressures_within_their_rounding():
    # Source: Steel Buildings in Europe Part 3, Appendix B: 659 N/m2, tolerance 0.5 %
    assert peak_velocity_pressure(26, 8, "III").qp == pytest.approx(659, rel=0.005)


def test_under_the_least_height_the_pressure_stays():
    # Source: EN 1991-1-4 4.3.2(1)
    assert peak_velocity_pressure(25, 1.0, "III").qp == peak_velocity_pressure(25, 5.0, "III").qp


def test_national_parameters_scale_the_pressure():
    # Source: EN 1991-1-4 Equations 4.1 and 4.8
    plain = peak_velocity_pressure(25, 10, "II").qp
    light, sheltered = replace(RECOMMENDED.wind, rho=1.226), replace(RECOMMENDED.wind, cdir=0.85)
    assert peak_velocity_pressure(25, 10, "II", light).qp == pytest.approx(plain * 1.226 / 1.25)
    assert peak_velocity_pressure(25, 10, "II", sheltered).qp == pytest.approx(plain * 0.85**2)


def test_terrain_factor_is_0_19_in_terrain_ii():
    # Source: EN 1991-1-4 Equation 4.5
    assert terrain_factor(0.05) == pytest.approx(0.19)


def test_an_unknown_terrain_is_refused_with_the_ones_there_are():
    with refusing(LoadsRefused, holds=("'V'", "0, I, II, III, IV")):
        peak_velocity_pressure(25, 10, "V")


def _zone(table, pitch, zone):
    return next(z for z in zone_coefficients(table, pitch) if z.zone == zone)


@pytest.mark.parametrize(
    ("zone", "expected"),
    [("F", [-2.0, -1.6689, -1.5472, -1.2311, -0.9]), ("G", [-1.5, -1.2893, -1.2119, -1.0107, -0.8])],
)
def test_cpe_over_the_loaded_area(zone, expected):
    # Source: EN 1991-1-4 Table 7.4a, 15 deg, with Figure 7.2
    assert _zone(DUOPITCH_0, 15, zone).suction.at([1, 2, 2.58, 5, 10]) == pytest.approx(expected, abs=6e-5)


def test_cpe_is_straight_between_pitches():
    # Source: EN 1991-1-4 Table 7.4a, note 2: zone F at 10 deg is -1.30 (10 m2) and -2.25 (1 m2)
    assert _zone(DUOPITCH_0, 10, "F").suction.at([10, 1]) == pytest.approx([-1.30, -2.25])


# Source: EN 1991-1-4 Tables 7.4a and 7.4b as carried in the Spanish CTE DB-SE-AE Table D.6
PRINTED_0 = {
    5: {"F": (-1.7, -2.5, 0.0), "G": (-1.2, -2.0, 0.0), "H": (-0.6, -1.2, 0.0)},
    15: {"F": (-0.9, -2.0, 0.2), "G": (-0.8, -1.5, 0.2), "H": (-0.3, -0.3, 0.2), "J": (-1.0, -1.5, 0.0)},
    30: {"F": (-0.5, -1.5, 0.7), "G": (-0.5, -1.5, 0.7), "H": (-0.2, -0.2, 0.4), "I": (-0.4, -0.4, 0.0)},
    45: {"F": (0.0, 0.0, 0.7), "G": (0.0, 0.0, 0.7), "H": (0.0, 0.0, 0.6), "J": (-0.3, -0.3, 0.0)},
    60: {"F": (0.0, 0.0, 0.7), "I": (-0.2, -0.2, 0.0)},
    -15: {"F": (-2.5, -2.8, 0.0), "J": (-0.7, -1.2, 0.0)},
}
PRINTED_90 = {
    5: {"F": (-1.6, -2.2), "G": (-1.3, -2.0), "H": (-0.7, -1.2), "I": (-0.6, -0.6)},
    15: {"F": (-1.3, -2.0), "G": (-1.3, -2.0), "H": (-0.6, -1.2), "I": (-0.5, -0.5)},
    30: {"F": (-1.1, -1.5), "G": (-1.4, -2.0), "H": (-0.8, -1.2), "I": (-0.5, -0.5)},
    75: {"F": (-1.1, -1.5), "G": (-1.2, -2.0), "H": (-0.8, -1.0), "I": (-0.5, -0.5)},
}


@pytest.mark.parametrize(("pitch", "zone"), [(p, z) for p, zones in PRINTED_0.items() for z in zones])
def test_duopitch_with_wind_on_the_eave(pitch, zone):
    ten, one, pressure = PRINTED_0[pitch][zone]
    found = _zone(DUOPITCH_0, pitch, zone)
    assert found.suction.at([10, 1]) == pytest.approx([ten, one])
    assert float(found.pressure.at(3)) == pytest.approx(pressure)


@pytest.mark.parametrize(("pitch", "zone"), [(p, z) for p, zones in PRINTED_90.items() for z in zones])
def test_duopitch_with_wind_on_the_gable(pitch, zone):
    assert _zone(DUOPITCH_90, pitch, zone).suction.at([10, 1]) == pytest.approx(PRINTED_90[pitch][zone])


def test_suction_and_pressure_are_never_mixed_by_interpolation():
    # Source: EN 1991-1-4 Table 7.4a, note 2: only between values of the same sign
    between = _zone(DUOPITCH_0, 22.5, "F")
    assert between.suction.at([10, 1]) == pytest.approx([-0.7, -1.75])
    assert float(between.pressure.at(1)) == pytest.approx(0.45)
    steep = _zone(DUOPITCH_0, 52.5, "F")
    assert float(steep.suction.at(1)) == 0.0
    assert float(steep.pressure.at(1)) == pytest.approx(0.7)


def test_between_minus_5_and_5_deg_only_the_flat_roof_s_table_serves():
    with refusing(LoadsRefused, ("/site/loads/roof_form", "no_coefficients"), holds=("7.4a", 3.0)):
        zone_coefficients(DUOPITCH_0, 3.0)


def test_flat_roof_and_monopitch():
    # Source: EN 1991-1-4 Tables 7.2 (sharp eaves) and 7.3b
    assert _zone(FLAT, 0, "F").suction.at([10, 1]) == pytest.approx([-1.8, -2.5])
    assert float(_zone(FLAT, 0, "I").pressure.at(1)) == 0.2
    assert _zone(MONOPITCH_90, 15, "Fup").suction.at([10, 1]) == pytest.approx([-2.4, -2.9])
    assert _zone(MONOPITCH_90, 15, "Fup").suction.mark == "found once"
