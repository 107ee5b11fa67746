"""Coefficients that fall with the logarithm of the area, flat before the first and after the last printed area."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from estimator.loads.actions.clauses import Cited
from estimator.loads.actions.steps import Mark

Floats = npt.NDArray[np.float64]

FT2_M2 = 0.3048**2
M2 = 1.0


@dataclass(frozen=True, slots=True)
class Curve:
    """A straight line over log10(area) between two printed points, level outside them.

    Args:
        area_1: area up to which ``value_1`` holds, in the unit of the figure, > 0.
        value_1: coefficient at and below ``area_1``.
        area_2: area from which ``value_2`` holds, > ``area_1``.
        value_2: coefficient at and above ``area_2``.

    Source: the way every figure of ASCE 7 chapter 30 and EN 1991-1-4 Figure 7.2 is drawn.

    >>> float(Curve(10, -2.0, 300, -0.5).at(20).round(4))
    -1.6943

    """

    area_1: float
    value_1: float
    area_2: float
    value_2: float

    def at(self, area: npt.ArrayLike) -> Floats:
        """The coefficient at each area, in the unit of the figure; any shape."""
        inside = np.clip(np.asarray(area, dtype=np.float64), self.area_1, self.area_2)
        share = np.log10(inside / self.area_1) / np.log10(self.area_2 / self.area_1)
        return np.asarray(self.value_1 + (self.value_2 - self.value_1) * share, dtype=np.float64)


def level(value: float) -> Curve:
    """A coefficient that does not depend on the area.

    >>> float(level(0.4).at(55))
    0.4
    """
    return Curve(1.0, value, 10.0, value)


@dataclass(frozen=True, slots=True)
class Coefficient:
    """A pressure coefficient of one zone: a weighted sum of curves (interpolation between figures), and its source.

    ``label`` names the zone as the standard does; ``area_unit_m2`` is one unit of the figure's area in m2.
    """

    label: str
    parts: tuple[tuple[float, Curve], ...]
    area_unit_m2: float
    mark: Mark
    source: Cited

    def at(self, area_m2: npt.ArrayLike) -> Floats:
        """The coefficient at each area in m2; any shape.

        >>> zone = Coefficient("2", ((1.0, Curve(10, -2.7, 200, -1.0)),), FT2_M2, "found", "ASCE 7-22 Figure 30.3-2B")
        >>> float(zone.at(27.81 * FT2_M2).round(4))
        -2.1196
        """
        area = np.asarray(area_m2, dtype=np.float64) / self.area_unit_m2
        total = np.zeros_like(area)
        for weight, curve in self.parts:
            total = total + weight * curve.at(area)
        return total


def blended(first: Coefficient, second: Coefficient, share: float, source: Cited) -> Coefficient:
    """Linear interpolation between two coefficients at the same area; ``share`` 0 gives the first, 1 the second.

    >>> low = Coefficient("1", ((1.0, level(-1.0)),), FT2_M2, "found", "a")
    >>> high = Coefficient("1", ((1.0, level(-2.0)),), FT2_M2, "found", "b")
    >>> float(blended(low, high, 0.25, "between").at(1.0))
    -1.25
    """
    parts = tuple((w * (1 - share), c) for w, c in first.parts) + tuple((w * share, c) for w, c in second.parts)
    mark = second.mark if first.mark == "found" else first.mark
    return Coefficient(first.label, parts, first.area_unit_m2, mark, source)
