"""Quantities at the edge: texts with a unit to mm, kg, N, Pa, degrees and m/s inside, and back for people.

Factors: NIST Special Publication 811, appendix B.8 (exact definitions of the inch, pound and standard gravity).
"""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from estimator.sentences import Figure, Sentence, Value, say

Dimension = Literal[
    "length",
    "mass",
    "force",
    "pressure",
    "strength",
    "speed",
    "angle",
    "area_density",
    "power",
    "moment_of_inertia",
    "section_modulus",
    "area",
    "mass_per_length",
    "force_per_length",
    "surface",
    "temperature",
    "moment",
]
System = Literal["metric", "us"]
SYSTEMS: tuple[System, ...] = ("metric", "us")
DisplayUnits = Literal["metric", "us", "metric_us", "us_metric"]
"""What a job's quantities are shown in; of the last two both, in that order."""
US_FIRST = frozenset({"US", "AS", "GU", "MP", "PR", "VI"})
"""Countries (ISO 3166-1) whose sites read feet, inches and pounds first. Source: common practice, no source."""
SaidDimension = Literal["length", "mass", "force", "pressure", "strength", "speed", "angle"]
"""The dimensions that sentences speak of."""
_SAID: tuple[SaidDimension, ...] = ("length", "mass", "force", "pressure", "strength", "speed")

LBF_N = 4.4482216152605
PSF_PA = LBF_N / 0.3048**2
PSI_PA = LBF_N / 0.0254**2

FACTORS: dict[Dimension, dict[str, float]] = {
    "length": {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8},
    "mass": {"kg": 1.0, "g": 0.001, "t": 1000.0, "lb": 0.45359237, "oz": 0.45359237 / 16},
    "force": {"N": 1.0, "kN": 1000.0, "lbf": LBF_N, "kip": 1000 * LBF_N},
    "pressure": {"Pa": 1.0, "kPa": 1000.0, "N/m2": 1.0, "kN/m2": 1000.0, "psf": PSF_PA, "psi": PSI_PA},
    "strength": {"MPa": 1.0, "N/mm2": 1.0, "Pa": 1e-6, "ksi": PSI_PA / 1000, "psi": PSI_PA / 1e6},
    "speed": {"m/s": 1.0, "km/h": 1 / 3.6, "mph": 0.44704},
    "angle": {"deg": 1.0, "rad": 180 / math.pi},
    "area_density": {"kg/m2": 1.0, "psf": 0.45359237 / 0.3048**2},
    "power": {"W": 1.0, "kW": 1000.0},
    "moment_of_inertia": {"mm4": 1.0, "cm4": 1e4, "in4": 25.4**4},
    "section_modulus": {"mm3": 1.0, "cm3": 1e3, "in3": 25.4**3},
    "area": {"mm2": 1.0, "cm2": 100.0, "m2": 1e6, "in2": 25.4**2, "ft2": 304.8**2},
    "mass_per_length": {"kg/m": 1.0, "lb/ft": 0.45359237 / 0.3048},
    "force_per_length": {"N/m": 1.0, "kN/m": 1000.0, "lbf/ft": LBF_N / 0.3048},
    "surface": {"m2": 1.0, "ft2": 0.3048**2},
    "temperature": {"K": 1.0},
    "moment": {"Nmm": 1.0, "Nm": 1000.0, "kNm": 1e6, "lbfin": LBF_N * 25.4, "lbfft": LBF_N * 304.8},
}

# Manufacturers' Standard Gauge for carbon steel sheet: ounces per square foot, at 41.82 lb per square foot and inch.
_STEEL_GAUGE_OZ: dict[int, float] = {
    16: 40,
    18: 32,
    20: 24,
    21: 22,
    22: 20,
    23: 18,
    24: 16,
    25: 14,
    26: 12,
    27: 11,
    28: 10,
    29: 9,
    30: 8,
}
_MSG_LB_PER_FT2_INCH = 41.82

_QUANTITY = re.compile(
    r"\s*(?P<number>[+-]?\d+\s+\d+/\d+|[+-]?\d+/\d+"
    r"|[+-]?\d+(?:\.\d+)?(?:[eE][+-]?\d{1,2})?|[+-]?\.\d+)\s*(?P<unit>[A-Za-z°%/0-9²³⁴]*)\s*\Z"
)
_SIGNS = str.maketrans("²³⁴", "234")


class UnitFault(ValueError):
    """A text that is not a number with one of the units allowed: what is wrong, and what is allowed instead."""

    def __init__(self, message: Sentence, allowed: str = "") -> None:
        super().__init__(f"{message}; allowed: {allowed}" if allowed else message)
        self.message, self.allowed = message, allowed


def gauge_mm(gauge: int, material: str) -> float:
    """Thickness of a sheet of that gauge, uncoated, in mm.

    Source: Manufacturers' Standard Gauge for steel: weight over 41.82 lb per square foot and inch.

    >>> round(gauge_mm(26, "steel"), 4)
    0.4555
    """
    if material != "steel":
        raise UnitFault(
            say("gauge numbers are for steel sheet only"),
            say("the thickness of {material} sheet in mm or in", material=material),
        )
    if gauge not in _STEEL_GAUGE_OZ:
        raise UnitFault(
            say("gauge {gauge} is not in the table", gauge=str(gauge)),
            say("{low} to {high}", low=str(min(_STEEL_GAUGE_OZ)), high=str(max(_STEEL_GAUGE_OZ))),
        )
    return _STEEL_GAUGE_OZ[gauge] / 16 / _MSG_LB_PER_FT2_INCH * 25.4


def units_of(dimension: Dimension) -> tuple[str, ...]:
    """The units of a dimension, the inside unit first."""
    return tuple(FACTORS[dimension])


def parse(value: object, dimension: Dimension, *, bare: str | None = None, into: str | None = None) -> float:
    """A number (in the inside unit, or in ``bare``), or a text of a number and a unit, to the inside unit.

    ``into`` names another unit to answer in.

    Fractions as the trade writes them are taken: "1 1/4 in". Errors: UnitFault, naming what is allowed.

    >>> parse("12 in", "length")
    304.8
    >>> parse("1 1/4 in", "length")
    31.75
    >>> round(parse("35 psf", "pressure"), 3), parse("115 mph", "speed", into="mph")
    (1675.809, 115.0)
    """
    if isinstance(value, bool) or value is None:
        raise UnitFault(say("not a quantity"), _allowed(dimension))
    if isinstance(value, (int, float)):
        if isinstance(value, float) and not math.isfinite(value):
            raise UnitFault(say("not a finite number"), _allowed(dimension))
        number, unit = Fraction(repr(value)) if into else Fraction(value), bare
    else:
        number, unit = _split(str(value), dimension)
        unit = unit or bare
    factor = 1.0 if not unit else FACTORS[dimension].get(unit)
    if factor is None:
        raise UnitFault(say("unit {unit} is not allowed here", unit=repr(unit)), _allowed(dimension))
    try:
        return float(number * Fraction(repr(factor)) / Fraction(repr(FACTORS[dimension][into] if into else 1.0)))
    except OverflowError as fault:
        raise UnitFault(say("the number is too large"), _allowed(dimension)) from fault


def _split(text: str, dimension: Dimension) -> tuple[Fraction, str | None]:
    if len(text) > 40 or not text.translate(_SIGNS).replace("°", "").isascii():
        raise UnitFault(say("not a number with a unit"), _allowed(dimension))
    match = _QUANTITY.match(text.translate(_SIGNS))
    if match is None:
        raise UnitFault(say("{text} is not a number with a unit", text=repr(text)), _allowed(dimension))
    unit = match["unit"].replace("°", "deg") or None
    try:
        return sum((Fraction(part) for part in match["number"].split()), Fraction(0)), unit
    except (ValueError, ZeroDivisionError, OverflowError) as fault:
        raise UnitFault(say("{text} is not a number", text=repr(text)), _allowed(dimension)) from fault


def parse_sheet_thickness(value: object, material: str, *, bare: str | None = None) -> float:
    """Like ``parse`` for lengths, and "26 ga" of the sheet's material besides; mm.

    >>> round(parse_sheet_thickness("26 ga", "steel"), 3)
    0.456
    """
    if isinstance(value, str):
        match = re.fullmatch(r"\s*(\d{1,2})\s*ga\s*", value)
        if match:
            return gauge_mm(int(match[1]), material)
    return parse(value, "length", bare=bare)


def _allowed(dimension: Dimension) -> str:
    names = units_of(dimension)
    return say("a number ({unit}) or a number and one of {units}", unit=names[0], units=", ".join(names))


@dataclass(frozen=True, slots=True)
class Shown:
    """A quantity as people read it: the number in that unit, and the unit's sign."""

    number: float
    unit: str


_SHOWN_US: dict[Dimension, str] = {
    "length": "in",
    "mass": "lb",
    "force": "lbf",
    "pressure": "psf",
    "strength": "ksi",
    "speed": "mph",
    "area_density": "psf",
    "moment_of_inertia": "in4",
    "section_modulus": "in3",
    "area": "in2",
    "mass_per_length": "lb/ft",
    "force_per_length": "lbf/ft",
    "surface": "ft2",
}


def both_for(country: str) -> DisplayUnits:
    """Both systems side by side, the one first that people at a site in that country use.

    >>> both_for("US"), both_for("CA"), both_for("")
    ('us_metric', 'metric_us', 'metric_us')
    """
    return "us_metric" if country.upper() in US_FIRST else "metric_us"


def units_for_all(asked: Collection[DisplayUnits], country: str) -> DisplayUnits:
    """What readers of several units all read: theirs where they are the same, else both systems, by country.

    >>> [units_for_all(asked, "US") for asked in (["us", "us"], ["us", "metric"], ["us", "metric_us"])]
    ['us', 'us_metric', 'metric_us']
    """
    if len(set(asked)) == 1:
        return next(iter(asked))
    return min((units for units in asked if len(systems_of(units)) > 1), default=both_for(country))


def systems_of(units: DisplayUnits) -> tuple[System, ...]:
    """The systems that units stand for, in the order they are shown.

    >>> systems_of("us"), systems_of("us_metric")
    (('us',), ('us', 'metric'))
    """
    both: dict[str, tuple[System, ...]] = {"metric_us": ("metric", "us"), "us_metric": ("us", "metric")}
    return both.get(units) or (("us",) if units == "us" else ("metric",))


def shown(value: float, dimension: Dimension, units: System) -> Shown:
    """A quantity of the inside unit in one system's unit.

    >>> shown(304.8, "length", "us")
    Shown(number=12.0, unit='in')
    """
    unit = _SHOWN_US.get(dimension) if units == "us" else None
    unit = unit or next(iter(FACTORS[dimension]))
    return Shown(round(value / FACTORS[dimension][unit], 9), unit)


def as_text(value: float, dimension: SaidDimension, units: DisplayUnits) -> Figure:
    """A quantity as a sentence says it: millimetres to a tenth, everything else to two places, no needless zeros.

    Of both systems the second stands in brackets, unless it says the same.

    >>> as_text(304.8, "length", "us"), as_text(420.0, "length", "metric"), as_text(420.0, "length", "metric_us")
    ('12 in', '420 mm', '420 mm (16.54 in)')
    """
    text = side_by_side([_in_system(value, dimension, system) for system in systems_of(units)])
    return Figure(text, value, dimension)


def in_units(sentence: Sentence, units: DisplayUnits) -> Sentence:
    """A sentence with its lengths, masses, forces, pressures and speeds as readers of those units have them.

    >>> from estimator.sentences import figure, say
    >>> in_units(say("found {gap}", gap=figure(25.4, "g", " mm", "length")), "us")
    'found 1 in'
    """
    if units == "metric" or not isinstance(sentence, Sentence):
        return sentence
    return Sentence(sentence.template, ((name, _in_units(value, units)) for name, value in sentence.values))


def _in_units(value: Value, units: DisplayUnits) -> Value:
    if isinstance(value, Sentence):
        return in_units(value, units)
    if isinstance(value, Figure) and isinstance(value.value, float | int):
        for dimension in _SAID:
            if value.measures == dimension:
                return as_text(float(value.value), dimension, units)
    return value


def side_by_side(texts: Sequence[str], apart: str = " ") -> str:
    """One quantity said in one or two systems, the second in brackets unless it is the same.

    >>> side_by_side(["25 deg", "25 deg"]), side_by_side(["1 in", "25 mm"])
    ('25 deg', '1 in (25 mm)')
    """
    return texts[0] if len(texts) == 1 or texts[0] == texts[1] else f"{texts[0]}{apart}({texts[1]})"


def _in_system(value: float, dimension: Dimension, system: System) -> str:
    quantity = shown(value, dimension, system)
    number = f"{quantity.number:.{1 if quantity.unit == 'mm' else 2}f}".rstrip("0").rstrip(".")
    return f"{'0' if number == '-0' else number} {quantity.unit}"
