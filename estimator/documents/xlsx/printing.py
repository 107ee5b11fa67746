"""How sheets are printed: on which paper, with which margins, and texts as headers and footers carry them."""

from __future__ import annotations

from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from estimator.documents.xlsx.plain_text import plain

PAPER_NUMBERS = {"letter": 1, "A4": 9}
"""Source: ECMA-376 part 1, pageSetup paperSize."""


def print_on(sheet: Worksheet, paper: str, *, upright: bool, across: int = 1, one_page: bool = False) -> None:
    """Set a sheet up for printing: so many pages across, and as many down as it takes unless all goes on one."""
    sheet.page_setup.paperSize = PAPER_NUMBERS[paper]
    sheet.page_setup.orientation = "portrait" if upright else "landscape"
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = across, 1 if one_page else 0
    sheet.page_margins.left = sheet.page_margins.right = 0.5
    sheet.page_margins.top, sheet.page_margins.bottom = 0.55, 0.65
    sheet.print_options.horizontalCentered = True


def footer_text(text: str) -> str:
    """A text as footers write it: an ampersand doubled, on one line, no digit that could be read as a size.

    >>> footer_text("Mill & Son")
    ' Mill && Son'
    """
    return " " + plain(text)[:90].replace("&", "&&").replace("\n", " ")
