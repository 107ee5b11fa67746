"""When a rule of the book applies."""

from __future__ import annotations

from estimator.job import Arrangement, Material, RailDirection
from estimator.pricebook.records import Condition


def applies(
    when: Condition,
    arrangement: Arrangement,
    material: Material,
    rail_direction: RailDirection,
    bracket: str,
    rail: str | None,
) -> bool:
    """Whether a condition holds for a mounting; an empty set holds always. Sheets are asked roof by roof.

    Source: the book's assembly rules (common practice, no source).

    >>> applies(Condition(arrangements=frozenset({"direct"})), "rail_on_side", "steel", "across_ribs", "B", "R")
    False
    """
    return (
        (not when.arrangements or arrangement in when.arrangements)
        and (not when.materials or material in when.materials)
        and (not when.rail_directions or (rail is not None and rail_direction in when.rail_directions))
        and (not when.brackets or bracket in when.brackets)
        and (not when.rails or rail in when.rails)
    )


def applies_to_sheet(when: Condition, sheet_material: str) -> bool:
    """Whether a condition holds on a roof with that sheet."""
    return not when.sheet_materials or sheet_material in when.sheet_materials
