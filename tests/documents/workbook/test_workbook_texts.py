"""Texts in a workbook stay texts: formulas, control characters, lengths, marks of footers and of names."""

import io
import re
import zipfile
from dataclasses import replace

import openpyxl
import pytest

from estimator.documents.header import QuoteHeader
from estimator.documents.workbook import write_workbook
from estimator.documents.workbook.draft import sheet_title
from estimator.documents.xlsx.plain_text import CELL_LIMIT, CUT_MARK, plain
from estimator.documents.xlsx.tables import head_name
from estimator.job import Address, Choices, Customer, LineChange, Obstruction, Site
from estimator.pricebook import Seller, Supplier
from tests.builders import a_book, a_job, a_module, a_roof, an_array
from tests.documents.quotes_to_write import DAY, the_offer, the_workbook
from tests.searches import offer

# Common practice, no source: what spreadsheets have been made to run or to fetch through a cell's text.
PAYLOADS = (
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(1,1)",
    '=HYPERLINK("http://example.invalid","x")',
    "=cmd|' /C calc'!A0",
    "\t=1+1",
    "＝1+1",
    "#N/A",
    "<b>bold</b> & ]]> <!--",
    "bell\x07 nul\x00 escape\x1b",
    "lone \ud800 surrogate",
    '&P of &N &"Courier"&40',
    "x" * 40_000,
)


def offer_with(text):
    """An offer whose every text that comes from outside is the payload (kept apart by a number where it must be)."""
    book = a_book()
    described = {
        name: replace(part, description=text, supplier_part=text, group=text) for name, part in book.parts.items()
    }
    supplier = {"S-1": Supplier("S-1", text, email=text, address_lines=(text,), account=text)}
    address = Address((text,), text, text, text, "PT")
    book = replace(
        book,
        parts=described,
        suppliers=supplier,
        title=text,
        terms=(text,),
        seller=Seller(text, (text,), text, text, "DE", text, text, text),
        tax=replace(book.tax, name=text),
        rules=tuple(replace(rule, note=text) for rule in book.rules),
        labour=tuple(replace(work, description=text) for work in book.labour),
    )
    job = a_job(
        a_roof(name=text, arrays=(an_array(name=text),), obstructions=(Obstruction(text, 8000, 3000, 900, 900),)),
        module=a_module(name=text),
        site=Site(address=address, freight_zone="near"),
        reference=text,
        title=text,
        customer=Customer(text, contact=text, email=text, address=address),
        notes=text,
    )
    choices = Choices(line_changes=(LineChange("CC-1", ordered=200, reason=text),), notes=text)
    return offer(job, book, choices, DAY)


@pytest.mark.parametrize("text", PAYLOADS, ids=range(len(PAYLOADS)))
def test_a_text_that_looks_like_a_formula_stays_a_text_in_every_cell(text):
    head = QuoteHeader(text[:200], 1, "draft", DAY, DAY, prepared_by=text)
    for edition in ("estimator", "customer"):
        content = write_workbook(offer_with(text), head, edition)
        book = openpyxl.load_workbook(io.BytesIO(content))
        shown = plain(text)
        seen = 0
        for sheet in book:
            for row in sheet.iter_rows():
                for cell in row:
                    if cell.value is not None and cell.data_type == "f":
                        assert payload_free(cell.value, text)
                    seen += cell.value == shown and cell.data_type == "s"
                    assert cell.hyperlink is None or cell.hyperlink.target is None
        assert seen or len(text) > CELL_LIMIT or "\r" in text or "\ud800" in text
        source = zipfile.ZipFile(io.BytesIO(content))
        assert not [name for name in source.namelist() if "externalLink" in name or "vba" in name.lower()]
        for name in source.namelist():
            assert b"TargetMode" not in source.read(name)


def payload_free(formula, text):
    """No formula of ours holds a text from outside."""
    return len(text) < 6 or text not in formula


def test_a_footer_prints_a_quotes_number_as_it_stands():
    content = write_workbook(offer_with("plain"), QuoteHeader("A&P 7", 1, "draft", DAY, DAY))
    assert openpyxl.load_workbook(io.BytesIO(content)).worksheets[0].oddFooter.left.text.startswith(" A&&P 7")


def test_a_text_longer_than_a_cell_is_cut_where_everybody_sees_it():
    assert plain("x" * 40_000).endswith(CUT_MARK)
    assert len(plain("x" * 40_000)) == CELL_LIMIT
    emoji = plain("\N{GRINNING FACE}" * 20_000)
    assert emoji.endswith(CUT_MARK)
    assert len(emoji.encode("utf-16-le")) // 2 <= CELL_LIMIT


def test_what_a_spreadsheet_would_unescape_is_escaped():
    assert plain("_x0041_") == "_x005F_x0041_"


def test_a_sheets_title_and_a_columns_head_hold_only_what_formulas_can_name():
    assert sheet_title("[Checks]: a/b\\c*d?" + "x" * 40) == "Checks abcd" + "x" * 20
    assert head_name("Mass, kg [#1]") == "Mass kg 1"


def test_the_customers_edition_holds_no_cost_and_no_margin_anywhere():
    """Every part of the file unpacked and searched; the print margins of the page set-up are no margin of ours."""
    source = zipfile.ZipFile(io.BytesIO(the_workbook("customer")))
    for name in source.namelist():
        xml = re.sub(r"<(pageMargins|c:pageMargins)[^>]*/?>", "", source.read(name).decode())
        xml = re.sub(r"[Mm]argin(Left|Right|Top|Bottom)", "", xml)
        for word in ("cost", "margin", "markup", "supplier", "Added", "S-1", "X-B-AL", "price_from"):
            assert word.lower() not in xml.lower(), (name, word)
    secret = {str(line.unit_cost) for line in priced_lines()} - {str(line.unit_price) for line in priced_lines()}
    sheet = openpyxl.load_workbook(io.BytesIO(the_workbook("customer")), data_only=True)
    numbers = {str(cell.value) for page in sheet for row in page.iter_rows() for cell in row}
    assert not {each for each in secret if len(each) > 4} & numbers


def priced_lines():
    return the_offer().estimate.bill.lines


def test_the_customers_edition_has_nothing_to_fill_in_and_says_the_same_total():
    book = openpyxl.load_workbook(io.BytesIO(the_workbook("customer")))
    assert all(cell.protection.locked for sheet in book for row in sheet.iter_rows() for cell in row)
    assert "Cut plan" not in book.sheetnames
    assert "Order list" not in book.sheetnames
