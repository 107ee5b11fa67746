"""The workbook being written: sheets, looks, defined names, and the value of every formula."""

from __future__ import annotations

from dataclasses import dataclass, field

from openpyxl import Workbook
from openpyxl.utils import quote_sheetname
from openpyxl.workbook.defined_name import DefinedName

from estimator.comparison.records import Offer
from estimator.documents.header import Edition, QuoteHeader
from estimator.documents.language.formats import Formats
from estimator.documents.language.texts import Reader
from estimator.documents.quoting.content import quote_reader
from estimator.documents.workbook.entries import Entry, Kind, Locked
from estimator.documents.xlsx.cached_values import Value
from estimator.documents.xlsx.looks import Looks
from estimator.documents.xlsx.numbers.money_formats import MoneyLooks, money_looks
from estimator.documents.xlsx.numbers.rounding import rounded
from estimator.documents.xlsx.page import Page
from estimator.documents.xlsx.plain_text import plain, sheet_title
from estimator.estimate import Estimate
from estimator.money import minor_digits
from estimator.pricebook import Book
from estimator.pricing.records import PricedBill
from estimator.units import DisplayUnits


@dataclass(slots=True)
class Draft:
    """One workbook in the making; ``values`` holds, by sheet title and cell, what each formula gives."""

    offer: Offer
    header: QuoteHeader
    edition: Edition
    workbook: Workbook
    looks: Looks
    reader: Reader
    money: MoneyLooks
    values: dict[str, dict[str, Value]] = field(default_factory=dict)
    entries: list[Entry] = field(default_factory=list)
    shown: dict[tuple[str, str], Locked] = field(default_factory=dict)

    @property
    def estimate(self) -> Estimate:
        """The estimate that the workbook shows."""
        return self.offer.estimate

    @property
    def book(self) -> Book:
        """The edition of the pricebook."""
        return self.offer.estimate.book

    @property
    def units(self) -> DisplayUnits:
        """The units of the job."""
        return self.offer.estimate.job.display_units

    @property
    def bill(self) -> PricedBill:
        """The priced lines and totals."""
        return self.offer.estimate.bill

    @property
    def minor(self) -> int:
        """Decimals of the currency's minor unit."""
        return minor_digits(self.bill.currency)

    def rounded(self, expression: str, places: int | None = None) -> str:
        """The expression rounded as the book rounds, to the minor unit unless told."""
        return rounded(expression, self.minor if places is None else places, self.book.rounding)

    @property
    def for_estimator(self) -> bool:
        """Whether cost and margin may be shown."""
        return self.edition == "estimator"

    @property
    def formats(self) -> Formats:
        """Numbers, lengths and dates as the reader writes them."""
        return self.reader.formats

    def t(self, message: str, **values: object) -> str:
        """The message in the reader's language."""
        return self.reader.texts.t(message, **values)

    def page(self, title: str, colour: str = "") -> Page:
        """A new sheet of that title (in the reader's language, cut to what a sheet's tab holds)."""
        sheet = self.workbook.create_sheet(sheet_title(title))
        if colour:
            sheet.sheet_properties.tabColor = f"FF{colour}"
        sheet.sheet_view.showGridLines = False
        return Page(sheet, self.looks, self.values.setdefault(sheet.title, {}))

    def show(self, page: Page, cell: str, kind: Kind, about: str = "", detail: str = "") -> None:
        """Note a locked figure, so that a change of it can be told when the workbook comes back."""
        self.shown[page.title, cell] = Locked(kind, about, detail)

    def define(self, name: str, page: Page, cell: str) -> None:
        """Give a cell a name that formulas use."""
        column, row = cell.rstrip("0123456789"), cell.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ")
        place = f"{quote_sheetname(page.title)}!${column}${row}"
        self.workbook.defined_names[name] = DefinedName(name, attr_text=place)


def new_draft(offer: Offer, header: QuoteHeader, edition: Edition) -> Draft:
    """An empty workbook for the reader of that language, with its properties set."""
    estimate = offer.estimate
    reader = quote_reader(offer, header)
    workbook = Workbook()
    money = money_looks(estimate.bill.currency, estimate.book.price_places, reader.formats.locale)
    draft = Draft(offer, header, edition, workbook, Looks(workbook), reader, money)
    workbook.properties.title = plain(f"{header.number} {estimate.job.title}")[:250]
    workbook.properties.creator = plain(header.prepared_by or estimate.seller.name)[:250]
    workbook.properties.language = reader.formats.locale.replace("_", "-")
    return draft
