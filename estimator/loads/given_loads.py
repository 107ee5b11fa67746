"""Loads that an engineer gave: zone pressures taken as they are, or only spans and no loads at all."""

from __future__ import annotations

from estimator.errors import Fault, Finding, JobRefused
from estimator.job import GivenPressure, Loads, Roof
from estimator.loads.combinations import GIVEN
from estimator.loads.curves import M2, Coefficient, level
from estimator.loads.polygons import rectangle
from estimator.loads.records import Pressures, Snow, Wind, Zone
from estimator.loads.steps import Step
from estimator.loads.zone_map import whole_plane

EVERYWHERE = "all"
GREATEST_PA = 50_000.0


def given_pressures(loads: Loads, roof: Roof) -> Pressures:
    """The pressures an engineer gave for one plane, used as given and said so.

    They are design values: nothing is added, nothing factored. Zones given by name have no place on the roof that the
    tool knows, so the severest of each kind counts everywhere. Without pressures the result has none
    (``computed`` False): the job's own spans then serve.
    Errors: JobRefused where a given pressure has a wrong sign or no sensible size.
    """
    faults = [fault for index, g in enumerate(loads.given) for fault in _faults(index, g)]
    if faults:
        raise JobRefused(f"{roof.name} roof: the given pressures cannot be used", faults)
    severest = GivenPressure(
        EVERYWHERE,
        max((g.uplift_pa for g in loads.given), default=0.0),
        max((g.downward_pa for g in loads.given), default=0.0),
        max((g.along_slope_pa for g in loads.given), default=0.0),
    )
    outline = rectangle(0.0, 0.0, roof.eave_length_mm, roof.slope_length_mm)
    return Pressures(
        standard="given",
        method=loads.method,
        own_unit="Pa",
        slope_deg=roof.slope_deg,
        wind=Wind(0.0, 1.0),
        snow=Snow(),
        dead_pa=0.0,
        zones=(_zone(severest),),
        zone_map=whole_plane(outline, EVERYWHERE),
        combinations=GIVEN,
        service=GIVEN,
        fixed_area_m2=None,
        steps=tuple(step for g in loads.given for step in _steps(g)),
        findings=tuple(_findings(loads, roof)),
        coefficient_symbol="p",
        computed=bool(loads.given),
    )


def _faults(index: int, given: GivenPressure) -> list[Fault]:
    values = (("uplift", given.uplift_pa), ("downward", given.downward_pa), ("along_slope", given.along_slope_pa))
    return [
        Fault(
            f"/site/loads/given/{index}/{name}",
            f"zone {given.zone}: {name} is {value:g} Pa",
            f"0 to {GREATEST_PA:g} Pa",
        )
        for name, value in values
        if not 0.0 <= value <= GREATEST_PA
    ]


def _zone(given: GivenPressure) -> Zone:
    def constant(value: float) -> tuple[Coefficient, ...]:
        return (Coefficient(given.zone, ((1.0, level(value)),), M2, "given", "given by an engineer"),)

    return Zone(given.zone, constant(-given.uplift_pa), constant(given.downward_pa), 0.0, given.along_slope_pa)


def _steps(given: GivenPressure) -> tuple[Step, ...]:
    source = "given by an engineer"
    return (
        Step("p uplift", -given.uplift_pa, "N/m2", f"zone {given.zone}", source, "given"),
        Step("p downward", given.downward_pa, "N/m2", f"zone {given.zone}", source, "given"),
        Step("p along", given.along_slope_pa, "N/m2", f"zone {given.zone}", source, "given"),
    )


def _findings(loads: Loads, roof: Roof) -> list[Finding]:
    where = f"{roof.name} roof"
    if not loads.given:
        text = f"{where}: no loads computed; spans and cantilevers given in the job are used as given"
        return [Finding("loads_given", "note", text, where)]
    text = f"{where}: design pressures given by an engineer are used as given; nothing is added or factored"
    notes = [Finding("loads_given", "note", text, where)]
    if len(loads.given) > 1:
        names = ", ".join(g.zone for g in loads.given)
        text = f"{where}: pressures given for zones {names}, not where they lie: the severest counts everywhere"
        notes.append(Finding("given_zones_enveloped", "warning", text, where))
    return notes
