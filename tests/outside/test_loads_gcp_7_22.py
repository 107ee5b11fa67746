"""GCp by area against the printed end points of ASCE 7-22 Figures 30.3-2A to 2G, 30.3-5A, 5B.

Between the end points the figures are straight over log10(area); the values are computed from that line (4 decimals).
"""

import pytest

from estimator.loads.actions.curves import FT2_M2
from estimator.loads.asce7.wind.gcp_7_22 import coefficients_7_22
from estimator.loads.asce7.wind.panels import gamma_a

AREAS_FT2 = [5, 10, 15, 20, 27.81, 50, 100, 200, 500]

ROWS = [
    ("gable", 5, "down", (0.3, 0.3, 0.2824, 0.2699, 0.2556, 0.2301, 0.2, 0.2, 0.2)),
    ("gable", 5, "1'", (-0.9, -0.9, -0.9, -0.9, -0.9, -0.9, -0.9, -0.7495, -0.5505)),
    ("gable", 5, "1", (-1.7, -1.7, -1.6274, -1.576, -1.517, -1.412, -1.288, -1.164, -1.0)),
    ("gable", 5, "2", (-2.3, -2.3, -2.2067, -2.1405, -2.0647, -1.9297, -1.7703, -1.6108, -1.4)),
    ("gable", 5, "3", (-3.2, -3.2, -3.0134, -2.8811, -2.7294, -2.4595, -2.1405, -1.8216, -1.4)),
    ("gable", 20, "down", (0.6, 0.6, 0.5594, 0.5306, 0.4976, 0.4388, 0.3694, 0.3, 0.3)),
    ("gable", 20, "1", (-2.0, -2.0, -1.8212, -1.6943, -1.5489, -1.2902, -0.9845, -0.6788, -0.5)),
    ("gable", 20, "2", (-2.7, -2.7, -2.4699, -2.3067, -2.1196, -1.7867, -1.3933, -1.0, -1.0)),
    ("gable", 20, "3", (-3.6, -3.6, -3.283, -3.0581, -2.8004, -2.3419, -1.8, -1.8, -1.8)),
    ("gable", 27, "down", (0.6, 0.6, 0.5594, 0.5306, 0.4976, 0.4388, 0.3694, 0.3, 0.3)),
    ("gable", 27, "1", (-1.5, -1.5, -1.4053, -1.338, -1.261, -1.1239, -0.962, -0.8, -0.8)),
    ("gable", 27, "2", (-2.5, -2.5, -2.2711, -2.1087, -1.9225, -1.5913, -1.2, -1.2, -1.2)),
    ("gable", 27, "3", (-3.0, -3.0, -2.7183, -2.5184, -2.2893, -1.8816, -1.4, -1.4, -1.4)),
    ("gable", 45, "down", (0.9, 0.9, 0.8459, 0.8074, 0.7634, 0.6851, 0.5926, 0.5, 0.5)),
    ("gable", 45, "1", (-1.8, -1.8, -1.6239, -1.499, -1.3558, -1.101, -0.8, -0.8, -0.8)),
    ("gable", 45, "2", (-2.0, -2.0, -1.8647, -1.7686, -1.6586, -1.4628, -1.2314, -1.0, -1.0)),
    ("gable", 45, "3", (-2.5, -2.5, -2.297, -2.1529, -1.9879, -1.6941, -1.3471, -1.0, -1.0)),
    ("hip", 20, "down", (0.7, 0.7, 0.6296, 0.5796, 0.5223, 0.4204, 0.3, 0.3, 0.3)),
    ("hip", 20, "1", (-1.8, -1.8, -1.6647, -1.5686, -1.4586, -1.2628, -1.0314, -0.8, -0.8)),
    ("hip", 20, "2", (-2.4, -2.4, -2.2511, -2.1455, -2.0244, -1.809, -1.5545, -1.3, -1.3)),
    ("hip", 20, "3", (-2.6, -2.6, -2.4376, -2.3223, -2.1903, -1.9553, -1.6777, -1.4, -1.4)),
    ("hip", 27, "down", (0.7, 0.7, 0.6296, 0.5796, 0.5223, 0.4204, 0.3, 0.3, 0.3)),
    ("hip", 27, "1", (-1.4, -1.4, -1.2943, -1.2194, -1.1335, -0.9806, -0.8, -0.8, -0.8)),
    ("hip", 27, "2,3", (-2.0, -2.0, -1.8239, -1.699, -1.5558, -1.301, -1.0, -1.0, -1.0)),
    ("hip", 45, "down", (0.7, 0.7, 0.6296, 0.5796, 0.5223, 0.4204, 0.3, 0.3, 0.3)),
    ("hip", 45, "1", (-1.5, -1.5, -1.3591, -1.2592, -1.1446, -0.9408, -0.7, -0.7, -0.7)),
    ("hip", 45, "2", (-1.8, -1.8, -1.6239, -1.499, -1.3558, -1.101, -0.8, -0.8, -0.8)),
    ("hip", 45, "3", (-2.4, -2.4, -2.1535, -1.9786, -1.7781, -1.4214, -1.0, -1.0, -1.0)),
    ("monoslope", 10, "down", (0.3, 0.3, 0.2824, 0.2699, 0.2556, 0.2301, 0.2, 0.2, 0.2)),
    ("monoslope", 10, "1", (-1.1, -1.1, -1.1, -1.1, -1.1, -1.1, -1.1, -1.1, -1.1)),
    ("monoslope", 10, "2", (-1.3, -1.3, -1.2824, -1.2699, -1.2556, -1.2301, -1.2, -1.2, -1.2)),
    ("monoslope", 10, "2'", (-1.6, -1.6, -1.5824, -1.5699, -1.5556, -1.5301, -1.5, -1.5, -1.5)),
    ("monoslope", 10, "3", (-1.8, -1.8, -1.6943, -1.6194, -1.5335, -1.3806, -1.2, -1.2, -1.2)),
    ("monoslope", 10, "3'", (-2.6, -2.6, -2.4239, -2.299, -2.1558, -1.901, -1.6, -1.6, -1.6)),
    ("monoslope", 30, "down", (0.4, 0.4, 0.3824, 0.3699, 0.3556, 0.3301, 0.3, 0.3, 0.3)),
    ("monoslope", 30, "1", (-1.3, -1.3, -1.2648, -1.2398, -1.2112, -1.1602, -1.1, -1.1, -1.1)),
    ("monoslope", 30, "2", (-1.6, -1.6, -1.5296, -1.4796, -1.4223, -1.3204, -1.2, -1.2, -1.2)),
    ("monoslope", 30, "3", (-2.9, -2.9, -2.7415, -2.6291, -2.5002, -2.2709, -2.0, -2.0, -2.0)),
]


@pytest.mark.parametrize(("form, slope_deg, zones, expected"), ROWS)
def test_gcp_follows_the_figure_at_every_area(form, slope_deg, zones, expected):
    # Source: ASCE 7-22 Figures 30.3-2A to 2G, 30.3-5A, 5B
    roof = coefficients_7_22(form, slope_deg)
    areas = [area * FT2_M2 for area in AREAS_FT2]
    if zones == "down":
        assert roof.downward.at(areas) == pytest.approx(expected, abs=6e-5)
    for coefficient in roof.uplift:
        if coefficient.label in zones.split(","):
            assert coefficient.at(areas) == pytest.approx(expected, abs=6e-5)
    assert zones == "down" or {c.label for c in roof.uplift} >= set(zones.split(","))


GUIDE_FLAT_PSF = {"1": -76.1, "1'": -43.7, "2": -100.4, "3": -136.9}


def test_flat_roof_of_the_wind_load_guide_has_one_velocity_pressure_behind_its_four_answers():
    # Source: ASCE 7-22 wind load guide, example 6.1: p = q (GCp - 0.18) at 10 ft2, psf
    roof = coefficients_7_22("flat", 0.0)
    implied = {c.label: GUIDE_FLAT_PSF[c.label] / (float(c.at(10 * FT2_M2)) - 0.18) for c in roof.uplift}
    assert list(implied.values()) == pytest.approx([40.48] * 4, rel=1e-3)


@pytest.mark.parametrize(("zone", "expected"), [("1", -1.24), ("2", -1.48), ("3", -2.63)])
def test_monoslope_roof_of_the_wind_load_guide(zone, expected):
    # Source: ASCE 7-22 wind load guide, example 6.5: monoslope over 10 deg, 20 ft2
    roof = coefficients_7_22("monoslope", 15.0)
    found = next(c for c in roof.uplift if c.label == zone)
    assert float(found.at(20 * FT2_M2)) == pytest.approx(expected, abs=0.005)


def test_panels_parallel_to_the_roof_of_the_wind_load_guide():
    # Source: ASCE 7-22 wind load guide, example 5.3: GCp -1.24 and gammaa 0.67 at one and the same area
    roof = coefficients_7_22("monoslope", 15.0)
    zone_1 = next(c for c in roof.uplift if c.label == "1")
    assert float(zone_1.at(21.13 * FT2_M2)) == pytest.approx(-1.24, abs=0.006)
    assert float(gamma_a(21.13)) == pytest.approx(0.67, abs=0.0005)


def test_hip_roof_between_27_and_45_deg_is_interpolated_at_the_same_area():
    # Source: ASCE 7-22 Figure 30.3-2G, note: straight between 27 and 45 deg
    area = 50 * FT2_M2
    low, middle, high = (coefficients_7_22("hip", slope).uplift for slope in (27.0, 36.0, 45.0))
    for a, b, c in zip(low, middle, high, strict=True):
        assert float(b.at(area)) == pytest.approx((float(a.at(area)) + float(c.at(area))) / 2, rel=1e-12)
