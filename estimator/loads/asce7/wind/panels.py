"""Panels parallel to the roof, ASCE 7 clause 29.4.4: area, equalisation, edge factor, and the limits of the clause.

p = qh Kd (GCp) gammaE gammaa, Kd being part of qh in 7-16.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from estimator.loads.actions.curves import Curve, Floats

GAMMA_A = Curve(10.0, 0.8, 100.0, 0.4)
"""Pressure equalisation over area in ft2 [found; ASCE 7-16 and 7-22 Figure 29.4-8, solid curve].

The lower curve that 7-22 adds for wide gaps and low arrays could not be confirmed and is not offered.
"""

MINIMUM_PSF = 16.0
"""Least net pressure of components and cladding, either direction [found; ASCE 7 clause 30.2.2]."""

GAMMA_E_EXPOSED = 1.5
GAMMA_E_INNER = 1.0


def gamma_a(area_ft2: npt.ArrayLike) -> Floats:
    """Pressure equalisation factor: 0.8 up to 10 ft2, 1.2 - 0.4 log10 A, 0.4 from 100 ft2.

    Source: ASCE 7-16 Figure 29.4-8 [found].

    >>> gamma_a([5, 12.7, 27.81, 500]).round(4).tolist()
    [0.8, 0.7585, 0.6223, 0.4]
    """
    return GAMMA_A.at(area_ft2)


def effective_area(span: npt.ArrayLike, tributary_width: npt.ArrayLike) -> Floats:
    """Effective wind area of a member: span times its width, the width at least a third of the span.

    Args:
        span: span of the member, any length unit; any shape.
        tributary_width: the width it carries, same unit.

    Source: ASCE 7 clause 26.2 [found].

    >>> effective_area([4, 2, 6], [3.74, 3.74, 1.2]).round(2).tolist()
    [14.96, 7.48, 12.0]

    """
    length = np.asarray(span, dtype=np.float64)
    return np.asarray(length * np.maximum(np.asarray(tributary_width, dtype=np.float64), length / 3))


def panel_pressure(base: float, GCp: npt.ArrayLike, gammaE: float, area_ft2: npt.ArrayLike) -> Floats:
    """Net pressure on a panel parallel to the roof, in the unit of ``base`` (qh with Kd in it once).

    Source: ASCE 7-16 Equation 29.4-7, 7-22 clause 29.4.4 [found].

    >>> float(panel_pressure(15.0079, -2.0, 1.5, 12.7).round(2))
    -34.15
    """
    return np.asarray(base * np.asarray(GCp, dtype=np.float64) * gammaE * gamma_a(area_ft2))
