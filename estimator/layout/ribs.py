"""Where the ribs of a roof plane stand."""

from __future__ import annotations

from math import ceil, floor

from estimator.job import Roof

TOLERANCE_MM = 0.001


def rib_count(roof: Roof) -> int:
    """How many ribs lie on the plane, without listing them."""
    first, last = _numbers(roof)
    return max(0, last - first + 1)


def rib_lines(roof: Roof) -> tuple[float, ...]:
    """Centre lines of the ribs on the plane, mm from its left edge: ``first_at + k * spacing``, k = 0, 1, 2 ...

    Source: common practice, no source.

    >>> from estimator.job import Ribs, Roof, Sheet
    >>> rib_lines(Roof("South", 1000.0, 500.0, 10.0, Ribs(300.0, 150.0, 32.0, 50.0, 60.0), Sheet("steel", 0.5), ()))
    (150.0, 450.0, 750.0)
    """
    first, last = _numbers(roof)
    ribs = roof.ribs
    return tuple(ribs.first_at_mm + number * ribs.spacing_mm for number in range(first, last + 1))


def _numbers(roof: Roof) -> tuple[int, int]:
    ribs = roof.ribs
    first = max(0, ceil((-TOLERANCE_MM - ribs.first_at_mm) / ribs.spacing_mm))
    return first, floor((roof.eave_length_mm + TOLERANCE_MM - ribs.first_at_mm) / ribs.spacing_mm)
