"""The house's logo at the head of documents: there once, in its own proportions, told in words, the same bytes twice.

Read back with pikepdf and openpyxl.
"""

import io
import zipfile
from dataclasses import replace

import openpyxl
import pikepdf
import pytest

from estimator.documents.order.pdf import write_order_pdf
from estimator.documents.packing.pdf import write_packing_list
from estimator.documents.quote.pdf import write_quote
from estimator.documents.setting_out.pdf import write_setting_out
from estimator.documents.workbook import write_workbook
from estimator.documents.workbook_reading import read_workbook
from estimator.pricebook import Logo
from tests.documents.offers import a_header, an_offer, with_estimate
from tests.documents.order_examples import HEADER, an_order
from tests.documents.pdf.test_pdf_tags import nodes, opened
from tests.marks import a_mark

LOGOS = {
    "png": Logo(a_mark(), "png", 320, 120),
    "jpeg": Logo(a_mark("JPEG"), "jpeg", 320, 120),
    "grey": Logo(a_mark(mode="L"), "png", 320, 120),
    "clear": Logo(a_mark(mode="RGBA"), "png", 320, 120),
    "tall": Logo(a_mark(size=(60, 400)), "png", 60, 400),
    "small": Logo(a_mark(size=(16, 16)), "png", 16, 16),
    "wide": Logo(a_mark(size=(2400, 60)), "png", 2400, 60),
}


def offered(logo):
    base = an_offer("plain")
    book = base.estimate.book
    return with_estimate(base, book=replace(book, seller=replace(book.seller, logo=logo)))


def ordered(logo):
    order = an_order()
    return replace(order, buyer=replace(order.buyer, logo=logo))


WRITERS = {
    "quote": lambda logo: write_quote(offered(logo), a_header()),
    "setting-out": lambda logo: write_setting_out(offered(logo), a_header()),
    "order": lambda logo: write_order_pdf(ordered(logo), HEADER),
    "packing list": lambda logo: write_packing_list(ordered(logo), HEADER),
}


def drawn_images(pdf):
    """Width and height in points of every image drawn, page by page; images hold a unit square."""
    found = []
    for number, page in enumerate(pdf.pages):
        stack, matrix = [], pikepdf.Matrix()
        for operands, operator in pikepdf.parse_content_stream(page):
            if str(operator) == "q":
                stack.append(matrix)
            elif str(operator) == "Q":
                matrix = stack.pop()
            elif str(operator) == "cm":
                matrix = pikepdf.Matrix(*(float(each) for each in operands)) @ matrix
            elif str(operator) == "Do":
                found.append((number, matrix.a, matrix.d, matrix.e, matrix.f))
    return found


@pytest.mark.parametrize("logo", LOGOS.values(), ids=LOGOS)
@pytest.mark.parametrize("write", WRITERS.values(), ids=WRITERS)
def test_the_logo_heads_the_first_page_in_its_own_proportions(write, logo):
    pdf = opened(write(logo))
    ((page, wide, high, left, low),) = drawn_images(pdf)
    box = [float(each) for each in pdf.pages[0].MediaBox]
    assert page == 0
    assert wide / high == pytest.approx(logo.width / logo.height, rel=1e-3)
    assert wide <= 130.01
    assert high <= 36.01
    assert 0 < left < box[2] / 4
    assert box[3] * 0.85 < low + high < box[3]


@pytest.mark.parametrize("write", WRITERS.values(), ids=WRITERS)
def test_the_logo_is_told_in_words_and_the_bytes_repeat(write):
    once = write(LOGOS["png"])
    words = [str(node.Alt) for node in nodes(opened(once)) if "/Alt" in node]
    assert sum("Logo of Fixture House" in each for each in words) == 1
    assert write(LOGOS["png"]) == once


@pytest.mark.parametrize("write", WRITERS.values(), ids=WRITERS)
def test_without_a_logo_no_picture_is_in_the_file(write):
    assert drawn_images(opened(write(None))) == []


@pytest.mark.parametrize("edition", ["estimator", "customer"])
@pytest.mark.parametrize("logo", LOGOS.values(), ids=LOGOS)
def test_the_workbooks_first_sheet_carries_the_file_as_it_is_with_words(logo, edition):
    content = write_workbook(offered(logo), a_header(), edition)
    assert write_workbook(offered(logo), a_header(), edition) == content
    parts = zipfile.ZipFile(io.BytesIO(content))
    (media,) = [name for name in parts.namelist() if name.startswith("xl/media/")]
    assert parts.read(media) == logo.content
    drawings = [parts.read(name).decode() for name in parts.namelist() if name.startswith("xl/drawings/drawing")]
    assert sum('descr="Logo of Fixture House"' in each for each in drawings) == 1
    first = openpyxl.load_workbook(io.BytesIO(content)).worksheets[0]
    (image,) = first._images
    extent = image.anchor.ext
    assert extent.width / extent.height == pytest.approx(logo.width / logo.height, rel=0.01)
    assert extent.height <= 36 * 12_700 + 9_525
    assert image.anchor._from.row == 0


def test_a_workbook_with_a_logo_reads_back_alike():
    offer = offered(LOGOS["png"])
    found = read_workbook(write_workbook(offer, a_header()), offer, a_header())
    assert (found.changes, found.faults, found.not_taken) == ((), (), ())
    plain = read_workbook(write_workbook(offered(None), a_header()), offer, a_header())
    assert (plain.changes, plain.faults) == ((), ())
