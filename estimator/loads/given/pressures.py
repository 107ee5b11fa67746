"""Loads that an engineer gave: zone pressures taken as they are, or only spans and no loads at all."""

from __future__ import annotations

from estimator.errors import Fault, Finding, LoadsRefused
from estimator.job import Roof
from estimator.loads.actions.citing import EVERYWHERE, zone_words
from estimator.loads.actions.combinations import Combination
from estimator.loads.actions.curves import M2, Coefficient, level
from estimator.loads.actions.records import LaidGiven, Pressures, Snow, Wind, Zone
from estimator.loads.actions.steps import Step
from estimator.loads.zoning.polygons import rectangle
from estimator.loads.zoning.zone_map import ZoneMap, whole_plane
from estimator.places import Place
from estimator.sentences import figure, say
from estimator.site_loads import GivenLoads, GivenPressure

GREATEST_PA = 50_000.0
SOURCE = say("given by an engineer")
GIVEN = (
    Combination(say("given, uplift"), 0.0, 0.0, 1.0, "up", SOURCE, "given"),
    Combination(say("given, downward"), 0.0, 0.0, 1.0, "down", SOURCE, "given"),
)
"""Pressures from an engineer are design pressures already: nothing is added and nothing is factored."""


def given_pressures(loads: GivenLoads, roof: Roof, laid: LaidGiven | None) -> Pressures:
    """The pressures an engineer gave for one plane, used as given and said so.

    They are design values: nothing is added, nothing factored. Zones named as a figure of ASCE 7 names them lie where
    that figure lays them, if the site says enough of the building (``laid``); otherwise the most severe of each kind
    counts everywhere. Without pressures the result has none (``computed`` False): the job's own spans are then used.
    Errors: LoadsRefused where a given pressure has a wrong sign or no sensible size.
    """
    faults = [fault for index, g in enumerate(loads.pressures) for fault in _faults(index, g, roof)]
    if faults:
        raise LoadsRefused(say("{name} roof: the given pressures cannot be used", name=roof.name), faults)
    zone_map, by_zone, notes = _place(loads, roof, laid)
    return Pressures(
        standard="given",
        method=loads.method,
        own_unit="Pa",
        slope_deg=roof.slope_deg,
        wind=Wind(0.0, 1.0),
        snow=Snow(),
        dead_pa=0.0,
        zones=tuple(_zone(name, by_zone[name]) for name in zone_map.zones),
        zone_map=zone_map,
        combinations=GIVEN,
        service=GIVEN,
        fixed_area_m2=None,
        wind_steps=tuple(step for g in loads.pressures for step in _steps(g)),
        snow_steps=(),
        dead_steps=(),
        findings=tuple(notes),
        coefficient_symbol="p",
        computed=bool(loads.pressures),
    )


def _faults(index: int, given: GivenPressure, roof: Roof) -> list[Fault]:
    place = f"/site/loads/given/{index}"
    along = 0.0 if given.along_slope_pa is None else given.along_slope_pa
    values = (("uplift", given.uplift_pa), ("downward", given.downward_pa), ("along_slope", along))
    found = [
        Fault(
            f"{place}/{name}",
            say(
                "zone {zone}: {name} is {value}",
                zone=given.zone,
                name=name,
                value=figure(value, "g", " Pa", "pressure"),
            ),
            say("0 to {most}", most=figure(GREATEST_PA, "g", " Pa", "pressure")),
        )
        for name, value in values
        if not 0.0 <= value <= GREATEST_PA
    ]
    if given.along_slope_pa is None and roof.slope_deg > 0:
        missing = say(
            "zone {zone}: along_slope is missing; {name} roof slopes {slope_deg}",
            zone=given.zone,
            name=roof.name,
            slope_deg=figure(roof.slope_deg, "g", " deg", "angle"),
        )
        found.append(
            Fault(
                f"{place}/along_slope",
                missing,
                say("0 to {most}; left out only on slopes of 0 deg", most=figure(GREATEST_PA, "g", " Pa", "pressure")),
            )
        )
    return found


def _zeros(loads: GivenLoads, roof: Roof) -> list[Finding]:
    """Uplift or downward load of nothing: an error until somebody answers for it; nothing along a slope: a warning."""
    found: list[Finding] = []
    for given in loads.pressures:
        for aspect, kind, value in (
            ("uplift", say("uplift"), given.uplift_pa),
            ("downward", say("downward load"), given.downward_pa),
        ):
            if value == 0:
                place = Place(roof=roof.name, zone=given.zone, aspect=aspect)
                text = say(
                    "{where}: the given {kind} is 0, and almost every roof has some: please check it",
                    where=place,
                    kind=kind,
                )
                found.append(Finding("given_pressure_zero", "error", text, place, 0.0, say("above 0"), "Pa"))
        if given.along_slope_pa == 0 and roof.slope_deg > 0:
            place = Place(roof=roof.name, zone=given.zone, aspect="along_slope")
            text = say(
                "{where}: nothing is given along the slope of {slope}; at least the array's own weight acts there",
                where=place,
                slope=figure(roof.slope_deg, "g", " deg", "angle"),
            )
            found.append(Finding("given_along_slope_zero", "warning", text, place, 0.0, say("above 0"), "Pa"))
    return found


def _place(
    loads: GivenLoads, roof: Roof, laid: LaidGiven | None
) -> tuple[ZoneMap, dict[str, GivenPressure], list[Finding]]:
    """Where the given pressures act: each zone's own, or the most severe everywhere."""
    where = Place(roof=roof.name)
    outline = rectangle(0.0, 0.0, roof.eave_length_mm, roof.slope_length_mm)
    if not loads.pressures:
        nothing = GivenPressure(EVERYWHERE, 0.0, 0.0)
        return whole_plane(outline, EVERYWHERE), {EVERYWHERE: nothing}, []
    text = say(
        "{where}: design pressures given by an engineer are used as given; nothing is added or factored", where=where
    )
    notes = [Finding("loads_given", "note", text, where), *_zeros(loads, roof)]
    if laid is not None:
        text = say("{where}: the given zones are assumed to lie as in {figure}", where=where, figure=laid.figure)
        return laid.zone_map, laid.by_zone, [*notes, Finding("given_zones_placed", "note", text, where)]
    if len(loads.pressures) > 1:
        names = ", ".join(g.zone for g in loads.pressures)
        text = say(
            "{where}: pressures are given for zones {zones}, but not where these lie: the most severe is used "
            "everywhere",
            where=where,
            zones=names,
        )
        notes.append(Finding("given_zones_enveloped", "warning", text, where))
    return whole_plane(outline, EVERYWHERE), {EVERYWHERE: _most_severe(loads.pressures)}, notes


def _most_severe(given: tuple[GivenPressure, ...]) -> GivenPressure:
    return GivenPressure(
        EVERYWHERE,
        max(g.uplift_pa for g in given),
        max(g.downward_pa for g in given),
        max(g.along_slope_pa or 0.0 for g in given),
    )


def _zone(name: str, given: GivenPressure) -> Zone:
    def constant(value: float) -> tuple[Coefficient, ...]:
        return (Coefficient(given.zone, ((1.0, level(value)),), M2, "given", SOURCE),)

    return Zone(name, constant(-given.uplift_pa), constant(given.downward_pa), 0.0, given.along_slope_pa or 0.0)


def _steps(given: GivenPressure) -> tuple[Step, ...]:
    zone = say("zone {zone}", zone=zone_words(given.zone))
    return (
        Step(say("p uplift"), -given.uplift_pa, "N/m2", zone, SOURCE, "given"),
        Step(say("p downward"), given.downward_pa, "N/m2", zone, SOURCE, "given"),
        Step(say("p along"), given.along_slope_pa or 0.0, "N/m2", zone, SOURCE, "given"),
    )
