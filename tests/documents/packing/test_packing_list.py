"""The packing list, as PDF and workbook: every package and its marks, masses and lengths, and never a price."""

import io
import zipfile
from dataclasses import replace

import openpyxl
import pypdf
import pytest

from estimator.documents.packing.pdf import write_packing_list
from estimator.documents.packing.workbook import write_packing_workbook
from estimator.errors import NothingToWrite
from estimator.orders import make_order_lists
from tests.documents.order_examples import HEADER, PAYLOADS, an_order, priced, with_lines
from tests.facts import refusing
from tests.orders.order_builders import TODAY, a_quote
from tests.outside.spreadsheets import by_formualizer, by_libreoffice, differences, figures, formulas


def _lists():
    return make_order_lists([a_quote("Q-1", 130, 60)], {}, TODAY).lists


def _pages(pdf):
    return [page.extract_text().replace("\xa0", " ") for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]


def test_every_package_is_listed_with_marks_and_masses():
    """130 screws are 2 packs of 100 at 1 kg; 60 nuts are 2 packs of 50 at 1 kg. Each supplier ships on its own."""
    pages = _pages(write_packing_list(_lists(), HEADER))
    assert len(pages) == 2
    for page, part in zip(pages, ("SC", "N"), strict=True):
        assert "1–2 of 2" in page
        assert "2 × carton" in page
        assert f"X-{part} · {part}" in page
    assert ["S-1" in page for page in pages] == [True, False]


def test_long_items_are_flagged_and_widths_left_to_the_supplier():
    text = "\n".join(_pages(write_packing_list(with_lines(length_mm=6000.0), HEADER)))
    for words in ("long item", "1 × bundle", "6.000 mm", "Widths and heights are not known"):
        assert words in text


@pytest.mark.parametrize("write", [write_packing_list, write_packing_workbook])
def test_no_price_is_in_a_packing_list(write):
    order = priced(an_order(), ["9876.54"])
    written = write(order, HEADER)
    if write is write_packing_list:
        everything = "\n".join(_pages(written)).encode()
    else:
        with zipfile.ZipFile(io.BytesIO(written)) as parts:
            everything = b"".join(parts.read(name) for name in parts.namelist())
    for secret in (b"9876", b"9,876", b"69135", b"69,135", b"EUR", "€".encode()):
        assert secret not in everything


@pytest.mark.parametrize("share", [0.05, None])
def test_two_spreadsheet_programs_add_the_packages_up(share, tmp_path):
    """Where gross masses are not known, neither line nor sum shows one, not even nothing."""
    book = write_packing_workbook([replace(each, packaging_share=share) for each in _lists()], HEADER)
    ours = figures(book, formulas(book))
    assert len(ours) == 2 * 5
    assert sum(value in (None, "") for value in ours.values()) == (4 if share is None else 0)
    assert not differences(ours, figures(by_formualizer(book), formulas(book)))
    (recalculated,) = by_libreoffice([book], tmp_path)
    assert not differences(ours, figures(recalculated, formulas(book)))


def test_unknown_widths_and_masses_are_blank_in_the_workbook():
    sheet = openpyxl.load_workbook(io.BytesIO(write_packing_workbook(an_order(packaging_share=None), HEADER)))["S-1"]
    (table,) = sheet.tables.values()
    heads, row, *_ = ([cell.value for cell in row] for row in sheet[table.ref])
    named = dict(zip(heads, row, strict=True))
    assert [named[head] for head in ("Width (mm)", "Height (mm)", "Length (mm)", "Gross each (kg)")] == [None] * 4
    assert named["Code (UN/ECE Rec 21)"] == "CT"


@pytest.mark.parametrize("payload", PAYLOADS)
def test_texts_stay_texts(payload):
    order = with_lines(description=payload, part=payload, supplier_part=payload)
    order = replace(order, supplier=replace(order.supplier, name=payload, supplier=payload), ship_to=(payload,))
    book = write_packing_workbook(order, HEADER)
    assert not any(payload in formula for formula in formulas(book).values())
    assert len(formulas(book)) == 5
    assert _pages(write_packing_list(order, HEADER))


def test_the_same_lists_give_the_same_bytes_and_none_is_refused():
    assert write_packing_list(_lists(), HEADER) == write_packing_list(_lists(), HEADER)
    assert write_packing_workbook(_lists(), HEADER) == write_packing_workbook(_lists(), HEADER)
    for write in (write_packing_list, write_packing_workbook):
        with refusing(NothingToWrite):
            write((), HEADER)
