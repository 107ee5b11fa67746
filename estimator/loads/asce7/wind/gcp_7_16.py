"""GCp of ASCE 7-16 for mean roof heights up to 60 ft: Figures 30.3-2A to 2G, 30.3-5A and 5B.

A slope that stands exactly on a break belongs to the lower figure. Marks: two independent transcriptions agree for
``found``; ``found once`` rests on one and the result says so. The figures for hip roofs from 27 to 45 deg could not be
confirmed and are not here.
"""

from __future__ import annotations

from estimator.loads.actions.curves import Curve
from estimator.loads.asce7.wind.gcp_figures import (
    CoefficientFigure,
    RoofCoefficients,
    between,
    expand,
    of_figure,
    refuse_slope,
)
from estimator.sentences import figure, joined, say

STANDARD = "ASCE 7-16"

FLAT = CoefficientFigure(
    "30.3-2A", "flat, gable and hip roofs up to 7 deg", "perimeter", "found", Curve(10, 0.3, 100, 0.2),
    expand(
        ("1'", Curve(100, -0.9, 1000, -0.4)), ("1", Curve(10, -1.7, 500, -1.0)),
        ("2", Curve(10, -2.3, 500, -1.4)), ("3", Curve(10, -3.2, 500, -1.4)),
    ),
)  # fmt: skip
GABLE_20 = CoefficientFigure(
    "30.3-2B", "gable roofs over 7 to 20 deg", "gable by eave and ridge", "found", Curve(2, 0.7, 100, 0.3),
    expand(
        ("1,2e", Curve(20, -2.0, 100, -0.5)), ("2n,2r,3e", Curve(10, -3.0, 250, -1.0)),
        ("3r", Curve(10, -3.6, 100, -1.8)),
    ),
)  # fmt: skip
GABLE_27 = CoefficientFigure(
    "30.3-2C", "gable roofs over 20 to 27 deg", "gable by eave and ridge", "found once", Curve(2, 0.7, 100, 0.3),
    expand(
        ("1,2e", Curve(20, -1.5, 300, -0.8)), ("2n,2r,3e", Curve(10, -2.5, 150, -1.2)),
        ("3r", Curve(4, -3.6, 50, -1.8)),
    ),
)  # fmt: skip
GABLE_45 = CoefficientFigure(
    "30.3-2D", "gable roofs over 27 to 45 deg", "gable by eave and ridge", "found", Curve(10, 0.9, 100, 0.5),
    expand(
        ("1,2e,2r", Curve(10, -1.8, 100, -0.8)), ("2n,3r", Curve(10, -2.0, 200, -1.0)),
        ("3e", Curve(2, -3.2, 300, -1.0)),
    ),
)  # fmt: skip
HIP_20_LOW = CoefficientFigure(
    "30.3-2E", "hip roofs over 7 to 20 deg, h/B up to 0.5", "hip by corners", "found once", Curve(10, 0.7, 100, 0.3),
    expand(
        ("1", Curve(20, -1.3, 100, -1.0)), ("2r", Curve(10, -2.4, 200, -1.3)),
        ("2e,3", Curve(10, -1.8, 200, -1.1)),
    ),
)  # fmt: skip
HIP_20_TALL = CoefficientFigure(
    "30.3-2F", "hip roofs over 7 to 20 deg, h/B from 0.8", "hip by corners", "found once", Curve(10, 0.7, 100, 0.3),
    expand(
        ("1", Curve(20, -1.8, 100, -1.0)), ("2r", Curve(10, -2.4, 200, -1.3)),
        ("2e,3", Curve(10, -2.6, 200, -1.4)),
    ),
)  # fmt: skip
HIP_27 = CoefficientFigure(
    "30.3-2G", "hip roofs over 20 to 27 deg", "hip by corners", "found once", Curve(10, 0.7, 100, 0.3),
    expand(("1", Curve(10, -1.4, 100, -0.8)), ("2r,2e,3", Curve(10, -2.0, 200, -1.0))),
)  # fmt: skip
MONOSLOPE_10 = CoefficientFigure(
    "30.3-5A", "monoslope roofs over 3 to 10 deg", "monoslope low", "found", Curve(10, 0.3, 100, 0.2),
    expand(
        ("1", Curve(10, -1.1, 100, -1.1)), ("2", Curve(10, -1.3, 100, -1.2)), ("2'", Curve(10, -1.6, 100, -1.5)),
        ("3", Curve(10, -1.8, 100, -1.2)), ("3'", Curve(10, -2.6, 100, -1.6)),
    ),
)  # fmt: skip
MONOSLOPE_30 = CoefficientFigure(
    "30.3-5B", "monoslope roofs over 10 to 30 deg", "monoslope steep", "found", Curve(10, 0.4, 100, 0.3),
    expand(
        ("1", Curve(10, -1.3, 100, -1.1)), ("2", Curve(10, -1.6, 100, -1.2)), ("3", Curve(10, -2.9, 100, -2.0)),
    ),
)  # fmt: skip


def coefficients_7_16(form: str, slope_deg: float, h_over_B: float) -> RoofCoefficients:
    """GCp of a roof by ASCE 7-16.

    Args:
        form: flat, gable, hip or monoslope.
        slope_deg: 0 to 45 (gable), 27 (hip), 30 (monoslope), 7 (flat).
        h_over_B: mean roof height over the building's least horizontal dimension; for hip roofs only.

    Source: the figures named in the result. Errors: LoadsRefused for a roof without confirmed coefficients.

    >>> coefficients_7_16("gable", 14.0, 0.3).figure
    '30.3-2B'
    >>> coefficients_7_16("gable", 7.0, 0.3).figure
    '30.3-2A'

    """
    if form == "monoslope":
        return _monoslope(slope_deg)
    if slope_deg <= 7:
        return of_figure(FLAT, STANDARD)
    if form == "gable" and slope_deg <= 45:
        return of_figure(GABLE_20 if slope_deg <= 20 else GABLE_27 if slope_deg <= 27 else GABLE_45, STANDARD)
    if form == "hip" and slope_deg <= 27:
        return _hip(slope_deg, h_over_B)
    raise refuse_slope(
        form, slope_deg, say("flat up to 7 deg, gable up to 45 deg, hip up to 27 deg, monoslope up to 30 deg")
    )


def _monoslope(slope_deg: float) -> RoofCoefficients:
    if slope_deg > 30:
        raise refuse_slope(say("monoslope"), slope_deg, say("up to 30 deg"))
    figure = FLAT if slope_deg <= 3 else MONOSLOPE_10 if slope_deg <= 10 else MONOSLOPE_30
    return of_figure(figure, STANDARD)


def _hip(slope_deg: float, h_over_B: float) -> RoofCoefficients:
    if slope_deg > 20:
        return of_figure(HIP_27, STANDARD)
    low, tall = of_figure(HIP_20_LOW, STANDARD), of_figure(HIP_20_TALL, STANDARD)
    if h_over_B <= 0.5:
        return low
    if h_over_B >= 0.8:
        return tall
    why = say(
        "{found} between {least} and {most}",
        found=joined(" = ", ("h/B", figure(h_over_B, ".3f"))),
        least=figure(0.5),
        most=figure(0.8),
    )
    return between(low, tall, (h_over_B - 0.5) / 0.3, why)
