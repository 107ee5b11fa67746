"""Both systems of units on paper: each length and mass in mm or kg and in feet or pounds, nothing over anything else.

Expected lengths: exact inch of 25.4 mm (NIST SP 811), to 1/16 in.
"""

import io
import re
from dataclasses import replace
from itertools import pairwise
from types import SimpleNamespace

import ezdxf
import openpyxl
import pytest
from lxml import etree

from estimator.comparison.records import Offer
from estimator.documents.calculation.pdf import write_calculation
from estimator.documents.drawing.annotations import annotate
from estimator.documents.drawing.labels import width_of
from estimator.documents.drawing.plan import plans_of
from estimator.documents.language.lengths import feet_and_inches, whole_mm
from estimator.documents.language.texts import reader_for
from estimator.documents.order.pdf import write_order_pdf
from estimator.documents.order.workbook import write_order_workbook
from estimator.documents.order_saw_list.pdf import write_order_saw_list
from estimator.documents.order_saw_list.workbook import write_order_saw_workbook
from estimator.documents.packing.pdf import write_packing_list
from estimator.documents.packing.workbook import write_packing_workbook
from estimator.documents.plan.dxf import write_plan_dxf
from estimator.documents.plan.svg import write_plan_svg
from estimator.documents.quote.pdf import write_quote
from estimator.documents.saw_list.pdf import write_saw_list
from estimator.documents.setting_out.lines import setting_out_of
from estimator.documents.setting_out.pdf import write_setting_out
from estimator.orders import cut_together, make_order_lists
from tests.documents.offers import a_header, an_offer, with_estimate
from tests.documents.order_examples import HEADER, an_order, with_lines
from tests.documents.pdf_reading import text
from tests.orders.order_builders import TODAY, a_rail_quote
from tests.outside.spreadsheets import by_formualizer, by_libreoffice, differences, figures, formulas

BOTH = ("metric_us", "us_metric")


def shown_in(units: str, name: str = "long") -> Offer:
    base = an_offer(name)
    return with_estimate(base, job=replace(base.estimate.job, display_units=units))


def said(mm: float, units: str) -> str:
    metric, us = f"{whole_mm(mm):,} mm", feet_and_inches(mm)
    return f"{metric} ({us})" if units == "metric_us" else f"{us} ({metric})"


@pytest.mark.parametrize("units", BOTH)
@pytest.mark.parametrize("name", ["long", "along", "direct"])
def test_the_crew_reads_every_bracket_in_both_systems(units, name):
    offer = shown_in(units, name)
    printed = text(write_setting_out(offer, a_header()))
    for roof in setting_out_of(offer.estimate):
        for group in roof.groups:
            for bracket in group.brackets:
                assert said(bracket.from_edge_mm, units) in printed
            for line in group.lines:
                assert said(line.at_mm, units) in printed


@pytest.mark.parametrize("units", BOTH)
def test_a_dimension_has_one_system_on_its_line_and_the_other_below_it(units):
    reader = reader_for("en", "US", units)
    (plan, *_) = plans_of(shown_in(units).estimate)
    labels = {label.text.replace("\u00a0", " "): label for label in annotate(plan, 100.0, reader).labels}
    first, second = said(plan.width_mm, units).rstrip(")").split(" (")
    above, below = labels[first], labels[f"({second})"]
    assert above.x == below.x
    assert above.y > below.y
    assert not above.turned


@pytest.mark.parametrize("units", ["metric", "us", *BOTH])
@pytest.mark.parametrize("paper", [50.0, 100.0, 130.0])
def test_no_dimension_stands_over_another_or_past_the_roof(units, paper):
    reader = reader_for("en", "US", units)
    plans = [*plans_of(an_offer("long").estimate), *plans_of(an_offer("plain").estimate)]
    for plan in plans:
        for turned in (False, True):
            texts = [
                t
                for t in annotate(plan, paper, reader).labels
                if t.turned == turned and t.text.strip("()")[0] in "0123456789"
            ]
            rows: dict[float, list[tuple[float, float]]] = {}
            for label in texts:
                along, across = (label.y, label.x) if turned else (label.x, label.y)
                half = width_of(label.text) / 2 * paper
                rows.setdefault(round(across, 3), []).append((along - half, along + half))
            assert texts
            for row in rows.values():
                assert all(left[1] <= right[0] for left, right in pairwise(sorted(row)))
            if len(reader.formats.systems) > 1:
                gaps = [abs(high - low) for low, high in pairwise(sorted(rows))]
                assert min(gaps) >= 2.1 * paper


@pytest.mark.parametrize("units", BOTH)
def test_the_drawing_shows_both_and_the_cad_file_its_own_millimetres(units):
    offer = shown_in(units)
    drawn = " ".join(etree.fromstring(write_plan_svg(offer, a_header())).itertext()).replace("\u00a0", " ")
    width = plans_of(offer.estimate)[0].width_mm
    assert f"{whole_mm(width):,} mm" in drawn
    assert feet_and_inches(width) in drawn
    document = ezdxf.read(io.StringIO(write_plan_dxf(offer, a_header()).decode()))
    texts = " ".join(each.dxf.text for each in document.modelspace().query("TEXT")).replace("\u00a0", " ")
    assert f"{whole_mm(width):,} mm" in texts
    assert '"' not in texts


@pytest.mark.parametrize("units", BOTH)
def test_the_quote_says_masses_and_lengths_twice(units):
    printed = text(write_quote(shown_in(units), a_header()))
    order = r"kg \([\d.,]+ lb\)" if units == "metric_us" else r"lb \([\d.,]+ kg\)"
    assert re.search(order, printed)
    assert said(shown_in(units).estimate.job.module.length_mm, units) in printed


@pytest.mark.parametrize("units", BOTH)
def test_the_saw_is_set_in_millimetres_whatever_stands_first(units):
    """Common practice, no source: saws and stops are set in the millimetres that the plan was made in."""
    offer = shown_in(units)
    printed = text(write_saw_list(offer, a_header()))
    piece = offer.estimate.cut_plan.bars[0].pieces[0] / 10
    assert f"{piece:,.1f}".removesuffix(".0") + f" mm ({feet_and_inches(piece)})" in printed


@pytest.mark.parametrize("units", BOTH)
def test_the_calculation_gives_every_quantity_in_both(units):
    printed = text(write_calculation(shown_in(units, "loaded"), a_header()))
    for pair in (r"psf \(N/m2\)", r"mph \(m/s\)", r"ft \(m\)"):
        assert re.search(pair, printed), pair
    (roof,) = an_offer("loaded").estimate.loads.roofs
    uplift = roof.sheet.zones[0].uplift
    assert re.search(rf"{abs(uplift.own):.2f}0* \(-?{abs(uplift.pa):,.0f}", printed)
    assert re.search(r"lbf \(-?[\d.,]+ N\)" if units == "us_metric" else r"N \(-?[\d.,]+ lbf\)", printed)


@pytest.mark.parametrize("units", BOTH)
def test_an_order_and_its_packages_name_both_on_paper(units):
    order = replace(with_lines(length_mm=6000.0), units=units)
    for write in (write_order_pdf, write_packing_list):
        printed = text(write(order, HEADER))
        assert re.search(r"lb \([\d.,]+ kg\)" if units == "us_metric" else r"kg \([\d.,]+ lb\)", printed)
        assert said(6000.0, units).replace(",", ".") in printed  # the supplier is in Germany


@pytest.mark.parametrize("units", ["us", *BOTH])
def test_order_and_packages_have_a_column_for_each_system_that_adds_up(units, tmp_path):
    order = replace(with_lines(length_mm=6000.0), units=units, packaging_share=0.05)
    books = [write_order_workbook(order, HEADER), write_packing_workbook(order, HEADER)]
    for book, recalculated in zip(books, by_libreoffice(books, tmp_path), strict=True):
        of = formulas(book)
        assert not differences(figures(book, of), figures(by_formualizer(book), of))
        assert not differences(figures(book, of), figures(recalculated, of))
        sheet = openpyxl.load_workbook(io.BytesIO(book), data_only=True).worksheets[0]
        (table,) = sheet.tables.values()
        heads, row, *_ = ([cell.value for cell in row] for row in sheet[table.ref])
        named = dict(zip(heads, row, strict=True))
        assert named["Length (in)"] == pytest.approx(6000 / 25.4)
        assert named.get("Length (mm)") == (6000 if units in BOTH else None)
        masses = [head for head in heads if head.endswith(("(kg)", "(lb)"))]
        for head in masses:
            if head.endswith("(kg)"):
                assert named[head] == pytest.approx(named[head.replace("(kg)", "(lb)")] * 0.45359237, abs=0.001)
        assert [head[-3:-1] for head in masses[:2]] == {
            "us": ["lb", "lb"], "metric_us": ["kg", "lb"], "us_metric": ["lb", "kg"]
        }[units]  # fmt: skip


def test_an_orders_mass_is_the_sum_of_its_lines_in_either_unit():
    order = replace(an_order(), units="us_metric")
    sheet = openpyxl.load_workbook(io.BytesIO(write_order_workbook(order, HEADER)), data_only=True).worksheets[0]
    total = [cell.value for cell in sheet[sheet.max_row]]
    assert total[-1] == pytest.approx(order.mass_kg)
    assert total[-2] == pytest.approx(order.mass_kg / 0.45359237)


@pytest.mark.parametrize("units", ["us", *BOTH])
def test_an_orders_saw_list_is_in_the_jobs_units_as_sheets_and_on_paper(units):
    quotes = [
        replace(quote, estimate=estimate_in(quote.estimate, units))
        for quote in (a_rail_quote("Q-1", 4000.0, 9000.0, kerf_mm=3.0), a_rail_quote("Q-2", 1990.0, kerf_mm=3.0))
    ]
    together = make_order_lists(quotes, {}, TODAY, cut_together(quotes)).together
    sheets = openpyxl.load_workbook(io.BytesIO(write_order_saw_workbook(together, HEADER)), data_only=True)
    heads, *rows = ([cell.value for cell in row] for row in sheets["Saw list"].iter_rows(min_row=4))
    lengths = {round(row[heads.index("Piece (in)")] * 25.4, 1) for row in rows if row[heads.index("Pieces")]}
    assert 1990.0 in lengths
    assert ("Piece (mm)" in heads) == (units != "us")
    patterns = [cell.value for row in sheets["Cut plan"].iter_rows() for cell in row]
    assert "Bar (in)" in patterns
    assert "Length (ft)" in patterns
    assert ("Bar (mm)" in patterns) == (units != "us")
    assert f"1,990 mm ({feet_and_inches(1990.0)})" in text(write_order_saw_list(together, HEADER))


def estimate_in(estimate: SimpleNamespace, units: str) -> SimpleNamespace:
    return SimpleNamespace(**(vars(estimate) | {"job": replace(estimate.job, display_units=units)}))
