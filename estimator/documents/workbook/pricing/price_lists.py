"""Sheets of the pricebook behind the quote: the parts, and the unit cost from each quantity on.

Every part has a number in the list; the breaks' key is that number times 10^9 plus the quantity, so that one look-up
in ascending order finds the break of any part and any quantity.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.documents.language.words import group_name, role_name
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import COUNT, LINE, MASS, TEXT
from estimator.documents.xlsx.numbers.measures import measured, measured_columns, measured_heads
from estimator.documents.xlsx.tables import Column, Heads, Row, write_table
from estimator.pricebook import Part

KEY_STEP = 1_000_000_000


@dataclass(frozen=True, slots=True)
class PriceLists:
    """Where the lists stand: heads for formulas, the parts' numbers, the range of the part names."""

    parts: Heads
    breaks: Heads
    numbers: dict[str, int]
    part_names: str

    def cost_at(self, number: str, quantity: str) -> str:
        """The formula of the unit cost of a part's number at a quantity."""
        cost, key = self.breaks.column("cost"), self.breaks.column("key")
        return f"INDEX({cost},MATCH({number}*{KEY_STEP}+{quantity},{key},1))"


def write_price_lists(draft: Draft) -> PriceLists:
    """Both sheets, with every part of the book, so that a part can be added to the quote."""
    parts = list(draft.book.parts.values())
    names, part_heads = _write_parts(draft, parts)
    breaks = _write_breaks(draft, parts)
    return PriceLists(part_heads, breaks, {part.part: at for at, part in enumerate(parts, start=1)}, names)


def _write_parts(draft: Draft, parts: list[Part]) -> tuple[str, Heads]:
    t = draft.t
    page = draft.page(t("Price list"))
    page.head(t("Price list"), _edition(draft))
    heads = measured_heads("mass", t("Unit mass (kg)"), "mass", draft.units)
    columns = (
        Column("number", t("No."), 6, LINE),
        Column("part", t("Part"), 20),
        Column("role", t("Role"), 16),
        Column("description", t("Description"), 44),
        Column("group", t("Group"), 16),
        Column("supplier", t("Supplier"), 12),
        Column("pack", t("Pack"), 8, COUNT),
        *measured_columns("mass", heads, draft.units, 12, MASS),
        Column("list_price", t("List price"), 13, draft.money.unit_price),
    )
    rows: list[Row] = [
        {
            "number": at,
            "part": part.part,
            "role": role_name(part.role, draft.reader),
            "description": draft.reader.say(part.description),
            "group": group_name(part.group or part.role, draft.reader),
            "supplier": part.supplier,
            "pack": part.pack_size,
            **measured("mass", part.unit_mass_kg, "mass", draft.units),
            "list_price": part.list_price,
        }
        for at, part in enumerate(parts, start=1)
    ]
    placed = write_table(page, 4, "PriceList", columns, rows)
    print_wide(draft, page, heads=4)
    page.sheet.freeze_panes = "C5"
    first, last = placed.span("part").split(":")
    names = f"'{page.title}'!${first[0]}${first[1:]}:${last[0]}${last[1:]}"
    return names, Heads("PriceList", {column.key: column.head for column in columns})


def _write_breaks(draft: Draft, parts: list[Part]) -> Heads:
    t = draft.t
    page = draft.page(t("Price breaks"))
    page.head(t("Price breaks"), t("Unit cost from an ordered quantity on. The key makes the look-up of a quantity."))
    columns = (
        Column("key", t("Key"), 18, LINE),
        Column("part", t("Part"), 24, TEXT),
        Column("from", t("From quantity"), 12, COUNT),
        Column("cost", t("Unit cost"), 14, draft.money.unit_price),
    )
    rows: list[Row] = [
        {"key": at * KEY_STEP + begins, "part": part.part, "from": begins, "cost": cost}
        for at, part in enumerate(parts, start=1)
        for begins, cost in _costs(part)
    ]
    write_table(page, 4, "PriceBreaks", columns, rows)
    print_wide(draft, page, heads=4, upright=True)
    page.sheet.freeze_panes = "A5"
    return Heads("PriceBreaks", {column.key: column.head for column in columns})


def _costs(part: Part) -> list[tuple[int, Decimal]]:
    costs = {0: part.cost} | {max(0, each.from_quantity): each.cost for each in part.breaks}
    return sorted(costs.items())


def _edition(draft: Draft) -> str:
    book = draft.book
    return draft.t(
        "{book}, edition {edition}, {currency}", book=book.title, edition=book.edition, currency=book.currency
    )
