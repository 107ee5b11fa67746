"""Measured quantities in a table: a column for each system of units that the reader wants, every cell a plain number.

The first system's column keeps the quantity's key, the second's has ``ALSO`` behind it. A cell holds as many digits as
spreadsheets keep, so that what formulas make of it is what the engine makes of its kilograms and millimetres.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import ROUND_HALF_UP, Context, Decimal

from estimator.documents.language.formats import Formats
from estimator.documents.xlsx.looks import Look
from estimator.documents.xlsx.tables import Column
from estimator.units import FACTORS, Dimension, DisplayUnits, System, shown, systems_of

ALSO = "_also"
DIGITS = Context(prec=15)
"""Digits of a spreadsheet's numbers. Source: common practice (IEEE 754 double), no source."""
_LENGTHS: dict[System, str] = {"metric": "#,##0.0", "us": "#,##0.000"}


def unit_of(dimension: Dimension, system: System) -> str:
    """The unit's sign as a column's head names it.

    >>> unit_of("mass", "us"), unit_of("length", "metric")
    ('lb', 'mm')
    """
    return shown(1.0, dimension, system).unit


def in_unit(value: float | Decimal, dimension: Dimension, system: System) -> Decimal:
    """A quantity of the inside unit in a system's unit, to fifteen digits; in the inside unit itself as it is.

    >>> in_unit(0.1, "mass", "metric"), in_unit(25.4, "length", "us"), in_unit(1.0, "mass", "us")
    (Decimal('0.1'), Decimal('1'), Decimal('2.20462262184878'))
    """
    exact = value if isinstance(value, Decimal) else Decimal(repr(float(value)))
    factor = factor_of(dimension, system)
    return exact if factor == 1 else DIGITS.divide(exact, factor)


def factor_of(dimension: Dimension, system: System) -> Decimal:
    """How many of the inside unit a system's unit is, as formulas write it.

    >>> factor_of("mass", "us"), factor_of("mass", "metric")
    (Decimal('0.45359237'), Decimal('1'))
    """
    return Decimal(repr(FACTORS[dimension][unit_of(dimension, system)])).normalize()


def keys_of(key: str, units: DisplayUnits) -> tuple[tuple[str, System], ...]:
    """The keys of a quantity's columns, each with its system.

    >>> keys_of("mass", "us"), keys_of("mass", "metric_us")
    ((('mass', 'us'),), (('mass', 'metric'), ('mass_also', 'us')))
    """
    return tuple((key + ALSO * at, system) for at, system in enumerate(systems_of(units)))


def named_with(name: str, dimension: Dimension, system: System) -> str:
    """A quantity's name with a unit: in the place of the inside unit where the name has it, else in brackets behind it.

    >>> named_with("Mass of parts (kg)", "mass", "us"), named_with("Charge per kg", "mass", "us")
    ('Mass of parts (lb)', 'Charge per lb')
    >>> named_with("Mass", "mass", "metric")
    'Mass (kg)'
    """
    inside, unit = unit_of(dimension, "metric"), unit_of(dimension, system)
    swapped, found = re.subn(rf"\b{inside}\b(?!.*\b{inside}\b)", unit, name)
    return swapped if found else f"{name} ({unit})"


def measured_heads(key: str, name: str, dimension: Dimension, units: DisplayUnits) -> dict[str, str]:
    """The heads of a quantity's columns by key: its name and the unit.

    >>> measured_heads("mass", "Mass", "mass", "us_metric")
    {'mass': 'Mass (lb)', 'mass_also': 'Mass (kg)'}
    """
    return {each: named_with(name, dimension, system) for each, system in keys_of(key, units)}


def measured(
    key: str, value: float | Decimal | None, dimension: Dimension, units: DisplayUnits
) -> dict[str, Decimal | None]:
    """The content of a quantity's cells by key; nothing where it is not known."""
    return {each: None if value is None else in_unit(value, dimension, system) for each, system in keys_of(key, units)}


def measured_columns(
    key: str,
    heads: Mapping[str, str],
    units: DisplayUnits,
    width: float,
    look: Look | Mapping[System, Look],
    formula: Callable[[str], str] = lambda _: "",
) -> list[Column]:
    """A quantity's columns.

    Args:
        key: the first column's key.
        heads: the table's heads by key.
        units: what the reader wants.
        width: of each column, in characters.
        look: of the cells, by system where they differ.
        formula: from the end of a key ("" or ``ALSO``) to the formula of the column of that end.

    """
    return [
        Column(each, heads[each], width, look if isinstance(look, Look) else look[system], formula(each[len(key) :]))
        for each, system in keys_of(key, units)
    ]


def length_looks(look: Look) -> dict[System, Look]:
    """A look for lengths that numbers give: mm to a tenth, inches to a thousandth, which tell tenths of a mm apart."""
    return {system: replace(look, number_format=pattern) for system, pattern in _LENGTHS.items()}


def to_gram(mass: Decimal) -> Decimal:
    """A mass to the third place, halves up, as ROUND does."""
    return mass.quantize(Decimal("0.001"), ROUND_HALF_UP)


LENGTH_BASIS = "run_length"
"""The one count of a rule that is a length, in mm."""


def basis_factor(basis: str, formats: Formats) -> Decimal:
    """How many of the inside unit one of a count's unit is in the system shown first; 1 for what is counted."""
    return factor_of("length", formats.systems[0]) if basis == LENGTH_BASIS else Decimal(1)


def basis_figure(count: Decimal | int, basis: str, formats: Formats) -> Decimal | int:
    """A count as a cell holds it; a length in the unit of the system shown first."""
    factor = basis_factor(basis, formats)
    return count if factor == 1 else DIGITS.divide(Decimal(count), factor)


def basis_head(name: str, count: Decimal | int, basis: str, formats: Formats) -> str:
    """The name of what a rule counts; a length has its unit behind it, and what it is in the other system."""
    if basis != LENGTH_BASIS:
        return name
    first, *others = formats.systems
    texts = [unit_of("length", first)]
    texts += [f"{formats.decimal(in_unit(Decimal(count), 'length', s), 1)} {unit_of('length', s)}" for s in others]
    return f"{name} ({'; '.join(texts)})"


_FOOT_MM = Decimal("304.8")


def long_head(name: str, system: System) -> str:
    """The name of a length of many bars, which holds m: with the system's unit in its place.

    >>> long_head("Length bought (m)", "us"), long_head("Off-cuts kept, m", "metric")
    ('Length bought (ft)', 'Off-cuts kept, m')
    """
    return name if system == "metric" else re.sub(r"\bm\b(?!.*\bm\b)", "ft", name)


def long_figure(mm: Decimal, system: System) -> Decimal:
    """A length of many bars in metres or feet, to the second place.

    >>> long_figure(Decimal(6096), "us"), long_figure(Decimal(6096), "metric")
    (Decimal('20.00'), Decimal('6.10'))
    """
    return round(mm / (1000 if system == "metric" else _FOOT_MM), 2)
