"""The stress a rail may take in bending: yielding and rupture of the alloy, or what the book says.

Local and lateral buckling and weld-affected zones are not covered: the book's allowable stress has to contain them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from estimator.attachment.capacity.partial_factors import ALUMINIUM_RUPTURE as ALUMINIUM_RUPTURE_EN
from estimator.attachment.capacity.partial_factors import ALUMINIUM_YIELDING as ALUMINIUM_YIELDING_EN
from estimator.pricebook import Rail
from estimator.sentences import Sentence, say

YIELDING, RUPTURE = say("yielding"), say("rupture")
Method = Literal["asd", "lrfd", "en"]

ALUMINIUM_YIELDING = 1.65
ALUMINIUM_RUPTURE = 1.95
ALUMINIUM_PHI_YIELDING = 0.90
ALUMINIUM_PHI_RUPTURE = 0.75
FASTENER_OMEGA = 2.34


@dataclass(frozen=True, slots=True)
class BendingStress:
    """A limiting stress, N/mm2, and what governs it."""

    stress_mpa: float
    governs: Sentence


def aluminium_allowable(F_tu_mpa: float, F_ty_mpa: float, k_t: float = 1.0) -> BendingStress:
    """Allowable tensile stress of an aluminium extrusion: the lesser of yield / 1.65 and ultimate / (1.95 k_t).

    Source: Aluminum Construction Manual, Specifications for Aluminum Structures 1.3 (building type) [found]; k_t from
    memory.

    >>> round(aluminium_allowable(38, 35).stress_mpa, 3), aluminium_allowable(30, 25).governs
    (19.487, 'yielding')
    """
    yielding, rupture = F_ty_mpa / ALUMINIUM_YIELDING, F_tu_mpa / (ALUMINIUM_RUPTURE * k_t)
    return BendingStress(yielding, YIELDING) if yielding <= rupture else BendingStress(rupture, RUPTURE)


def aluminium_design(F_tu_mpa: float, F_ty_mpa: float, k_t: float = 1.0) -> BendingStress:
    """Design stress, LRFD: the lesser of 0.90 yield and 0.75 ultimate / k_t [from memory].

    >>> aluminium_design(38, 35).stress_mpa, aluminium_design(30, 25).stress_mpa
    (28.5, 22.5)
    """
    yielding, rupture = ALUMINIUM_PHI_YIELDING * F_ty_mpa, ALUMINIUM_PHI_RUPTURE * F_tu_mpa / k_t
    return BendingStress(yielding, YIELDING) if yielding <= rupture else BendingStress(rupture, RUPTURE)


def aluminium_en(f_u_mpa: float, f_o_mpa: float, k_t: float = 1.0) -> BendingStress:
    """Design stress, EN 1999-1-1: the lesser of f_o / gamma_M1 and f_u / (gamma_M2 k_t), 1.10 and 1.25 [from memory].

    >>> round(aluminium_en(245, 200).stress_mpa, 2), aluminium_en(200, 200).stress_mpa
    (181.82, 160.0)
    """
    yielding, rupture = f_o_mpa / ALUMINIUM_YIELDING_EN.value, f_u_mpa / (ALUMINIUM_RUPTURE_EN.value * k_t)
    return BendingStress(yielding, YIELDING) if yielding <= rupture else BendingStress(rupture, RUPTURE)


def bending_limit(rail: Rail, method: Method) -> BendingStress:
    """The stress the rail may take; for aluminium never more than the alloy's yielding and rupture allow."""
    asd = method == "asd"
    named = rail.allowable_stress_mpa if asd else rail.design_strength_mpa
    book = BendingStress(named, say("allowable stress of the book") if asd else say("design strength of the book"))
    if rail.material != "aluminium":
        return book
    limits = {"asd": aluminium_allowable, "lrfd": aluminium_design, "en": aluminium_en}
    alloy = limits[method](rail.ultimate_strength_mpa, rail.yield_strength_mpa)
    return book if book.stress_mpa <= alloy.stress_mpa else alloy


def bending_moment_limit(rail: Rail, method: Method) -> float:
    """The moment the rail may take, N mm: section modulus times the limiting stress."""
    return rail.section_modulus_mm3 * bending_limit(rail, method).stress_mpa
