"""Partial factors of resistance under EN 1990, each from the code of what gives way; values as recommended there.

National annexes may set others. All values from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

from estimator.job import Material
from estimator.loads.actions.clauses import Clause


@dataclass(frozen=True, slots=True)
class PartialFactor:
    """A partial factor: its symbol, its value, and the clause that recommends it."""

    symbol: str
    value: float
    clause: Clause


_STEEL_SHEET = PartialFactor("gamma_M2", 1.25, Clause("EN 1993-1-3", "2(3)"))
_ALUMINIUM_SHEET = PartialFactor("gamma_M3", 1.25, Clause("EN 1999-1-4", "2(3)"))
_ALUMINIUM_PART = PartialFactor("gamma_M2", 1.25, Clause("EN 1999-1-1", "6.1.3"))
_STEEL_PART = PartialFactor("gamma_M2", 1.25, Clause("EN 1993-1-4", "5.1"))
ALUMINIUM_YIELDING = PartialFactor("gamma_M1", 1.10, Clause("EN 1999-1-1", "6.1.3"))
ALUMINIUM_RUPTURE = _ALUMINIUM_PART
SCREWS = PartialFactor("gamma_M2", 1.25, Clause("EN 1993-1-3", "8.3"))


def in_sheet(sheet_material: str) -> PartialFactor:
    """That of a bracket screwed to a sheet: the joint in the sheet gives way.

    >>> str(in_sheet("foam_core_aluminium").clause)
    'EN 1999-1-4 2(3)'
    """
    return _ALUMINIUM_SHEET if sheet_material.endswith("aluminium") else _STEEL_SHEET


def of_part(material: Material | None) -> PartialFactor:
    """That of a clamp or a splice, by its own material.

    >>> of_part("steel").value
    1.25
    """
    return _ALUMINIUM_PART if material == "aluminium" else _STEEL_PART
