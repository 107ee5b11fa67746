"""Aluminium allowables: Aluminum Construction Manual 1.3.1 with the minima of ASTM B221 (ksi)."""

import pytest

from estimator.attachment.capacity.rail import aluminium_allowable, aluminium_design


@pytest.mark.parametrize(
    ("ultimate", "yielding", "allowable", "design", "governs"),
    [(38, 35, 19.487, 28.5, "rupture"), (30, 25, 15.152, 22.5, "yielding")],
    ids=["6005A-T61 and 6061-T6", "6063-T6"],
)
def test_the_lesser_of_yielding_and_rupture(ultimate, yielding, allowable, design, governs):
    found = aluminium_allowable(ultimate, yielding)
    assert (round(found.stress_mpa, 3), found.governs) == (allowable, governs)
    assert aluminium_design(ultimate, yielding).stress_mpa == pytest.approx(design)


@pytest.mark.parametrize(("ultimate", "yielding", "moment"), [(38, 35, 8.143), (30, 25, 6.332)])
def test_the_moment_of_a_box_rail(ultimate, yielding, moment):
    """Box 1.5 x 2.5 x 0.080 in, S = 0.41788 in3; computed."""
    assert aluminium_allowable(ultimate, yielding).stress_mpa * 0.41788 == pytest.approx(moment, abs=5.1e-4)
