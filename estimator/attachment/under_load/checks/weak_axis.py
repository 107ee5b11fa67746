"""Rails across the ribs whose bending by forces along the slope cannot be checked."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.errors import Finding
from estimator.job import Job
from estimator.loads import Pressures, zone_pressures
from estimator.mounting.records import MountingChoice
from estimator.places import Place
from estimator.sentences import say

MODULE_M2 = 1.0
"""Forces along the slope do not depend on the area."""


def weak_axis_findings(job: Job, choice: MountingChoice, pressures: Sequence[Pressures]) -> list[Finding]:
    """A warning where forces along the slope bend a rail about an axis for which the pricebook has no values."""
    rail = choice.rail
    if rail is None or choice.rail_direction != "across_ribs" or rail.weak_section_modulus_mm3 is not None:
        return []
    pushed = [roof for roof, each in zip(job.roofs, pressures, strict=True) if _along(each)]
    if not pushed:
        return []
    where = Place(role="rail", part=rail.rail)
    text = say(
        "{where}: forces along the slope bend rails across the ribs about their weak axis; its section modulus and "
        "inertia are not in the pricebook (weak_section_modulus, weak_inertia in rails.csv), and not checked",
        where=where,
    )
    return [Finding("weak_axis_not_checked", "warning", text, where, say("not given"))]


def _along(pressures: Pressures) -> bool:
    """Whether any combination pushes along the slope anywhere."""
    found = (zone_pressures(pressures, zone.name, [MODULE_M2]) for zone in pressures.zones)
    return any(bool(each.along_pa_by_combination.any()) for each in found)
