"""GCp of ASCE 7-22 for mean roof heights up to 60 ft: Figures 30.3-2A to 2G, 30.3-5A and 5B.

A slope that stands exactly on a break belongs to the lower figure.
"""

from __future__ import annotations

from estimator.loads.actions.curves import Curve
from estimator.loads.asce7.wind.gcp_7_16 import FLAT, MONOSLOPE_10, MONOSLOPE_30
from estimator.loads.asce7.wind.gcp_figures import (
    CoefficientFigure,
    RoofCoefficients,
    between,
    expand,
    of_figure,
    refuse_slope,
)
from estimator.sentences import figure, say

STANDARD = "ASCE 7-22"

GABLE_20 = CoefficientFigure(
    "30.3-2B", "gable roofs over 7 to 20 deg", "gable by ridge", "found", Curve(10, 0.6, 200, 0.3),
    expand(("1", Curve(10, -2.0, 300, -0.5)), ("2", Curve(10, -2.7, 200, -1.0)), ("3", Curve(10, -3.6, 100, -1.8))),
)  # fmt: skip
GABLE_27 = CoefficientFigure(
    "30.3-2C", "gable roofs over 20 to 27 deg", "gable by ridge", "found", Curve(10, 0.6, 200, 0.3),
    expand(("1", Curve(10, -1.5, 200, -0.8)), ("2", Curve(10, -2.5, 100, -1.2)), ("3", Curve(10, -3.0, 100, -1.4))),
)  # fmt: skip
GABLE_45 = CoefficientFigure(
    "30.3-2D", "gable roofs over 27 to 45 deg", "gable by corners", "found", Curve(10, 0.9, 200, 0.5),
    expand(("1", Curve(10, -1.8, 100, -0.8)), ("2", Curve(10, -2.0, 200, -1.0)), ("3", Curve(10, -2.5, 200, -1.0))),
)  # fmt: skip
HIP_20 = CoefficientFigure(
    "30.3-2E", "hip roofs over 7 to 20 deg", "hip by eave", "found", Curve(10, 0.7, 100, 0.3),
    expand(("1", Curve(10, -1.8, 200, -0.8)), ("2", Curve(10, -2.4, 200, -1.3)), ("3", Curve(10, -2.6, 200, -1.4))),
)  # fmt: skip
HIP_27 = CoefficientFigure(
    "30.3-2F", "hip roofs over 20 to 27 deg", "hip by eave", "found", Curve(10, 0.7, 100, 0.3),
    expand(("1", Curve(10, -1.4, 100, -0.8)), ("2,3", Curve(10, -2.0, 100, -1.0))),
)  # fmt: skip
HIP_45 = CoefficientFigure(
    "30.3-2G", "hip roofs of 45 deg", "hip by eave", "found", Curve(10, 0.7, 100, 0.3),
    expand(("1", Curve(10, -1.5, 100, -0.7)), ("2", Curve(10, -1.8, 100, -0.8)), ("3", Curve(10, -2.4, 100, -1.0))),
)  # fmt: skip


def coefficients_7_22(form: str, slope_deg: float) -> RoofCoefficients:
    """GCp of a roof by ASCE 7-22.

    Args:
        form: flat, gable, hip or monoslope.
        slope_deg: 0 to 45 (gable and hip), 30 (monoslope), 7 (flat).

    Source: the figures named in the result. Errors: LoadsRefused for a roof the figures do not cover.

    >>> coefficients_7_22("hip", 36.0).figure
    '30.3-2F and 30.3-2G'

    """
    if form == "monoslope" and slope_deg <= 30:
        figure = FLAT if slope_deg <= 3 else MONOSLOPE_10 if slope_deg <= 10 else MONOSLOPE_30
        return of_figure(figure, STANDARD)
    if form != "monoslope" and slope_deg <= 7:
        return of_figure(FLAT, STANDARD)
    if form == "gable" and slope_deg <= 45:
        return of_figure(GABLE_20 if slope_deg <= 20 else GABLE_27 if slope_deg <= 27 else GABLE_45, STANDARD)
    if form == "hip" and slope_deg <= 45:
        return _hip(slope_deg)
    raise refuse_slope(form, slope_deg, say("flat up to 7 deg, gable and hip up to 45 deg, monoslope up to 30 deg"))


def _hip(slope_deg: float) -> RoofCoefficients:
    if slope_deg <= 27:
        return of_figure(HIP_20 if slope_deg <= 20 else HIP_27, STANDARD)
    share = (slope_deg - 27) / 18
    why = say("{angle} of 27 to 45", angle=figure(slope_deg, "g", " deg", "angle"))
    return between(of_figure(HIP_27, STANDARD), of_figure(HIP_45, STANDARD), share, why)
