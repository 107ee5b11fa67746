"""Rails as beams against printed coefficients for equal spans under one uniform load.

Moments, reactions and span moments: "Civil Engineering Formulas" handbook, Table 2.1 "Uniformly loaded continuous
beams over equal spans" (fractions and printed decimals). Deflections: computed with two finite-element libraries.
"""

from fractions import Fraction

import numpy as np
import pytest

from estimator.attachment.beam.solve import Beam, solve_beams
from estimator.units import LBF_N

# spans: support moments / wL2 (hogging), reactions / wL, both from the left end to the middle
EXACT = {
    1: ([Fraction(0)], [Fraction(1, 2)]),
    2: ([Fraction(0), Fraction(1, 8)], [Fraction(3, 8), Fraction(5, 4)]),
    3: ([Fraction(0), Fraction(1, 10)], [Fraction(2, 5), Fraction(11, 10)]),
    4: ([Fraction(0), Fraction(3, 28), Fraction(1, 14)], [Fraction(11, 28), Fraction(8, 7), Fraction(13, 14)]),
    5: ([Fraction(0), Fraction(2, 19), Fraction(3, 38)], [Fraction(15, 38), Fraction(43, 38), Fraction(37, 38)]),
    6: (
        [Fraction(0), Fraction(11, 104), Fraction(1, 13), Fraction(9, 104)],
        [Fraction(41, 104), Fraction(59, 52), Fraction(25, 26), Fraction(53, 52)],
    ),
    7: (
        [Fraction(0), Fraction(15, 142), Fraction(11, 142), Fraction(6, 71)],
        [Fraction(28, 71), Fraction(161, 142), Fraction(137, 142), Fraction(143, 142)],
    ),
}
SPAN_MOMENTS = {
    2: [0.0703],
    3: [0.080, 0.025],
    4: [0.0772, 0.0364],
    5: [0.0779, 0.0332, 0.0461],
    6: [0.0777, 0.0340, 0.0433],
    7: [0.0778, 0.0338, 0.0440, 0.0405],
}
DEFLECTIONS = {
    1: [(0.013021, 0.5)],
    2: [(0.005416, 0.4215)],
    3: [(0.006884, 0.4461), (0.000521, 0.5)],
    4: [(0.006460, 0.4397), (0.001891, 0.5412)],
    5: [(0.006572, 0.4415), (0.001526, 0.5331), (0.003152, 0.5)],
    6: [(0.006542, 0.4410), (0.001624, 0.5354), (0.002806, 0.4908)],
    7: [(0.006550, 0.4411), (0.001598, 0.5348), (0.002899, 0.4934), (0.002457, 0.5)],
}


def equal_spans(n, L=1.0, w=1.0, EI=1.0):
    return Beam(n * L, tuple(k * L for k in range(n + 1)), ((w,),), (), EI)


@pytest.mark.parametrize("n", EXACT)
def test_support_moments_and_reactions_are_the_handbook_fractions(n):
    moments, reactions = EXACT[n]
    found = solve_beams([equal_spans(n, 1250.0, 0.8)])
    assert found.moments_n_mm[: len(moments), 0] / (0.8 * 1250**2) == pytest.approx(
        [-float(m) for m in moments], rel=1e-12, abs=1e-15
    )
    assert found.reactions_n[: len(reactions), 0] / (0.8 * 1250) == pytest.approx(
        [float(r) for r in reactions], rel=1e-12
    )
    assert found.reactions_n[::-1, 0] == pytest.approx(found.reactions_n[:, 0], rel=1e-12)


@pytest.mark.parametrize("n", SPAN_MOMENTS)
def test_span_moments_are_the_printed_decimals(n):
    found = solve_beams([equal_spans(n)]).sagging_n_mm[1:, 0]
    # the table drops some last digits instead of rounding them: 0.03407 is printed 0.0340
    assert found[: len(SPAN_MOMENTS[n])] == pytest.approx(SPAN_MOMENTS[n], abs=1e-4)


@pytest.mark.parametrize("n", DEFLECTIONS)
def test_span_deflections_and_their_places_are_the_tabled_ones(n):
    found = solve_beams([equal_spans(n)])
    for span, (size, place) in enumerate(DEFLECTIONS[n], start=1):
        assert found.deflections_mm[span, 0] == pytest.approx(size, abs=6e-7)
        assert found.deflected_at_mm[span, 0] - (span - 1) == pytest.approx(place, abs=1.1e-4)


def test_three_spans_of_four_feet_at_sixty_pounds_a_foot():
    """Worked example, checked with PyNiteFEA 3.2.0 and indeterminatebeam 2.4.0 (in feet and pounds)."""
    found = solve_beams([equal_spans(3, 4.0, 60.0)])
    assert found.moments_n_mm[:, 0] == pytest.approx([0, -96, -96, 0], abs=1e-11)
    assert found.reactions_n[:, 0] == pytest.approx([96, 264, 264, 96])
    assert found.reactions_n.sum() == pytest.approx(720)
    assert found.sagging_n_mm[1:4, 0] == pytest.approx([76.8, 24, 76.8])
    assert found.sagging_at_mm[1:4, 0] == pytest.approx([1.6, 6.0, 10.4])
    assert found.deflections_mm[1:4, 0] == pytest.approx([105.7415, 8.0, 105.7415], rel=1e-6)
    assert found.deflected_at_mm[1, 0] == pytest.approx(1.7842, abs=1e-4)


@pytest.mark.parametrize(
    ("plf", "end_lb", "interior_lb", "stress_psi"),
    [(-120.68, -193.1, -531.0, 5545), (-168.40, -269.4, -740.9, 7737), (-202.46, -323.9, -890.8, 9302)],
    ids=["zone 1 and 2e", "zones 2n, 2r and 3e", "zone 3r"],
)
def test_a_box_rail_under_uplift_pulls_hardest_at_the_first_interior_bracket(plf, end_lb, interior_lb, stress_psi):
    """Worked chain: box 1.5 x 2.5 x 0.080 in, brackets every 4 ft; computed, both libraries."""
    w = plf * LBF_N / 304.8
    found = solve_beams([equal_spans(3, 4 * 304.8, w)])
    assert found.reactions_n[:2, 0] / LBF_N == pytest.approx([end_lb, interior_lb], abs=0.06)
    section_modulus_mm3 = 0.41788 * 25.4**3
    stress = np.abs(found.moments_n_mm).max() / section_modulus_mm3
    assert stress / (LBF_N / 25.4**2) == pytest.approx(stress_psi, abs=1.0)


def test_the_same_rail_deflects_five_hundredths_of_an_inch_under_the_reduced_wind():
    w, EI = 7.42, 10.1e6 * 0.52235
    found = solve_beams([equal_spans(3, 48.0, w, EI)])
    assert abs(found.deflections_mm[:, 0]).max() == pytest.approx(0.0514, abs=5e-5)
