"""The workbook of an order or a packing list while it is written: sheets, print set-up, and saving with every value."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from openpyxl import Workbook

from estimator.documents import style
from estimator.documents.header import Fact
from estimator.documents.language.texts import Reader
from estimator.documents.purchasing.facts import OrderParty
from estimator.documents.xlsx.cached_values import Value, saved_workbook
from estimator.documents.xlsx.looks import LABEL, SUBTITLE, TEXT, WRAPPED, Look, Looks
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.plain_text import plain, sheet_title
from estimator.documents.xlsx.printing import footer_text, print_on

WARNING = Look(size=9, bold=True, colour=style.OCHRE, across="left")
LONG_CELL = 58


class OrderBook:
    """One workbook in the making."""

    def __init__(self, title: str, author: str, reader: Reader, paper: str) -> None:
        self.workbook = Workbook()
        self._first = self.workbook.worksheets[0]
        self.looks = Looks(self.workbook)
        self.reader = reader
        self._paper = paper
        self._values: dict[str, dict[str, Value]] = {}
        self.workbook.properties.title = plain(title)[:250]
        self.workbook.properties.creator = plain(author)[:250]
        self.workbook.properties.language = reader.formats.locale.replace("_", "-")

    def page(self, title: str) -> Page:
        """A new sheet; a title that is taken gets a number."""
        name, number = sheet_title(title) or "1", 1
        while name.lower() in {each.lower() for each in self.workbook.sheetnames if each != self._first.title}:
            number += 1
            name = f"{sheet_title(title)[:27]} {number}"
        if name == self._first.title:
            self._first.title = "_"
        sheet = self.workbook.create_sheet(name)
        sheet.sheet_properties.tabColor = f"FF{style.BLUE}"
        sheet.sheet_view.showGridLines = False
        return Page(sheet, self.looks, self._values.setdefault(sheet.title, {}))

    def print_wide(self, page: Page, heads: int, left: str) -> None:
        """One page wide, the table's head on every page, the number and page x of y in the foot."""
        page.fit_heads()
        sheet = page.sheet
        print_on(sheet, self._paper, upright=False)
        sheet.print_title_rows = f"{heads}:{heads}"
        sheet.print_area = f"A1:{at(sheet.max_row, sheet.max_column)}"
        footer = sheet.oddFooter
        assert footer is not None
        footer.left.text = footer_text(left)
        footer.right.text = self.reader.texts.t("page {page} of {pages}", page="&P", pages="&N")
        footer.left.size = footer.right.size = 8

    def saved(self, dated: date) -> bytes:
        """The finished file: every formula's value behind it, the same bytes every time."""
        self.workbook.remove(self._first)
        self.workbook.active = 0
        self.workbook.calculation.fullCalcOnLoad = True
        return saved_workbook(self.workbook, self._values, dated)


Block = tuple[tuple[int, int, int, int], Sequence[Fact]]
"""Columns of a block (first and last of its labels, first and last of its values), and its facts."""


def write_head(page: Page, top: int, blocks: Sequence[Block]) -> int:
    """Blocks of labels and values side by side from row ``top`` on; gives the first free row."""
    last = top
    for (label, label_end, value, value_end), facts in blocks:
        for row, fact in enumerate(facts, start=top):
            for column in range(label, label_end + 1):
                page.put(row, column, fact.label if column == label else None, LABEL)
            for column in range(value, value_end + 1):
                look = WRAPPED if len(fact.value) > LONG_CELL else TEXT
                page.put(row, column, fact.value if column == value else None, look)
            if label_end > label:
                page.merge(row, label, label_end)
            if value_end > value:
                page.merge(row, value, value_end)
            page.lines(row, fact.value, LONG_CELL + 6)
            last = max(last, row)
    return last + 1


def party_facts(party: OrderParty) -> tuple[Fact, ...]:
    """A party as lines of a block: its role beside its name, its address on one line below."""
    address = ", ".join(party.lines)
    return (Fact(party.role, party.name), *((Fact("", address),) if address else ()))


def write_notes(page: Page, row: int, notes: Sequence[str], look: Look = SUBTITLE) -> int:
    """Notes below each other; gives the first free row."""
    for note in notes:
        page.put(row, 1, note, look)
        row += 1
    return row
