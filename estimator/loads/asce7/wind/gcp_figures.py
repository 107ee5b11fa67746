"""A figure of external pressure coefficients (GCp), and the choice of the figure that applies to a roof."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from estimator.errors import Fault, LoadsRefused
from estimator.loads.actions.citing import AND
from estimator.loads.actions.clauses import Clause
from estimator.loads.actions.curves import FT2_M2, Coefficient, Curve, blended
from estimator.loads.actions.steps import Mark
from estimator.sentences import Sentence, figure, joined, say

Layout = Literal[
    "perimeter", "gable by eave and ridge", "gable by ridge", "gable by corners", "hip by corners", "hip by eave",
    "monoslope low", "monoslope steep",
]  # fmt: skip
"""How a figure lays its zones on the roof plane; zone_layouts_asce.py draws each of them."""


@dataclass(frozen=True, slots=True)
class CoefficientFigure:
    """One printed figure: the downward curve, the uplift curve of every zone, area in ft2."""

    name: str
    roof: str
    layout: Layout
    mark: Mark
    downward: Curve
    uplift: tuple[tuple[str, Curve], ...]

    def zones(self) -> tuple[str, ...]:
        """The zones, as the figure names them."""
        return tuple(zone for zone, _ in self.uplift)


@dataclass(frozen=True, slots=True)
class RoofCoefficients:
    """GCp of a roof: one uplift coefficient per zone and one downward for all, with the layout of the zones."""

    figure: str
    roof: str
    layout: Layout
    mark: Mark
    downward: Coefficient
    uplift: tuple[Coefficient, ...]


def of_figure(figure: CoefficientFigure, standard: str) -> RoofCoefficients:
    """The coefficients as one figure prints them."""
    source = Clause(standard, figure.name, "figure")
    return RoofCoefficients(
        figure.name,
        figure.roof,
        figure.layout,
        figure.mark,
        Coefficient("all", ((1.0, figure.downward),), FT2_M2, figure.mark, source),
        tuple(Coefficient(zone, ((1.0, curve),), FT2_M2, figure.mark, source) for zone, curve in figure.uplift),
    )


def between(low: RoofCoefficients, high: RoofCoefficients, share: float, why: Sentence) -> RoofCoefficients:
    """Zone by zone interpolation between two figures that have the same zones; ``share`` 0 to 1."""
    source = say("between {low} and {high}: {why}", low=low.downward.source, high=high.figure, why=why)
    return RoofCoefficients(
        joined(" ", (low.figure, AND, high.figure)),
        low.roof,
        low.layout,
        high.mark if low.mark == "found" else low.mark,
        blended(low.downward, high.downward, share, source),
        tuple(blended(a, b, share, source) for a, b in zip(low.uplift, high.uplift, strict=True)),
    )


def expand(*groups: tuple[str, Curve]) -> tuple[tuple[str, Curve], ...]:
    """Zones that share one curve, written "1,2e", each on its own.

    >>> [zone for zone, _ in expand(("1,2e", Curve(20, -2.0, 100, -0.5)))]
    ['1', '2e']
    """
    return tuple((zone, curve) for names, curve in groups for zone in names.split(","))


def refuse_slope(form: str, slope_deg: float, allowed: str) -> LoadsRefused:
    """The refusal of a roof that no confirmed figure covers."""
    found = say(
        "roof form {form} at {slope_deg}: no confirmed wind coefficients",
        form=form,
        slope_deg=figure(slope_deg, "g", " deg", "angle"),
    )
    text = say(
        "{found}; allowed: {allowed}. Zone pressures from an engineer can be given instead",
        found=found,
        allowed=allowed,
    )
    return LoadsRefused(text, [Fault("/site/loads/roof_form", found, allowed)])
