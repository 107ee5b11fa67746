"""Expansion of rails: computed with handbook coefficients (Callister, Table B.6: 6061 23.6; others from memory)."""

import pytest

from estimator.attachment.geometry.expansion.thermal import expansion_mm, movement
from tests.builders import a_rail

INCH = 25.4


@pytest.mark.parametrize(
    ("alpha", "inches", "mm"),
    [
        (23.6, 0.31467, 8.496),
        (23.0, 0.30667, 8.280),
        (11.7, 0.15600, 4.212),
        (17.2, 0.22933, 6.192),
        (15.9, 0.21200, 5.724),
    ],
    ids=["6061", "aluminium, specification", "carbon steel", "304", "316"],
)
def test_twenty_feet_over_a_hundred_fahrenheit_and_six_metres_over_sixty_kelvin(alpha, inches, mm):
    assert expansion_mm(240 * INCH, alpha * 1e-6, 100 / 1.8) / INCH == pytest.approx(inches, abs=5.1e-6)
    assert expansion_mm(6000, alpha * 1e-6, 60) == pytest.approx(mm, abs=5e-4)


def test_twelve_metres_laid_at_fifteen_degrees():
    moved = movement(a_rail(expansion_per_k=23.6e-6), 12_000, 20.0, (-20 - 15, 70 - 15))
    assert moved.closes_mm == pytest.approx(15.576)
    assert moved.opens_mm == pytest.approx(9.912)
    assert moved.holds


def test_twelve_metres_of_aluminium_on_a_steel_roof():
    moved = movement(a_rail(expansion_per_k=23.6e-6), 12_000, 20.0, (0, 55), roof_expansion_per_k=11.7e-6)
    assert moved.closes_mm == pytest.approx(7.854)
