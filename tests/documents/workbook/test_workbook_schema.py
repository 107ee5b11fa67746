"""Every part of every kind of workbook against the schemas of the format.

The openxml-audit package carries the elements, attributes, orders and value types of ECMA-376 / ISO/IEC 29500
(transitional) as data, with rules that go over several parts, and checks each part against them. The schema files
themselves (sml.xsd) are in no package of the index. Not checked by it: attributes unknown to cells, and the anchors of
drawings; the order of a sheet's elements is checked once more in test_workbook_structure.
"""

import io
import zipfile
from dataclasses import replace

import pytest

from estimator.documents.order.workbook import write_order_workbook, write_orders_workbook
from estimator.documents.packing.workbook import write_packing_workbook
from estimator.documents.workbook import write_workbook
from estimator.sentences import LANGUAGES
from tests.documents.offers import a_header, an_offer
from tests.documents.order_examples import HEADER, PAYLOADS, an_order, with_lines
from tests.documents.quotes_to_write import HEAD, the_offer, the_workbook
from tests.references import require_module

audit = require_module("openxml_audit")


def faults(content, path):
    """What the schemas do not allow. That strings stand in their cells is allowed, and only warned of."""
    path.write_bytes(content)
    result = audit.OpenXmlValidator(file_format=audit.FileFormat.OFFICE_2019, max_errors=0).validate(path)
    severe = [each for each in result.errors if each.severity == audit.ValidationSeverity.ERROR]
    return [f"{each.part_uri} {each.path}: {each.description}" for each in severe]


WORKBOOKS = {
    **{
        f"quote, {edition}, {language}": lambda edition=edition, language=language: write_workbook(
            the_offer(), replace(HEAD, language=language), edition
        )
        for edition in ("estimator", "customer")
        for language in LANGUAGES
    },
    **{
        f"quote, {name}, {edition}": lambda name=name, edition=edition: write_workbook(
            an_offer(name), a_header(), edition
        )
        for name in ("us", "along", "direct", "loaded", "unbuildable")
        for edition in ("estimator", "customer")
    },
    "quote, texts that would run": lambda: write_workbook(an_offer("payloads"), a_header(), "customer"),
    "order": lambda: write_order_workbook(an_order(), HEADER),
    "order, purchasing": lambda: write_order_workbook(an_order(), HEADER, "purchasing"),
    "order, texts that would run": lambda: write_order_workbook(with_lines(description=" ".join(PAYLOADS)), HEADER),
    "orders": lambda: write_orders_workbook([an_order(), an_order()], HEADER),
    "packing": lambda: write_packing_workbook([an_order()], HEADER),
}


@pytest.mark.parametrize("write", WORKBOOKS.values(), ids=WORKBOOKS)
def test_no_part_holds_anything_that_the_schemas_do_not_allow(write, tmp_path):
    assert faults(write(), tmp_path / "book.xlsx") == []


@pytest.mark.parametrize(
    ("part", "what", "instead"),
    [
        ("xl/worksheets/sheet2.xml", b"<sheetFormatPr", b"<nonsense/><sheetFormatPr"),
        ("xl/worksheets/sheet2.xml", b' t="inlineStr"', b' t="weird"'),
        ("xl/worksheets/sheet2.xml", b' s="1"', b' s="x"'),
        ("xl/worksheets/sheet2.xml", b' defaultRowHeight="15"', b""),
        ("xl/styles.xml", b'style="hair"', b'style="wavy"'),
        ("xl/styles.xml", b"<b val=", b"<color/><b val="),
        ("xl/tables/table1.xml", b" displayName=", b" playName="),
        ("xl/workbook.xml", b'sheetId="1"', b'sheetId="one"'),
        ("xl/charts/chart1.xml", b"<barDir ", b"<direction "),
        ("xl/worksheets/_rels/sheet2.xml.rels", b"table1.xml", b"table99.xml"),
    ],
)
def test_the_check_finds_a_part_spoilt_on_purpose(part, what, instead, tmp_path):
    source, target = zipfile.ZipFile(io.BytesIO(the_workbook())), io.BytesIO()
    with zipfile.ZipFile(target, "w") as packed:
        for name in source.namelist():
            text = source.read(name)
            if name == part:
                assert what in text
                text = text.replace(what, instead, 1)
            packed.writestr(name, text)
    assert faults(target.getvalue(), tmp_path / "book.xlsx")
