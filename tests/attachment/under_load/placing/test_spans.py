"""The coefficients by which a zone's longest span is found."""

import pytest

from estimator.attachment.beam.solve import Beam, solve_beams
from estimator.attachment.under_load.placing.spans import WORST_OF_EQUAL_SPANS


def test_coefficients_of_equal_spans_are_the_worst_of_three_to_twelve():
    rails = [Beam(float(n), tuple(map(float, range(n + 1))), ((1.0,),)) for n in range(3, 13)]
    found = solve_beams(rails)
    worst = -found.hogging_n_mm.min(), found.reactions_n.max(), found.deflections_mm.max()
    assert worst == pytest.approx(WORST_OF_EQUAL_SPANS, rel=1e-9)
