"""What this quote alone would order, supplier by supplier, following the quantities of the pricing sheet."""

from __future__ import annotations

from decimal import Decimal

from estimator.documents.purchasing.facts import place_lines
from estimator.documents.workbook.draft import Draft
from estimator.documents.workbook.pricing.price_lists import PriceLists
from estimator.documents.workbook.printing import print_wide
from estimator.documents.xlsx.looks import COUNT, HEAD, MASS, NOTE, STRONG, TEXT, WRAPPED, as_total
from estimator.documents.xlsx.numbers.figures import number
from estimator.documents.xlsx.numbers.measures import in_unit, measured_heads, to_gram
from estimator.documents.xlsx.page import Page, at
from estimator.documents.xlsx.tables import Heads
from estimator.orders import OrderedQuote, OrderLine, OrderList, make_order_lists
from estimator.units import System

WIDTHS = (5.0, 16.0, 16.0, 32.0, 9.0, 9.0, 7.0, 7.0, 9.0, 11.0, 13.0)
"""Of the columns before the masses; narrow, so that the sheet prints on one page's width at a size to read."""
MASS_WIDTH, LEAD_WIDTH, NUMBER_WIDTH = 10.0, 9.0, 7.0
MASS_AT = len(WIDTHS) + 1


def write_orders(draft: Draft, page: Page, pricing: Heads, lists: PriceLists) -> None:
    """One block a supplier; packs are rounded up once, each amount is at the break of its quantity."""
    header = draft.header
    quote = OrderedQuote(header.number, header.revision, draft.estimate)
    orders = make_order_lists([quote], {}, header.dated)
    lines = {priced.line.part: at_line for at_line, priced in enumerate(draft.bill.lines, start=1)}
    page.head(
        draft.t("Order list"),
        draft.t("For this quote alone; accepted quotes ordered together are rounded to packs once, over all of them."),
    )
    page.widths(*WIDTHS, *(MASS_WIDTH for _ in _masses(draft)), LEAD_WIDTH, NUMBER_WIDTH)
    row = 4
    for order in orders.lists:
        row = _write_order(draft, page, row, order, (pricing, lists, lines)) + 1
    for finding in orders.findings:
        page.put(row, 1, draft.reader.say(finding.message), NOTE)
        page.merge(row, 1, _last(draft))
        row += 1
    print_wide(draft, page)


def _write_order(
    draft: Draft, page: Page, row: int, order: OrderList, sources: tuple[Heads, PriceLists, dict[str, int]]
) -> int:
    t, supplier = draft.t, order.supplier
    page.heading(row, supplier.name or supplier.supplier)
    address = ", ".join(place_lines(supplier, draft.reader))
    account = t("account {account}", account=supplier.account) if supplier.account else ""
    page.put(row + 1, 1, " · ".join(part for part in (address, account) if part), NOTE)
    page.merge(row + 1, 1, _last(draft))
    heads = (
        t("No."),
        t("Part"),
        t("Supplier's part"),
        t("Description"),
        t("Required"),
        t("Quoted"),
        t("Pack"),
        t("Packs"),
        t("To order"),
        t("Unit cost"),
        t("Line cost"),
        *measured_heads("mass", t("Mass (kg)"), "mass", draft.units).values(),
        t("Lead time (days)"),
        t("List no."),
    )
    for column, head in enumerate(heads, start=1):
        page.put(row + 2, column, head, HEAD)
    page.sheet.row_dimensions[row + 2].height = 28
    first = row + 3
    for at_row, line in enumerate(order.lines, start=first):
        _write_line(draft, page, at_row, line, sources)
        page.put(at_row, 1, at_row - first + 1, COUNT)
    last = first + len(order.lines) - 1
    for column in range(1, _last(draft) + 1):
        page.put(last + 1, column, None, as_total(STRONG))
    page.put(last + 1, 2, t("Sum"), as_total(STRONG))
    cost = f"SUM({at(first, 11)}:{at(last, 11)})"
    page.formula(last + 1, 11, cost, order.total.amount, as_total(draft.money.amount))
    exact = sum((number(line.unit_mass_kg) * line.ordered for line in order.lines), Decimal(0))
    for column, system in _masses(draft):
        mass = f"ROUND(SUM({at(first, column)}:{at(last, column)}),3)"
        page.formula(last + 1, column, mass, to_gram(in_unit(exact, "mass", system)), as_total(MASS))
    return last + 2


def _masses(draft: Draft) -> list[tuple[int, System]]:
    """The columns of masses, each with its system."""
    return list(enumerate(draft.formats.systems, start=MASS_AT))


def _last(draft: Draft) -> int:
    """The last column, where a part's number in the price list stands; the lead time stands before it."""
    return MASS_AT + len(_masses(draft)) + 1


def _write_line(
    draft: Draft, page: Page, row: int, line: OrderLine, sources: tuple[Heads, PriceLists, dict[str, int]]
) -> None:
    pricing, lists, lines = sources
    money = draft.money
    page.put(row, 2, line.part, TEXT)
    page.put(row, 3, line.supplier_part, TEXT)
    description = draft.reader.say(line.description)
    page.put(row, 4, description, WRAPPED)
    page.lines(row, description, WIDTHS[3])
    page.put(row, 5, line.required, COUNT)
    # The quote's quantity: what is required in whole packs, or what the estimator set.
    at_line = lines[line.part]
    quoted = draft.bill.lines[at_line - 1].line.ordered
    page.formula(row, 6, f"INDEX({pricing.column('quantity')},{at_line})", quoted, COUNT)
    page.put(row, 7, line.pack_size, COUNT)
    page.formula(row, 8, f"ROUNDUP({at(row, 6)}/{at(row, 7)},0)", line.packs, COUNT)
    page.formula(row, 9, f"{at(row, 8)}*{at(row, 7)}", line.ordered, COUNT)
    unit_cost = lists.cost_at(at(row, _last(draft)), at(row, 9))
    page.formula(row, 10, unit_cost, line.unit_cost, money.unit_price)
    page.formula(row, 11, draft.rounded(f"{at(row, 9)}*{at(row, 10)}"), line.cost.amount, money.amount)
    for column, system in _masses(draft):
        unit_mass = in_unit(line.unit_mass_kg, "mass", system)
        page.formula(row, column, f"{at(row, 9)}*{unit_mass:f}", unit_mass * line.ordered, MASS)
    page.put(row, _last(draft) - 1, line.lead_time_days, COUNT)
    page.put(row, _last(draft), lists.numbers[line.part], COUNT)
