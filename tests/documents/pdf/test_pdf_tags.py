"""The PDFs read aloud: headings, one table over many pages, the plan in words. Read back with pikepdf and poppler."""

import io
import subprocess
from collections import Counter

import pikepdf
import pytest

from estimator.documents.calculation.pdf import write_calculation
from estimator.documents.quote.pdf import write_quote
from estimator.documents.saw_list.pdf import write_saw_list
from estimator.documents.setting_out.pdf import write_setting_out
from tests.documents.offers import a_header, an_offer, with_lines
from tests.references import require

WRITERS = {
    "quote": write_quote,
    "setting-out": write_setting_out,
    "calculation": write_calculation,
    "saw list": write_saw_list,
}


def nodes(pdf):
    """Every element of the structure, parents before children."""
    open_ones = [pdf.Root.StructTreeRoot.K[0]]
    while open_ones:
        node = open_ones.pop(0)
        yield node
        open_ones += [kid for kid in node.K if kid.get("/Type") == pikepdf.Name.StructElem]


def opened(data):
    return pikepdf.open(io.BytesIO(data))


@pytest.mark.parametrize("writer", WRITERS.values(), ids=WRITERS)
def test_every_mark_on_a_page_belongs_to_one_element_and_begins_and_ends_once(writer):
    pdf = opened(writer(an_offer("loaded"), a_header()))
    owners = Counter()
    for node in nodes(pdf):
        for kid in node.K:
            if kid.get("/Type") == pikepdf.Name.MCR:
                owners[kid.Pg.objgen, int(kid.MCID)] += 1
    on_pages = Counter()
    for page in pdf.pages:
        depth = 0
        for operands, operator in pikepdf.parse_content_stream(page):
            if str(operator) in {"BDC", "BMC"}:
                depth += 1
                assert depth == 1, "marks do not lie in marks"
                if str(operator) == "BDC":
                    on_pages[page.obj.objgen, int(operands[1].MCID)] += 1
            elif str(operator) == "EMC":
                depth -= 1
        assert depth == 0
    assert owners == on_pages
    assert set(owners.values()) == {1}


def test_a_page_finds_the_elements_of_its_marks():
    pdf = opened(write_quote(an_offer("plain"), a_header()))
    numbers = pdf.Root.StructTreeRoot.ParentTree.Nums
    for page in pdf.pages:
        parents = numbers[2 * int(page.obj.StructParents) + 1]
        for number, element in enumerate(parents):
            assert any(int(kid.MCID) == number for kid in element.K if kid.get("/Type") == pikepdf.Name.MCR)


def test_a_table_over_many_pages_is_one_table_with_one_head():
    pdf = opened(write_quote(with_lines(an_offer("plain"), 300), a_header()))
    sections = len(an_offer("plain").estimate.bill.lines)
    tables = [node for node in nodes(pdf) if pikepdf.Name.Table == node.S]
    rows = max(len(table.K) for table in tables)
    assert 301 < rows <= 301 + sections
    heads = [node for node in nodes(pdf) if node.S == pikepdf.Name.TH]
    assert len(heads) < 20
    assert len(pdf.pages) > 5


def test_the_title_is_the_only_first_heading_and_sections_are_second_ones():
    for writer in WRITERS.values():
        roles = Counter(str(node.S) for node in nodes(opened(writer(an_offer("loaded"), a_header()))))
        assert roles["/H1"] == 1
        assert roles["/H2"] >= 3


def test_the_plan_is_a_figure_told_in_words():
    pdf = opened(write_quote(an_offer("long"), a_header()))
    figures = [node for node in nodes(pdf) if pikepdf.Name.Figure == node.S]
    counts = an_offer("long").estimate.counts.roofs
    assert len(figures) == len(counts)
    for figure, roof in zip(figures, counts, strict=True):
        assert f"modules: {roof.counts.modules}" in str(figure.Alt)
        assert f"attachments: {roof.counts.attachments}" in str(figure.Alt)


def test_the_file_says_that_it_is_tagged_and_shows_its_title():
    pdf = opened(write_quote(an_offer("plain"), a_header()))
    root = pdf.Root
    assert bool(root.MarkInfo.Marked)
    assert bool(root.ViewerPreferences.DisplayDocTitle)
    assert str(root.Lang).startswith("en")


def test_poppler_reads_the_structure_in_order(tmp_path):
    path = tmp_path / "quote.pdf"
    path.write_bytes(write_quote(an_offer("plain"), a_header()))
    read = subprocess.run([require("pdfinfo"), "-struct-text", str(path)], capture_output=True, text=True, check=True)
    places = [read.stdout.index(text) for text in ('"Quote"', '"Test customer"', '"Unit price"', '"B-AL"', '"Total"')]
    assert places == sorted(places)
