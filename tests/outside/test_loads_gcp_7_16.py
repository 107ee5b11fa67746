"""GCp by area against the printed end points of ASCE 7-16 Figures 30.3-2A to 2G, 30.3-5A, 5B.

Between the end points the figures are straight over log10(area); the values are computed from that line (4 decimals).
"""

import pytest

from estimator.errors import LoadsRefused
from estimator.loads.actions.curves import FT2_M2
from estimator.loads.asce7.wind.gcp_7_16 import coefficients_7_16
from tests.facts import refusing

AREAS_FT2 = [5, 10, 15, 20, 27.81, 50, 100, 200, 500]

ROWS = [
    ("gable", 5, 0.5, "down", (0.3, 0.3, 0.2824, 0.2699, 0.2556, 0.2301, 0.2, 0.2, 0.2)),
    ("gable", 5, 0.5, "1'", (-0.9, -0.9, -0.9, -0.9, -0.9, -0.9, -0.9, -0.7495, -0.5505)),
    ("gable", 5, 0.5, "1", (-1.7, -1.7, -1.6274, -1.576, -1.517, -1.412, -1.288, -1.164, -1.0)),
    ("gable", 5, 0.5, "2", (-2.3, -2.3, -2.2067, -2.1405, -2.0647, -1.9297, -1.7703, -1.6108, -1.4)),
    ("gable", 5, 0.5, "3", (-3.2, -3.2, -3.0134, -2.8811, -2.7294, -2.4595, -2.1405, -1.8216, -1.4)),
    ("gable", 20, 0.5, "down", (0.6063, 0.5354, 0.494, 0.4646, 0.4309, 0.3709, 0.3, 0.3, 0.3)),
    ("gable", 20, 0.5, "1,2e", (-2.0, -2.0, -2.0, -2.0, -1.6928, -1.146, -0.5, -0.5, -0.5)),
    ("gable", 20, 0.5, "2n,2r,3e", (-3.0, -3.0, -2.7481, -2.5693, -2.3645, -2.0, -1.5693, -1.1386, -1.0)),
    ("gable", 20, 0.5, "3r", (-3.6, -3.6, -3.283, -3.0581, -2.8004, -2.3419, -1.8, -1.8, -1.8)),
    ("gable", 27, 0.5, "down", (0.6063, 0.5354, 0.494, 0.4646, 0.4309, 0.3709, 0.3, 0.3, 0.3)),
    ("gable", 27, 0.5, "1,2e", (-1.5, -1.5, -1.5, -1.5, -1.4148, -1.2631, -1.084, -0.9048, -0.8)),
    ("gable", 27, 0.5, "2n,2r,3e", (-2.5, -2.5, -2.3054, -2.1673, -2.009, -1.7274, -1.3946, -1.2, -1.2)),
    ("gable", 27, 0.5, "3r", (-3.441, -2.947, -2.658, -2.453, -2.2181, -1.8, -1.8, -1.8, -1.8)),
    ("gable", 45, 0.5, "down", (0.9, 0.9, 0.8296, 0.7796, 0.7223, 0.6204, 0.5, 0.5, 0.5)),
    ("gable", 45, 0.5, "1,2e,2r", (-1.8, -1.8, -1.6239, -1.499, -1.3558, -1.101, -0.8, -0.8, -0.8)),
    ("gable", 45, 0.5, "2n,3r", (-2.0, -2.0, -1.8647, -1.7686, -1.6586, -1.4628, -1.2314, -1.0, -1.0)),
    ("gable", 45, 0.5, "3e", (-2.7977, -2.4934, -2.3153, -2.189, -2.0443, -1.7867, -1.4824, -1.178, -1.0)),
    ("hip", 20, 0.5, "down", (0.7, 0.7, 0.6296, 0.5796, 0.5223, 0.4204, 0.3, 0.3, 0.3)),
    ("hip", 20, 0.5, "1", (-1.3, -1.3, -1.3, -1.3, -1.2386, -1.1292, -1.0, -1.0, -1.0)),
    ("hip", 20, 0.5, "2r", (-2.4, -2.4, -2.2511, -2.1455, -2.0244, -1.809, -1.5545, -1.3, -1.3)),
    ("hip", 20, 0.5, "2e,3", (-1.8, -1.8, -1.7053, -1.638, -1.561, -1.4239, -1.262, -1.1, -1.1)),
    ("hip", 20, 0.8, "down", (0.7, 0.7, 0.6296, 0.5796, 0.5223, 0.4204, 0.3, 0.3, 0.3)),
    ("hip", 20, 0.8, "1", (-1.8, -1.8, -1.8, -1.8, -1.6361, -1.3445, -1.0, -1.0, -1.0)),
    ("hip", 20, 0.8, "2r", (-2.4, -2.4, -2.2511, -2.1455, -2.0244, -1.809, -1.5545, -1.3, -1.3)),
    ("hip", 20, 0.8, "2e,3", (-2.6, -2.6, -2.4376, -2.3223, -2.1903, -1.9553, -1.6777, -1.4, -1.4)),
    ("hip", 27, 0.5, "down", (0.7, 0.7, 0.6296, 0.5796, 0.5223, 0.4204, 0.3, 0.3, 0.3)),
    ("hip", 27, 0.5, "1", (-1.4, -1.4, -1.2943, -1.2194, -1.1335, -0.9806, -0.8, -0.8, -0.8)),
    ("hip", 27, 0.5, "2e,2r,3", (-2.0, -2.0, -1.8647, -1.7686, -1.6586, -1.4628, -1.2314, -1.0, -1.0)),
    ("monoslope", 10, 0.5, "down", (0.3, 0.3, 0.2824, 0.2699, 0.2556, 0.2301, 0.2, 0.2, 0.2)),
    ("monoslope", 10, 0.5, "1", (-1.1, -1.1, -1.1, -1.1, -1.1, -1.1, -1.1, -1.1, -1.1)),
    ("monoslope", 10, 0.5, "2", (-1.3, -1.3, -1.2824, -1.2699, -1.2556, -1.2301, -1.2, -1.2, -1.2)),
    ("monoslope", 10, 0.5, "2'", (-1.6, -1.6, -1.5824, -1.5699, -1.5556, -1.5301, -1.5, -1.5, -1.5)),
    ("monoslope", 10, 0.5, "3", (-1.8, -1.8, -1.6943, -1.6194, -1.5335, -1.3806, -1.2, -1.2, -1.2)),
    ("monoslope", 10, 0.5, "3'", (-2.6, -2.6, -2.4239, -2.299, -2.1558, -1.901, -1.6, -1.6, -1.6)),
    ("monoslope", 30, 0.5, "down", (0.4, 0.4, 0.3824, 0.3699, 0.3556, 0.3301, 0.3, 0.3, 0.3)),
    ("monoslope", 30, 0.5, "1", (-1.3, -1.3, -1.2648, -1.2398, -1.2112, -1.1602, -1.1, -1.1, -1.1)),
    ("monoslope", 30, 0.5, "2", (-1.6, -1.6, -1.5296, -1.4796, -1.4223, -1.3204, -1.2, -1.2, -1.2)),
    ("monoslope", 30, 0.5, "3", (-2.9, -2.9, -2.7415, -2.6291, -2.5002, -2.2709, -2.0, -2.0, -2.0)),
]


@pytest.mark.parametrize(("form, slope_deg, h_over_B, zones, expected"), ROWS)
def test_gcp_follows_the_figure_at_every_area(form, slope_deg, h_over_B, zones, expected):
    # Source: ASCE 7-16 Figures 30.3-2A to 2G, 30.3-5A, 5B
    roof = coefficients_7_16(form, slope_deg, h_over_B)
    areas = [area * FT2_M2 for area in AREAS_FT2]
    if zones == "down":
        assert roof.downward.at(areas) == pytest.approx(expected, abs=6e-5)
    for coefficient in roof.uplift:
        if coefficient.label in zones.split(","):
            assert coefficient.at(areas) == pytest.approx(expected, abs=6e-5)
    assert zones == "down" or {c.label for c in roof.uplift} >= set(zones.split(","))


@pytest.mark.parametrize("slope_deg", [7.0, 20.0, 27.0, 45.0])
def test_a_slope_on_a_break_belongs_to_the_lower_figure(slope_deg):
    # Source: ASCE 7-16 Figures 30.3-2, captions ("over 7 up to 20 deg" and so on)
    below = coefficients_7_16("gable", slope_deg - 0.5, 0.3)
    assert coefficients_7_16("gable", slope_deg, 0.3).figure == below.figure


def test_hip_roof_up_to_20_deg_is_interpolated_in_height_over_width():
    # Source: ASCE 7-16 Figures 30.3-2E and 2F: straight between h/B 0.5 and 0.8
    area = 15 * FT2_M2
    low, middle, tall = (coefficients_7_16("hip", 15.0, ratio).uplift for ratio in (0.5, 0.65, 0.8))
    for a, b, c in zip(low, middle, tall, strict=True):
        assert float(b.at(area)) == pytest.approx((float(a.at(area)) + float(c.at(area))) / 2, rel=1e-12)


@pytest.mark.parametrize(("form", "slope_deg"), [("hip", 27.5), ("hip", 45.0), ("gable", 46.0), ("monoslope", 31.0)])
def test_a_roof_without_confirmed_coefficients_is_refused(form, slope_deg):
    with refusing(LoadsRefused, ("/site/loads/roof_form", "no_coefficients"), holds=(form, slope_deg)):
        coefficients_7_16(form, slope_deg, 0.3)


def test_figures_that_rest_on_one_transcription_are_marked():
    marks = {slope: coefficients_7_16("gable", slope, 0.3).mark for slope in (15.0, 25.0, 35.0)}
    assert marks == {15.0: "found", 25.0: "found once", 35.0: "found"}
    assert coefficients_7_16("hip", 15.0, 0.65).mark == "found once"
