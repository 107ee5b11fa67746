"""Values that can be computed with but are unlikely to be meant: a number in another unit, or a typing error.

A bare number is in the inside unit (mm, kg, Pa, m/s). Where it lies outside what is usual and would lie inside if it
were meant in another unit of its kind, that unit is named. Ranges: common practice, no source; they warn, nothing more.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from estimator.errors import Finding
from estimator.job import Job, Module, Roof
from estimator.places import Place
from estimator.sentences import Sentence, figure, joined, say
from estimator.site_loads import AsceLoads, EnLoads, GivenLoads, Loads
from estimator.units import FACTORS, Dimension, DisplayUnits, SaidDimension, as_text

Range = tuple[float, float]

MODULE_MASS_KG_M2: Range = (6.0, 25.0)
"""Mass of a module over its area: thin glassless ones about 6, glass on both sides with a frame up to about 16."""
STEEPEST_USUAL_DEG = 45.0
MOST_UNITS = 2


@dataclass(frozen=True, slots=True)
class Value:
    """A value of the job in the inside unit, what it is, where it stands, and the range that is usual."""

    what: Sentence
    value: float | None
    dimension: SaidDimension
    usual: Range
    place: Place
    zero_is_usual: bool = False

    @property
    def is_usual(self) -> bool:
        """Whether there is nothing to say."""
        if self.value is None or (self.zero_is_usual and self.value == 0):
            return True
        return self.usual[0] <= self.value <= self.usual[1]


def implausible(job: Job) -> tuple[Finding, ...]:
    """A warning for every value of a job that is unlikely, each naming the unit in which it would make sense."""
    values = [*_of_module(job.module), *_of_loads(job.site.loads)]
    for roof in job.roofs:
        values += _of_roof(roof)
    found = [_unusual(each, job.display_units) for each in values if not each.is_usual]
    return (*found, *_mass_of_area(job.module), *_steep(job))


def meant_in(value: float, dimension: Dimension, usual: Range) -> tuple[str, ...]:
    """The units in which a bare number would be a usual value; none for a number with many digits, no one's bare input.

    >>> meant_in(30.0, "pressure", (100.0, 25_000.0)), meant_in(63.0, "mass", (8.0, 45.0))
    (('psf',), ('lb',))
    >>> meant_in(101.6, "length", (80.0, 1200.0))
    ()
    """
    if float(f"{value:.3g}") != value:
        return ()
    units = [unit for unit, factor in FACTORS[dimension].items() if usual[0] <= value * factor <= usual[1]]
    return tuple(units[:MOST_UNITS]) if not usual[0] <= value <= usual[1] else ()


def _unusual(each: Value, units: DisplayUnits) -> Finding:
    value = each.value or 0.0
    inside = next(iter(FACTORS[each.dimension]))
    others = meant_in(value, each.dimension, each.usual)
    if others:
        text = say(
            "{what} is {found}: {others}. Give the number with its unit",
            what=each.what,
            found=f"{value:g} {inside}",
            others=joined("; ", (_other(value, inside, unit, each.dimension) for unit in others)),
        )
    else:
        low, high = (as_text(edge, each.dimension, units) for edge in each.usual)
        text = say(
            "{what} is {found}; usual values are {low} to {high}: please check it",
            what=each.what,
            found=as_text(value, each.dimension, units),
            low=low,
            high=high,
        )
    return Finding("value_implausible", "warning", text, each.place, value, None, inside)


def _other(value: float, inside: str, unit: str, dimension: Dimension) -> Sentence:
    factor = FACTORS[dimension][unit]
    return say(
        "that is {same}, and {other} would be {meant}",
        same=f"{value / factor:.3g} {unit}",
        other=f"{value:g} {unit}",
        meant=f"{value * factor:.4g} {inside}",
    )


def _at(aspect: str, roof: str = "") -> Place:
    return Place(roof=roof, aspect=aspect) if roof else Place(subject="mounting", aspect=aspect)


def _of_module(module: Module) -> Iterator[Value]:
    yield Value(say("the module's length"), module.length_mm, "length", (500.0, 2600.0), _at("module_length"))
    yield Value(say("the module's width"), module.width_mm, "length", (300.0, 1500.0), _at("module_width"))
    yield Value(say("the module's thickness"), module.thickness_mm, "length", (4.0, 60.0), _at("module_thickness"))
    yield Value(say("the module's mass"), module.mass_kg, "mass", (5.0, 45.0), _at("module_mass"))
    rated = (500.0, 20_000.0)
    yield Value(say("the module's rated uplift"), module.rated_uplift_pa, "pressure", rated, _at("rated_uplift"))
    yield Value(
        say("the module's rated downward load"), module.rated_downward_pa, "pressure", rated, _at("rated_downward")
    )


def _of_roof(roof: Roof) -> Iterator[Value]:
    ribs, sheet, strong = roof.ribs, roof.sheet, say("the sheet's ultimate strength")
    rows: tuple[tuple[Sentence, float | None, SaidDimension, Range, str], ...] = (
        (say("the roof's length along the eave"), roof.eave_length_mm, "length", (2e3, 1e6), "eave_length"),
        (say("the roof's length up the slope"), roof.slope_length_mm, "length", (1e3, 2e5), "slope_length"),
        (say("the ribs' spacing"), ribs.spacing_mm, "length", (80.0, 1200.0), "rib_spacing"),
        (say("the ribs' height"), ribs.height_mm, "length", (10.0, 210.0), "rib_height"),
        (say("the sheet's thickness"), sheet.thickness_mm, "length", (0.3, 2.0), "sheet_thickness"),
        (strong, sheet.ultimate_strength_mpa, "strength", (100.0, 1e3), "ultimate_strength"),
        (say("the sheet's yield strength"), sheet.yield_strength_mpa, "strength", (80.0, 1e3), "yield_strength"),
    )
    for what, value, dimension, usual, aspect in rows:
        yield Value(what, value, dimension, usual, _at(aspect, roof.name))


def _of_loads(loads: Loads) -> Iterator[Value]:
    def at(aspect: str, zone: str = "") -> Place:
        return Place(subject="loads", aspect=aspect, zone=zone)

    if isinstance(loads, GivenLoads):
        for each in loads.pressures:
            for what, pa, aspect in (
                (say("the given uplift"), each.uplift_pa, "given_uplift"),
                (say("the given downward load"), each.downward_pa, "given_downward"),
            ):
                yield Value(what, pa, "pressure", (100.0, 15_000.0), at(aspect, each.zone), zero_is_usual=True)
        return
    snow = (100.0, 15_000.0)
    yield Value(say("ground snow"), loads.ground_snow_pa, "pressure", snow, at("ground_snow"), zero_is_usual=True)
    yield Value(
        say("the mean roof height"),
        loads.building.mean_roof_height_mm,
        "length",
        (2_500.0, 60_000.0),
        at("mean_roof_height"),
    )
    if isinstance(loads, EnLoads):
        yield Value(say("the wind speed"), loads.wind_speed_m_s, "speed", (18.0, 45.0), at("wind_speed"))
    if isinstance(loads, AsceLoads) and loads.wind_speed_mph is not None:
        m_s = round(loads.wind_speed_mph * FACTORS["speed"]["mph"], 9)
        yield Value(say("the wind speed"), m_s, "speed", (38.0, 90.0), at("wind_speed"))


def _mass_of_area(module: Module) -> Iterator[Finding]:
    """The mass against the area: a slip in one of them that each alone does not show."""
    over = module.mass_kg / (module.length_mm * module.width_mm / 1e6)
    low, high = MODULE_MASS_KG_M2
    if low <= over <= high:
        return
    text = say(
        "module {module} weighs {found} for its area; usual values are {low} to {high}: please check mass and size",
        module=module.name,
        found=figure(over, ".1f", " kg/m2"),
        low=figure(low, "g"),
        high=figure(high, "g", " kg/m2"),
    )
    yield Finding("module_mass_of_area", "warning", text, _at("module_mass_of_area"), round(over, 2), None, "kg/m2")


def _steep(job: Job) -> Iterator[Finding]:
    for roof in job.roofs:
        if roof.slope_deg > STEEPEST_USUAL_DEG:
            text = say(
                "{where}: slope {slope} is at the edge of what coefficients, clamps and people on a roof can "
                "take: please check it",
                where=Place(roof=roof.name),
                slope=figure(roof.slope_deg, "g", " deg", "angle"),
            )
            yield Finding(
                "slope_steep", "warning", text, _at("slope", roof.name), roof.slope_deg, STEEPEST_USUAL_DEG, "deg"
            )
