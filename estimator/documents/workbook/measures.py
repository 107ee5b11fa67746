"""Measured quantities in a table: a column for each system of units that the reader wants, every cell a plain number.

The first system's column keeps the quantity's key, the second's has ``ALSO`` behind it. A cell holds as many digits as
spreadsheets keep, so that what formulas make of it is what the engine makes of its kilograms and millimetres.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from decimal import Context, Decimal

from estimator.documents.workbook.looks import Look
from estimator.documents.workbook.tables import Column
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


def measured_heads(key: str, name: str, dimension: Dimension, units: DisplayUnits) -> dict[str, str]:
    """The heads of a quantity's columns by key: its name and the unit.

    >>> measured_heads("mass", "Mass", "mass", "us_metric")
    {'mass': 'Mass (lb)', 'mass_also': 'Mass (kg)'}
    """
    return {each: f"{name} ({unit_of(dimension, system)})" for each, system in keys_of(key, units)}


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
