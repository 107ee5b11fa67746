"""The parts of a workbook keep the order of elements that the standard sets; readers repair or refuse others.

Source: ECMA-376 part 1, CT_Worksheet, CT_Table and CT_Workbook, from memory.
"""

import io
import zipfile

import pytest
from lxml import etree

from tests.documents.quotes_to_write import the_workbook

ORDERS = {
    "worksheet": (
        "sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", "sheetData", "sheetCalcPr", "sheetProtection",
        "protectedRanges", "scenarios", "autoFilter", "sortState", "dataConsolidate", "customSheetViews", "mergeCells",
        "phoneticPr", "conditionalFormatting", "dataValidations", "hyperlinks", "printOptions", "pageMargins",
        "pageSetup", "headerFooter", "rowBreaks", "colBreaks", "customProperties", "cellWatches", "ignoredErrors",
        "smartTags", "drawing", "legacyDrawing", "legacyDrawingHF", "picture", "oleObjects", "controls",
        "webPublishItems", "tableParts", "extLst",
    ),
    "table": ("autoFilter", "sortState", "tableColumns", "tableStyleInfo", "extLst"),
    "workbook": (
        "fileVersion", "fileSharing", "workbookPr", "workbookProtection", "bookViews", "sheets", "functionGroups",
        "externalReferences", "definedNames", "calcPr", "oleSize", "customWorkbookViews", "pivotCaches",
    ),
}  # fmt: skip


def roots(content):
    source = zipfile.ZipFile(io.BytesIO(content))
    return {name: etree.fromstring(source.read(name)) for name in source.namelist() if name.endswith((".xml", ".rels"))}


@pytest.mark.parametrize("edition", ["estimator", "customer"])
def test_elements_stand_in_the_order_of_the_standard(edition):
    seen = set()
    for name, root in roots(the_workbook(edition)).items():
        kind = etree.QName(root).localname
        if kind in ORDERS:
            seen.add(kind)
            places = [ORDERS[kind].index(etree.QName(child).localname) for child in root]
            assert places == sorted(places), name
    assert seen == set(ORDERS)


@pytest.mark.parametrize("edition", ["estimator", "customer"])
def test_every_part_that_is_named_is_there_and_every_table_has_a_name_of_its_own(edition):
    found = roots(the_workbook(edition))
    names = {f"/{name}" for name in zipfile.ZipFile(io.BytesIO(the_workbook(edition))).namelist()}
    assert {part.get("PartName") for part in found["[Content_Types].xml"] if part.get("PartName")} <= names
    tables = [root for name, root in found.items() if name.startswith("xl/tables/")]
    assert len({table.get("displayName").lower() for table in tables}) == len(tables)
    assert len({table.get("id") for table in tables}) == len(tables)


def test_rows_and_cells_ascend_and_no_cell_has_a_kind_its_value_does_not_fit():
    for name, root in roots(the_workbook()).items():
        if not name.startswith("xl/worksheets/sheet"):
            continue
        rows = [int(row.get("r")) for row in root.iter("{*}row")]
        assert rows == sorted(set(rows))
        for cell in root.iter("{*}c"):
            value = cell.find("{*}v")
            if value is not None and value.text and cell.get("t", "n") == "n":
                float(value.text)
