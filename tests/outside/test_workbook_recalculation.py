"""Two spreadsheet programs recalculate the workbooks to the engine's cents, also after inputs were changed.

Sources: LibreOffice headless with recalculation forced; formualizer, a second and independent formula engine.
"""

import io
import re
import zipfile
from dataclasses import replace
from decimal import Decimal
from itertools import cycle

import pytest

from estimator.documents.workbook import write_workbook
from estimator.documents.workbook.write import drafted
from estimator.documents.workbook_reading import read_workbook
from estimator.job import Choices, Mounting, OffcutOnHand
from estimator.pricebook import Tax
from tests.builders import a_book, a_job
from tests.documents.quotes_to_write import (
    CONTINGENCY,
    DAY,
    HEAD,
    book_with_breaks,
    edited,
    entry_cell,
    named,
    named_cell,
    the_offer,
    the_workbook,
    two_roofs,
)
from tests.outside.spreadsheets import by_formualizer, by_libreoffice, differences, figures, formulas
from tests.searches import offer

ALL_TAXED = frozenset({"parts", "freight", "labour", "contingency"})
TOTALS = (
    "PartsTotal",
    "QuoteDiscount",
    "FreightTotal",
    "LabourTotal",
    "ContingencyTotal",
    "BeforeTax",
    "TaxTotal",
    "GrandTotal",
)
COSTS = ("CostTotal", "MarginAmount", "MarginShare", "PartsMass", "ShippedMass")


def sample(name):
    """Workbooks that between them use every kind of formula."""
    book = book_with_breaks()
    by_line = Tax("VAT", Decimal("0.19"), ALL_TAXED, "line")
    samples = {
        "margin": (two_roofs(), book, CONTINGENCY),
        "markup": (two_roofs(), replace(book, pricing_method="markup", pricing_rate=Decimal("0.37")), CONTINGENCY),
        "tax on each line": (
            two_roofs(),
            replace(book, tax=by_line),
            CONTINGENCY,
        ),
        "half to even": (two_roofs(), replace(book, rounding="half_even", price_places=2), CONTINGENCY),
        "yen": (two_roofs(), replace(book, currency="JPY", price_places=2), CONTINGENCY),
        "without freight or labour": (two_roofs(), book, replace(CONTINGENCY, freight=False, labour=False)),
        "without rails": (two_roofs(mounting=Mounting("direct", material="aluminium")), book, CONTINGENCY),
        "off-cuts from the yard": (a_job(), a_book(), Choices(offcuts=(OffcutOnHand("R-AL", 3300.0, Decimal("5")),))),
        "steel": (a_job(mounting=Mounting("rail_on_top", material="steel")), a_book(), Choices(margin=Decimal("0.18"))),
    }
    job, its_book, choices = samples[name]
    return offer(job, its_book, choices, DAY)


NAMES = (
    "margin",
    "markup",
    "tax on each line",
    "half to even",
    "yen",
    "without freight or labour",
    "without rails",
    "off-cuts from the yard",
    "steel",
)


def test_libreoffice_comes_to_the_engines_figures_in_every_cell(tmp_path):
    books = [write_workbook(sample(name), HEAD, edition) for name in NAMES for edition in ("estimator", "customer")]
    for book, recalculated in zip(books, by_libreoffice(books, tmp_path), strict=True):
        of = formulas(book)
        assert len(of) > 20
        assert differences(figures(book, of), figures(recalculated, of)) == []


@pytest.mark.parametrize("name", NAMES)
def test_a_second_engine_comes_to_the_engines_figures_in_every_cell(name):
    for edition in ("estimator", "customer"):
        book = write_workbook(sample(name), HEAD, edition)
        of = formulas(book)
        assert differences(figures(book, of), figures(by_formualizer(book), of)) == []


@pytest.mark.parametrize("language", ["de", "es", "fr"])
def test_a_workbook_in_another_language_recalculates_and_reads_back_alike(language):
    head = replace(HEAD, language=language)
    for edition in ("estimator", "customer"):
        book = write_workbook(the_offer(), head, edition)
        of = formulas(book)
        assert differences(figures(book, of), figures(by_formualizer(book), of)) == []
    margin = named_cell(write_workbook(the_offer(), head), "Margin")
    found = read_workbook(edited(write_workbook(the_offer(), head), {margin: 0.25}), the_offer(), head)
    assert [(each.field, each.new) for each in found.changes] == [("margin", Decimal("0.25"))]
    assert found.faults == ()


def changed_cells(which):
    """Contents for cells that may be changed."""
    adds = {"added_part": "J-1", "ordered": 7, "unit_price": 2.75, "line_discount": 0.05}
    changes = {
        "quantity over a break": {entry_cell("ordered", "SC-AL"): 1000},
        "quantity under a break": {entry_cell("ordered", "B-AL"): 75, entry_cell("ordered", "SC-AL"): 100},
        "prices and discounts": {
            entry_cell("unit_price", "B-AL"): 6.1234,
            entry_cell("line_discount", "N-1"): 0.125,
            entry_cell("discount"): 0.0775,
            entry_cell("contingency"): 0.031,
        },
        "a line struck": {entry_cell("struck", "CC-1"): "x", entry_cell("struck", "L-1"): "x"},
        "a line added": {entry_cell(field, added_row=3): value for field, value in adds.items()},
        "no freight": {entry_cell("freight"): "no"},
    }
    return changes[which]


CHANGES = (
    "quantity over a break",
    "quantity under a break",
    "prices and discounts",
    "a line struck",
    "a line added",
    "no freight",
)


def engine_again(content):
    """The engine run again with what was changed in the workbook."""
    choices = read_workbook(content, the_offer(), HEAD).applied(CONTINGENCY)
    return write_workbook(offer(two_roofs(), book_with_breaks(), choices, DAY), HEAD, "estimator")


def test_changed_inputs_recalculate_to_what_the_engine_makes_of_them(tmp_path):
    books = [edited(the_workbook(), changed_cells(which)) for which in CHANGES]
    for which, book, by_office in zip(CHANGES, books, by_libreoffice(books, tmp_path), strict=True):
        engine = named(engine_again(book), *TOTALS, *COSTS)
        assert named(by_office, *TOTALS, *COSTS) == pytest.approx(engine, abs=1e-9), which
        assert named(by_formualizer(book), *TOTALS, *COSTS) == pytest.approx(engine, abs=1e-9), which
        assert engine[7] != named(the_workbook(), "GrandTotal")[0], which


def test_labour_taken_out_recalculates_to_what_the_engine_makes_of_it():
    """Without rails, because a cut plan without labour for splices may buy other bars."""
    job, book = two_roofs(mounting=Mounting("direct", material="aluminium")), book_with_breaks()
    an_offer = offer(job, book, CONTINGENCY, DAY)
    cell = next(
        (each.sheet, each.cell) for each in drafted(an_offer, HEAD, "estimator").entries if each.field == "labour"
    )
    content = edited(write_workbook(an_offer, HEAD), {cell: "no"})
    choices = read_workbook(content, an_offer, HEAD).applied(CONTINGENCY)
    assert choices == replace(CONTINGENCY, labour=False)
    engine = write_workbook(offer(job, book, choices, DAY), HEAD)
    assert named(by_formualizer(content), *TOTALS, *COSTS) == pytest.approx(named(engine, *TOTALS, *COSTS), abs=1e-9)


def test_what_a_spreadsheet_program_saved_reads_back_as_the_same_changes(tmp_path):
    changes = {**changed_cells("prices and discounts"), **changed_cells("a line added")}
    book = edited(the_workbook(), changes)
    saved = by_libreoffice([book, the_workbook()], tmp_path)
    assert read_workbook(saved[0], the_offer(), HEAD) == read_workbook(book, the_offer(), HEAD)
    assert read_workbook(saved[0], the_offer(), HEAD).changes
    assert read_workbook(saved[1], the_offer(), HEAD).changes == ()


def test_a_spoilt_value_behind_a_formula_is_found(tmp_path):
    book = the_workbook()
    of = formulas(book)
    place = next(each for each, formula in of.items() if "SUM(" in formula)
    spoilt = dict(figures(book, of)) | {place: 777.77}
    assert len(differences(spoilt, figures(by_libreoffice([book], tmp_path)[0], of))) == 1
    assert len(differences(spoilt, figures(by_formualizer(book), of))) == 1


def test_spoilt_values_in_the_file_itself_do_not_survive_recalculation(tmp_path):
    """The control of the method: without forced recalculation, LibreOffice would hand the spoilt values back."""
    source, target = zipfile.ZipFile(io.BytesIO(the_workbook())), io.BytesIO()
    with zipfile.ZipFile(target, "w") as spoilt:
        for name in source.namelist():
            content = source.read(name)
            if name.startswith("xl/worksheets/sheet"):
                content = re.sub(rb"(</f><v>)[0-9.-]+(</v>)", rb"\g<1>777\g<2>", content)
            spoilt.writestr(name, content)
    of = formulas(the_workbook())
    right = figures(the_workbook(), of)
    assert len(differences(right, figures(target.getvalue(), of))) > 100
    assert differences(right, figures(by_libreoffice([target.getvalue()], tmp_path)[0], of)) == []
    assert differences(right, figures(by_formualizer(target.getvalue()), of)) == []


def test_a_group_whose_name_looks_like_a_rule_is_summed_as_a_name(tmp_path):
    names = cycle((">0", "*", "=1", "A?", "<>x"))
    book = book_with_breaks()
    grouped = replace(book, parts={key: replace(part, group=next(names)) for key, part in book.parts.items()})
    content = write_workbook(offer(two_roofs(), grouped, CONTINGENCY, DAY), HEAD)
    of = formulas(content)
    assert differences(figures(content, of), figures(by_formualizer(content), of)) == []
    assert differences(figures(content, of), figures(by_libreoffice([content], tmp_path)[0], of)) == []


def test_a_changed_margin_recalculates_to_what_the_engine_makes_of_it_for_the_same_bars(tmp_path):
    """Rails and splices stand at list prices here: priced by margin, another margin may lead to another cut plan."""
    book = book_with_breaks()
    parts = {
        key: replace(part, list_price=2 * part.cost) if part.role in {"rail", "splice", "expansion_splice"} else part
        for key, part in book.parts.items()
    }
    listed = replace(book, parts=parts)
    first = write_workbook(offer(two_roofs(), listed, CONTINGENCY, DAY), HEAD)
    again = write_workbook(offer(two_roofs(), listed, replace(CONTINGENCY, margin=Decimal("0.2345")), DAY), HEAD)
    changed = edited(first, {named_cell(first, "Margin"): 0.2345})
    engine = named(again, *TOTALS, *COSTS)
    assert named(by_libreoffice([changed], tmp_path)[0], *TOTALS, *COSTS) == pytest.approx(engine, abs=1e-9)
    assert named(by_formualizer(changed), *TOTALS, *COSTS) == pytest.approx(engine, abs=1e-9)
    assert engine != named(first, *TOTALS, *COSTS)
