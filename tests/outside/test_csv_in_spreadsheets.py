"""Order lists as CSV, opened by LibreOffice with the settings that a double click takes in three countries.

Source: LibreOffice itself. Its filter's tokens say separator, text delimiter, character set and language; a double
click takes those of the country: a semicolon where decimals take the comma, else a comma (common practice, no source).
"""

import io
import subprocess
from dataclasses import replace
from decimal import Decimal

import openpyxl
import pytest

from estimator.documents.order.csv import COLUMNS
from estimator.documents.papers import ORDER_FORMS
from estimator.pricebook import BookLocale
from tests.documents.order_examples import HEADER, an_order, priced
from tests.outside.spreadsheets import _profile
from tests.references import require

UTF_8, QUOTE = 76, 34
LANGUAGES = {"de-DE": 1031, "fr-FR": 1036, "en-US": 1033}  # Windows language identifiers, as the filter takes them
COSTS = ["0.08", "12.5", "1234.5", "0.1234", "1.234"]
BAD = 'Rail;=1+1,=2+2|=3+3\t=4+4 "quoted";"=5+5"'


def opened(content, language, separator, folder):
    """The cells as LibreOffice reads them: texts, numbers and formulas, the heads first."""
    path = folder / "order.csv"
    path.write_bytes(content)
    tokens = f"CSV:{ord(separator)},{QUOTE},{UTF_8},1,,{LANGUAGES[language]},false,false,,,,,true"
    command = [
        require("libreoffice"),
        f"-env:UserInstallation=file://{_profile()}",
        "--headless",
        f"--infilter={tokens}",
    ]
    command += ["--convert-to", "xlsx", "--outdir", str(folder), str(path)]
    subprocess.run(command, check=True, capture_output=True)
    sheet = openpyxl.load_workbook(io.BytesIO((folder / "order.xlsx").read_bytes())).worksheets[0]
    return [list(row) for row in sheet.iter_rows()]


def the_order(locale):
    order = priced(an_order(), COSTS)
    lines = tuple(replace(line, description=BAD) for line in order.lines)
    return replace(order, lines=lines, locale=locale)


def checked(rows, order):
    """Every head and number as ordered, and no cell that is a formula."""
    assert [cell.value for cell in rows[0]] == list(COLUMNS)
    assert [cell.value for row in rows for cell in row if cell.data_type == "f"] == []
    for row, line in zip(rows[1:], order.lines, strict=True):
        cells = dict(zip(COLUMNS, row, strict=True))
        for name, value in (("unit_cost", line.unit_cost), ("line_total", line.cost.amount)):
            assert isinstance(cells[name].value, (int, float)), (name, cells[name].value)
            assert Decimal(str(cells[name].value)) == value.normalize() or float(cells[name].value) == float(value)
        assert cells["ordered"].value == line.ordered


@pytest.mark.parametrize("locale", [BookLocale("de-DE", ","), BookLocale("fr-FR", ","), BookLocale("en-US")])
def test_the_list_for_people_opens_by_a_double_click(locale, tmp_path):
    order = the_order(locale)
    content = ORDER_FORMS["office.csv"].write([order], HEADER, ())
    assert content.startswith(b"\xef\xbb\xbf")
    checked(opened(content, locale.code, locale.list_separator, tmp_path), order)


@pytest.mark.parametrize("locale", [BookLocale("de-DE", ","), BookLocale("en-US")])
@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_no_cell_runs_whatever_separator_it_is_opened_with(locale, separator, tmp_path):
    content = ORDER_FORMS["office.csv"].write([the_order(locale)], HEADER, ())
    rows = opened(content, "en-US", separator, tmp_path)
    assert [cell.value for row in rows for cell in row if cell.data_type == "f"] == []


def test_what_is_not_made_inert_would_run(tmp_path):
    """Without this the tests above could not fail."""
    (row,) = opened(b"Rail;=1+1\r\n", "en-US", ";", tmp_path)
    assert [cell.data_type for cell in row] == ["s", "f"]


def test_the_list_for_machines_keeps_points_and_commas_and_is_imported_as_en_us(tmp_path):
    order = replace(the_order(BookLocale("de-DE", ",")), lines=tuple(priced(an_order(), COSTS).lines))
    anybody = ORDER_FORMS["csv"].write([order], HEADER, ())
    assert anybody.startswith(b"order_number,")  # RFC 4180 as well, whatever the book's locale
    content = ORDER_FORMS["machine.csv"].write([order], HEADER, ())
    assert not content.startswith(b"\xef\xbb\xbf")
    checked(opened(content, "en-US", ",", tmp_path), order)
