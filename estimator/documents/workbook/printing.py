"""How sheets print: the reader's paper, one page wide, heads repeated, number and page below, cells protected."""

from __future__ import annotations

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.header_footer import HeaderFooterItem

from estimator.documents.style import paper_for
from estimator.documents.workbook.draft import Draft
from estimator.documents.xlsx.page import Page
from estimator.documents.xlsx.printing import footer_text, print_on


def print_wide(
    draft: Draft,
    page: Page,
    *,
    heads: int = 0,
    upright: bool = False,
    one_page: bool = False,
    across: int = 1,
    repeated: int = 1,
) -> None:
    """Set a sheet up for printing and protect it (no password).

    Args:
        draft: the workbook.
        page: the sheet.
        heads: the row repeated on every page; 0 for none.
        upright: portrait instead of landscape.
        one_page: all on one page, for sheets with a chart.
        across: pages side by side, for tables of so many columns that one page could not be read.
        repeated: columns that are repeated from the second of them on.

    """
    page.fit_heads()
    sheet = page.sheet
    country = draft.estimate.job.customer.address.country
    paper = draft.header.paper or paper_for(country)
    print_on(sheet, paper, upright=upright, across=across, one_page=one_page)
    if across > 1:
        sheet.print_title_cols = f"A:{get_column_letter(repeated)}"
    if heads:
        sheet.print_title_rows = f"{heads}:{heads}"
    _foot(draft, page)
    _protect(page)


def _foot(draft: Draft, page: Page) -> None:
    number = f"{draft.header.number} · {draft.t('revision {revision}', revision=draft.header.revision)}"
    footer = HeaderFooterItem()
    page.sheet.oddFooter = footer
    footer.left.text = footer_text(number)
    footer.center.text = footer_text(page.title)
    footer.right.text = draft.t("page {page} of {pages}", page="&P", pages="&N")
    for part in (footer.left, footer.center, footer.right):
        part.size = 8


def _protect(page: Page) -> None:
    protection = page.sheet.protection
    protection.sheet = True
    protection.formatColumns = False
    protection.formatRows = False
    protection.autoFilter = False
    protection.sort = False
