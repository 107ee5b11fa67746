"""Screws in sheet against printed and worked values."""

import pytest

from estimator.attachment.capacity import screws_en
from estimator.attachment.capacity.screws_aisi import ScrewSeat, bearing_n, pull_out_n, pull_over_n
from estimator.units import LBF_N

INCH = 25.4
KSI = 1000 * LBF_N / INCH**2
DIAMETERS = {
    "#6": (0.138, 0.272),
    "#8": (0.164, 0.272),
    "#10": (0.190, 0.340),
    "#12": (0.216, 0.340),
    "1/4": (0.25, 0.409),
}

# Allowable lb per screw, two equal sheets of 33 ksi: association table in a public permit record (City of Tigard
# 930449), AISI S100 E4 with Omega 3.0: shear, pull-out, pull-over.
TABLE_18_MIL = {
    "#6": (44, 24, 84),
    "#8": (48, 29, 84),
    "#10": (52, 33, 105),
    "#12": (55, 38, 105),
    "1/4": (60, 44, 127),
}
# Computed from the same formulas with 45 ksi.
COMPUTED = [
    (0.0346, "#10", (176.7, 83.8, 264.7)),
    (0.0346, "#12", (188.4, 95.3, 264.7)),
    (0.0346, "1/4", (202.7, 110.3, 318.4)),
    (0.0451, "#10", (263.0, 109.3, 345.0)),
    (0.0451, "1/4", (301.7, 143.8, 415.0)),
]


def equal_sheets(size, inches, ksi):
    d, head = DIAMETERS[size]
    return ScrewSeat(d * INCH, head * INCH, inches * INCH, ksi * KSI, inches * INCH, ksi * KSI)


def allowable_lb(seat):
    return [f(seat) / 3.0 / LBF_N for f in (bearing_n, pull_out_n, pull_over_n)]


@pytest.mark.parametrize("size", TABLE_18_MIL)
def test_allowables_in_18_mil_sheet_round_to_the_printed_pounds(size):
    assert [round(value) for value in allowable_lb(equal_sheets(size, 0.0188, 33))] == list(TABLE_18_MIL[size])


@pytest.mark.parametrize(("inches", "size", "pounds"), COMPUTED)
def test_allowables_in_thicker_sheet(inches, size, pounds):
    assert allowable_lb(equal_sheets(size, inches, 45)) == pytest.approx(pounds, abs=0.06)


def test_a_quarter_inch_screw_of_a_bracket_in_26_gauge():
    """Worked example: bracket 0.060 in of 55 ksi on 0.0179 in of 65 ksi; computed."""
    seat = ScrewSeat(0.25 * INCH, 0.409 * INCH, 0.060 * INCH, 55 * KSI, 0.0179 * INCH, 65 * KSI)
    assert bearing_n(seat) / LBF_N == pytest.approx(326.90, abs=0.01)
    assert pull_out_n(seat) / LBF_N == pytest.approx(247.24, abs=0.01)
    assert 4 * pull_out_n(seat) / 3 / LBF_N == pytest.approx(329.7, abs=0.1)


@pytest.mark.parametrize(("ratio", "tilting_counts"), [(1.0, 1.0), (1.75, 0.5), (2.5, 0.0)])
def test_tilting_fades_out_as_the_held_sheet_grows_thicker(ratio, tilting_counts):
    """AISI S100 E4.3.1: straight between thickness ratios 1.0 and 2.5."""
    seat = ScrewSeat(6.0, 12.0, 0.5, 400.0, 0.5 * ratio, 100.0)
    plain = min(2.7 * 0.5 * 6.0 * 400.0, 2.7 * 0.5 * ratio * 6.0 * 100.0)
    tilted = min(plain, 4.2 * ((0.5 * ratio) ** 3 * 6.0) ** 0.5 * 100.0)
    assert bearing_n(seat) == pytest.approx(plain + (tilted - plain) * tilting_counts)


@pytest.mark.parametrize(
    ("t", "d", "head", "static", "repeated", "thin", "thick"),
    [(0.63, 6.3, 14, 2540.2, 1270.1, 514.4, 743.0), (0.75, 5.5, 14, 3024, 1512, 534.6, 772.2)],
)
def test_european_screws(t, d, head, static, repeated, thin, thick):
    """EN 1993-1-3 Table 8.2 with gamma_M2 1.25; computed."""
    assert screws_en.pull_through_n(head, t, 360, repeated_wind=False) == pytest.approx(static, abs=0.06)
    assert screws_en.pull_through_n(head, t, 360) == pytest.approx(repeated, abs=0.06)
    assert screws_en.pull_out_n(d, t, 360) == pytest.approx(thin, abs=0.06)
    assert screws_en.pull_out_n(d, t, 360, pitch_mm=t) == pytest.approx(thick, abs=0.06)


def test_a_european_screw_in_a_two_millimetre_support():
    assert screws_en.pull_out_n(6.3, 2.0, 360, pitch_mm=2.5) == pytest.approx(1632.96, abs=0.01)
    assert screws_en.pull_out_n(6.3, 2.0, 360, pitch_mm=1.8) == pytest.approx(2358.7, abs=0.06)
