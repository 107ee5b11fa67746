"""Quantities at the edge: factors against pint, gauges against the printed tables, and what is refused."""

import math

import pint
import pytest

from estimator.contract.fault_codes import code_of
from estimator.errors import Fault
from estimator.units import (
    FACTORS,
    UnitFault,
    as_text,
    both_for,
    gauge_mm,
    parse,
    parse_sheet_thickness,
    shown,
    systems_of,
)
from tests.facts import facts

PINT = pint.UnitRegistry()
PINT_NAMES = {
    "in": "inch", "lb": "pound", "oz": "ounce", "lbf": "pound_force", "kip": "kip", "psf": "pound_force/foot**2",
    "psi": "psi", "ksi": "kip/inch**2", "N/m2": "N/m**2", "kN/m2": "kN/m**2", "N/mm2": "N/mm**2", "mph": "mile/hour",
    "km/h": "km/hour", "kg/m2": "kg/m**2", "mm4": "mm**4", "cm4": "cm**4", "in4": "inch**4", "mm3": "mm**3",
    "cm3": "cm**3", "in3": "inch**3", "mm2": "mm**2", "cm2": "cm**2", "m2": "m**2", "in2": "inch**2",
    "ft2": "foot**2", "lb/ft": "pound/foot", "lbf/ft": "pound_force/foot", "Nmm": "N*mm",
    "Nm": "N*m", "kNm": "kN*m", "lbfin": "pound_force*inch", "lbfft": "pound_force*foot",
    "t": "tonne", "deg": "degree", "rad": "radian", "K": "kelvin",
}  # fmt: skip
INSIDE = {
    "length": "mm", "mass": "kg", "force": "N", "pressure": "Pa", "strength": "N/mm**2", "speed": "m/s",
    "angle": "degree", "area_density": "kg/m**2", "power": "W", "moment_of_inertia": "mm**4",
    "section_modulus": "mm**3", "area": "mm**2", "mass_per_length": "kg/m", "temperature": "kelvin",
    "force_per_length": "N/m", "surface": "m**2", "moment": "N*mm",
}  # fmt: skip
PAIRS = [(dimension, unit) for dimension, units in FACTORS.items() for unit in units]


# Source: NIST SP 811 appendix B.8, as the pint library carries it.
@pytest.mark.parametrize(("dimension", "unit"), PAIRS)
def test_every_factor_agrees_with_pint(dimension, unit):
    name = "pound/foot**2" if (dimension, unit) == ("area_density", "psf") else PINT_NAMES.get(unit, unit)
    expected = PINT.Quantity(1, name).to(INSIDE[dimension]).magnitude
    assert math.isclose(FACTORS[dimension][unit], expected, rel_tol=1e-12)


# Source: Manufacturers' Standard Gauge for steel, printed inches (41.82 lb per square foot and inch).
@pytest.mark.parametrize(
    ("gauge", "inches"),
    [(18, 0.0478), (20, 0.0359), (22, 0.0299), (24, 0.0239), (26, 0.0179), (28, 0.0149), (29, 0.0135), (30, 0.0120)],
)
def test_a_steel_gauge_is_its_printed_thickness(gauge, inches):
    assert gauge_mm(gauge, "steel") == pytest.approx(inches * 25.4, abs=0.00005 * 25.4)


@pytest.mark.parametrize("gauge", [0, 5, 99])
def test_an_unknown_gauge_is_refused_with_what_is_allowed(gauge):
    with pytest.raises(UnitFault) as refused:
        gauge_mm(gauge, "steel")
    assert (facts(refused.value.message), refused.value.allowed) == ([str(gauge)], "16 to 30")


def test_aluminium_has_no_gauge_numbers():
    with pytest.raises(UnitFault) as refused:
        parse_sheet_thickness("26 ga", "aluminium")
    assert code_of(Fault("", refused.value.message)) == "wrong_material"


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("12 in", 304.8),
        ("4 ft", 1219.2),
        ("1 1/4 in", 31.75),
        ("3/4 in", 19.05),
        ("2.5 m", 2500.0),
        ("7", 7.0),
        (5, 5.0),
    ],
)
def test_a_length_is_read_as_the_trade_writes_it(text, mm):
    assert parse(text, "length") == mm


@pytest.mark.parametrize(
    "value",
    ["12 parsec", "NaN", "1e999 mm", "", "in", "1_000", "١٢ mm", "12 in; rm", float("nan"), float("inf"), None, True,
     "1/0 in", "--3 mm", "12 psf", 10**400, "9" * 41],
)  # fmt: skip
def test_what_is_no_length_is_refused_and_says_what_is_allowed(value):
    with pytest.raises(UnitFault) as refused:
        parse(value, "length")
    assert refused.value.allowed


def test_people_read_the_units_of_their_job():
    assert (shown(1200, "length", "metric").number, shown(1200, "length", "metric").unit) == (1200, "mm")
    assert shown(1675.80906431176, "pressure", "us").number == pytest.approx(35)


# Common practice, no source: roofs in the United States and its territories are measured in feet and inches.
@pytest.mark.parametrize(
    ("country", "first"),
    [("US", "us"), ("PR", "us"), ("us", "us"), ("CA", "metric"), ("GB", "metric"), ("", "metric")],
)
def test_of_both_systems_the_one_of_the_sites_country_stands_first(country, first):
    assert systems_of(both_for(country))[0] == first
    assert set(systems_of(both_for(country))) == {"metric", "us"}


@pytest.mark.parametrize(
    ("units", "text"),
    [("metric", "420 mm"), ("us", "16.54 in"), ("metric_us", "420 mm (16.54 in)"), ("us_metric", "16.54 in (420 mm)")],
)
def test_a_sentence_says_a_length_in_the_systems_asked_for(units, text):
    assert as_text(420.0, "length", units) == text


def test_what_is_the_same_in_both_systems_is_said_once():
    assert as_text(25.0, "angle", "metric_us") == "25 deg"
