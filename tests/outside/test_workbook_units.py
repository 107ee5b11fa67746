"""Workbooks in feet and pounds, and in both systems: two spreadsheet programs come to the engine's own figures.

Sources: LibreOffice headless with recalculation forced; formualizer, a second engine. Factors: NIST SP 811, B.8.
"""

import io
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

import openpyxl
import pytest

from estimator.contract.answers.offer.offer import offer_entry
from estimator.documents.language.lengths import feet_and_inches, whole_mm
from estimator.documents.language.texts import reader_for
from estimator.documents.sawing.pieces import sawn_pieces
from estimator.documents.workbook import write_workbook
from estimator.documents.workbook_reading import read_workbook
from estimator.documents.xlsx.numbers.measures import named_with
from estimator.pricebook import AssemblyRule, Condition, FreightRate, LabourActivity
from tests.documents.offers import an_offer as an_offer_named
from tests.documents.offers import with_estimate
from tests.documents.quotes_to_write import (
    CONTINGENCY,
    DAY,
    HEAD,
    book_with_breaks,
    edited,
    entry_cell,
    named,
    two_roofs,
)
from tests.outside.spreadsheets import by_formualizer, by_libreoffice, differences, figures, formulas
from tests.searches import offer

LB_KG = 0.45359237
UNITS = ("us", "metric_us", "us_metric")
TOTALS = ("PartsTotal", "FreightTotal", "GrandTotal", "PartsMass", "PackagingMass", "ShippedMass", "FreightRow")


@lru_cache(maxsize=16)
def an_offer(units, **changes):
    return offer(two_roofs(display_units=units, **changes), book_with_breaks(), CONTINGENCY, DAY)


@lru_cache(maxsize=16)
def a_workbook(units, edition="estimator"):
    return write_workbook(an_offer(units), HEAD, edition)


def rows_of(book, table):
    """The rows of a table by head."""
    for sheet in openpyxl.load_workbook(io.BytesIO(book), data_only=True):
        if table in sheet.tables:
            heads, *rows = ([cell.value for cell in row] for row in sheet[sheet.tables[table].ref])
            return [dict(zip(heads, row, strict=True)) for row in rows]
    raise AssertionError(table)


def loaded(units):
    """An offer whose loads are computed, so that its workbook has the sheet of loads."""
    base = an_offer_named("loaded")
    return with_estimate(base, job=replace(base.estimate.job, display_units=units))


CHANGES = {
    "over a break": {("ordered", "SC-AL", None): 1000},
    "a line struck": {("struck", "CC-1", None): "x"},
    "a line added": {("added_part", "", 3): "J-1", ("ordered", "", 3): 7, ("unit_price", "", 3): 2.75},
}


@lru_cache(maxsize=16)
def changed_book(units, change):
    """The cells to be filled in stand where they stand in a metric workbook."""
    return edited(a_workbook(units), {entry_cell(*place): value for place, value in CHANGES[change].items()})


@pytest.fixture(scope="module")
def by_office(tmp_path_factory):
    """Every workbook of this file as LibreOffice recalculates it, all in one call."""
    books = {(units, edition): a_workbook(units, edition) for units in UNITS for edition in ("estimator", "customer")}
    books |= {(units, change): changed_book(units, change) for units in UNITS for change in CHANGES}
    saved = by_libreoffice(list(books.values()), tmp_path_factory.mktemp("office"))
    return dict(zip(books, saved, strict=True))


@pytest.mark.parametrize("edition", ["estimator", "customer"])
def test_every_cell_is_what_two_programs_make_of_its_formula(edition, by_office):
    for units in UNITS:
        book = a_workbook(units, edition)
        of = formulas(book)
        assert len(of) > 20
        assert differences(figures(book, of), figures(by_office[units, edition], of)) == []
        assert differences(figures(book, of), figures(by_formualizer(book), of)) == []


@pytest.mark.parametrize("units", UNITS)
def test_masses_are_the_answers_own_in_the_jobs_units(units):
    entry = offer_entry(an_offer(units), costs=True)
    rows = rows_of(a_workbook(units), "Takeoff")
    for line, row in zip(entry["lines"], rows, strict=True):
        assert row["Mass (lb)"] == pytest.approx(line["mass"] / LB_KG, rel=1e-13)
        assert row["Unit mass (lb)"] == pytest.approx(line["unit_mass"] / LB_KG, rel=1e-13)
        assert row.get("Mass (kg)", line["mass"]) == pytest.approx(line["mass"], rel=1e-13)
        assert ("Mass (kg)" in row) == (units != "us")
    (shipped,) = named(a_workbook(units), "ShippedMass")
    assert shipped == pytest.approx(entry["freight"]["mass"] / (LB_KG if units == "us" else 1), rel=1e-13)


@pytest.mark.parametrize("units", UNITS)
def test_the_system_of_the_site_has_the_column_before_the_other(units):
    heads = list(rows_of(a_workbook(units), "Takeoff")[0])
    masses = [head for head in heads if head.startswith("Mass (")]
    assert (
        masses
        == {
            "us": ["Mass (lb)"],
            "metric_us": ["Mass (kg)", "Mass (lb)"],
            "us_metric": ["Mass (lb)", "Mass (kg)"],
        }[units]
    )


@pytest.mark.parametrize("units", UNITS)
def test_changed_inputs_recalculate_to_what_the_engine_makes_of_them(units, by_office):
    for change in CHANGES:
        book = changed_book(units, change)
        found = read_workbook(book, an_offer(units), HEAD)
        assert found.changes
        assert found.faults == ()
        job = two_roofs(display_units=units)
        again = write_workbook(offer(job, book_with_breaks(), found.applied(CONTINGENCY), DAY), HEAD)
        engine = named(again, *TOTALS)
        assert named(by_office[units, change], *TOTALS) == pytest.approx(engine, abs=1e-8)
        assert named(by_formualizer(book), *TOTALS) == pytest.approx(engine, abs=1e-8)


@pytest.mark.parametrize("units", UNITS)
def test_a_figure_that_the_pricebook_holds_is_still_not_taken(units):
    book = openpyxl.load_workbook(io.BytesIO(a_workbook(units)))
    sheet, cell = next(iter(book.defined_names["TaxRate"].destinations))
    found = read_workbook(edited(a_workbook(units), {(sheet, cell.replace("$", "")): 0.01}), an_offer(units), HEAD)
    assert [each.name for each in found.not_taken] == ["TaxRate"]
    moved = edited(a_workbook(units), {("Pricing", "B5"): "another part"})
    assert read_workbook(moved, an_offer(units), HEAD).faults


@pytest.mark.parametrize("units", UNITS)
def test_a_mass_at_the_very_step_of_the_freight_table_takes_that_step(units):
    """Pounds hold no kilogram roundly: the step at the shipped mass itself must be found all the same."""
    base = an_offer(units)
    mass, zone = base.estimate.freight.mass_kg, base.estimate.freight.zone
    book = book_with_breaks()
    rates = [each for each in book.freight if each.zone != zone]
    steps = [
        FreightRate(zone, kg, each.base, each.per_kg)
        for kg, each in zip((0.0, mass, mass + 0.001), book.freight * 3, strict=False)
    ]
    made = offer(two_roofs(display_units=units), replace(book, freight=(*rates, *steps)), CONTINGENCY, DAY)
    workbook = write_workbook(made, HEAD)
    assert named(workbook, "FreightRow") == [2]
    again = by_formualizer(workbook)
    assert named(again, "FreightRow", "FreightCharge") == named(workbook, "FreightRow", "FreightCharge")


@pytest.mark.parametrize("units", UNITS)
def test_the_saw_list_has_every_piece_in_the_jobs_units(units):
    pieces = list(sawn_pieces(an_offer(units).estimate.cut_plan))
    rows = rows_of(a_workbook(units), "SawList")
    assert len(rows) == len(pieces)
    for piece, row in zip(pieces, rows, strict=True):
        assert row["Piece (in)"] * 25.4 == pytest.approx(piece.length_mm, abs=1e-9)
        assert row["Left over (in)"] * 25.4 == pytest.approx(piece.offcut_mm, abs=1e-9)
        assert row.get("Piece (mm)", piece.length_mm) == piece.length_mm


@pytest.mark.parametrize("units", ["metric_us", "us_metric"])
def test_the_crews_sheet_has_a_column_for_either_tape(units):
    estimate = an_offer(units).estimate
    for run, row in zip(estimate.setting_out.runs, rows_of(a_workbook(units), "SettingOut"), strict=True):
        assert row["Length (mm)"] == f"{whole_mm(run.length_mm):,}"
        assert row["Length (ft in)"] == feet_and_inches(run.length_mm)
        places = [run.start_x + each for each in run.attachments_mm]
        assert row["Places from the roof’s edge (ft in)"] == "; ".join(map(feet_and_inches, places))


@pytest.mark.parametrize("units", UNITS)
def test_the_loads_stand_in_the_jobs_units(units):
    made = loaded(units)
    sheet = openpyxl.load_workbook(io.BytesIO(write_workbook(made, HEAD)), data_only=True)["Loads"]
    zones = made.estimate.loads.roofs[0].sheet.zones
    heads = [[cell.value for cell in sheet[row]] for row in (5, 7 + len(zones))]
    first = [[cell.value for cell in sheet[row]] for row in (6, 8 + len(zones))]
    held = {head: value for at in (0, 1) for head, value in zip(heads[at], first[at], strict=True)}
    assert held["Uplift (psf)"] == pytest.approx(zones[0].uplift.pa / 47.88025898, abs=0.005)
    assert ("Uplift (Pa)" in held) == (units != "us")
    if units != "us":
        assert held["Uplift (Pa)"] == pytest.approx(zones[0].uplift.pa, abs=0.05)
        assert heads[0][1] == ("Uplift (psf)" if units == "us_metric" else "Uplift (Pa)")
        rows = {row["Symbol"]: row for row in rows_of(write_workbook(made, HEAD), "Loads")}
        assert rows["V"]["Unit other system"] == "m/s"
        assert rows["V"]["Value other system"] == pytest.approx(rows["V"]["Value"] * 0.44704)


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
@pytest.mark.parametrize(
    "name", ["Unit mass (kg)", "Mass (kg)", "From mass (kg)", "Charge per kg", "Shipped mass (kg)"]
)
def test_a_head_names_pounds_where_it_named_kilograms_in_every_language(language, name):
    text = named_with(reader_for(language, "", "us").texts.t(name), "mass", "us")
    assert "lb" in text.replace("(", " ").replace(")", " ").split()
    assert "kg" not in text


@pytest.mark.parametrize("units", ["metric", *UNITS])
def test_what_a_rule_counts_by_length_stands_in_the_jobs_units(units):
    """Rail carried at 6 minutes for each 10 m, and a label for each 1500 mm of rail, whatever the unit shown."""
    book = book_with_breaks()
    carried = LabourActivity("carry", "carry rail", Decimal(6), "run_length", 10_000, Condition())
    label = AssemblyRule("labels along the rail", "L-1", "", Fraction(1), "run_length", 1500, Condition())
    book = replace(book, labour=(*book.labour, carried), rules=(*book.rules, label))
    made = offer(two_roofs(display_units=units), book, CONTINGENCY, DAY)
    workbook = write_workbook(made, HEAD)
    length = made.estimate.counts.counts.run_length
    hours = round(Decimal(repr(round(length, 1))) * 6 / 10_000 / 60, 2)
    row = next(each for each in rows_of(workbook, "Labour") if each["Activity"] == "carry")
    rule = next(each for each in rows_of(workbook, "Derivation") if each["Rule"] == "labels along the rail")
    unit, factor = ("in", 25.4) if units.startswith("us") else ("mm", 1.0)
    assert Decimal(str(row["Hours"])) == hours
    for each in (row, rule):
        assert each["for each"].startswith(f"run length ({unit}")
    assert row["Count"] * factor == pytest.approx(length, abs=0.06)
    assert rule["per"] * factor == pytest.approx(1500)
    of = formulas(workbook)
    assert differences(figures(workbook, of), figures(by_formualizer(workbook), of)) == []
