"""Accepted quotes merged into one order list per supplier: rounded to packs once, less what is in stock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from estimator.buying import BuyLine, line_mass
from estimator.errors import Fault, Finding, Refused
from estimator.money import Money, total
from estimator.orders.records import OrderedQuote, OrderLine, OrderList, OrderLists, QuoteShare
from estimator.pricebook import Book, Part
from estimator.pricing import unit_cost


@dataclass(frozen=True, slots=True)
class _Wanted:
    """One part with what each quote requires of it."""

    part: Part
    role: str
    shares: tuple[QuoteShare, ...]


def make_order_lists(
    quotes: Sequence[OrderedQuote], stock: Mapping[str, int], on: date, required: Mapping[str, int] | None = None
) -> OrderLists:
    """One order list per supplier for all quotes together.

    Args:
        quotes: accepted quotes, of one currency; the youngest edition among their pricebooks sets the costs.
        stock: whole parts on hand by part number, used up first.
        on: the date of the order; an order date before it is a warning.
        required: totals of a common cut plan by bar part, where purchasing cuts several jobs together.

    Refuses (Refused) no quote at all, mixed currencies, and stock of unknown parts or below nothing.

    """
    book = _book_of(quotes)
    _check_stock(stock, book, quotes)
    wanted = _wanted(quotes, book, required or {})
    needed_on = _needed_on(quotes)
    lines = [(_supplier_of(each.part), _order_line(each, book, stock, needed_on)) for each in wanted]
    suppliers = sorted({supplier for supplier, _ in lines})
    lists = tuple(_list_for(name, [line for of, line in lines if of == name], quotes, book) for name in suppliers)
    used = {line.part: line.from_stock for _, line in lines}
    left = tuple((part, count - used.get(part, 0)) for part, count in sorted(stock.items()))
    return OrderLists(tuple(each for each in lists if each.lines), _findings(lists, on), left)


def _book_of(quotes: Sequence[OrderedQuote]) -> Book:
    if not quotes:
        raise Refused("no quote to order", [Fault("/quotes", "name at least one accepted quote")])
    books = [quote.estimate.book for quote in quotes]
    currencies = sorted({book.currency for book in books})
    if len(currencies) > 1:
        message = f"quotes in {' and '.join(currencies)} cannot be ordered together"
        raise Refused(message, [Fault("/quotes", message, "quotes of one currency")])
    return max(books, key=lambda book: (book.valid_from, book.edition))


def _check_stock(stock: Mapping[str, int], book: Book, quotes: Sequence[OrderedQuote]) -> None:
    known = set(book.parts).union(*(quote.estimate.book.parts for quote in quotes))
    faults = [
        Fault(f"/stock/{part}", f"part {part!r} is in no pricebook of these quotes")
        for part in stock
        if part not in known
    ]
    faults += [Fault(f"/stock/{part}", f"{count} on hand", "0 or more") for part, count in stock.items() if count < 0]
    if faults:
        raise Refused("the stock list does not hold", faults)


def _wanted(quotes: Sequence[OrderedQuote], book: Book, common: Mapping[str, int]) -> list[_Wanted]:
    shares: dict[str, list[QuoteShare]] = {}
    parts: dict[str, tuple[Part, str]] = {}
    for quote in quotes:
        for priced in quote.estimate.bill.lines:
            line = priced.line
            part = book.parts.get(line.part) or quote.estimate.book.parts[line.part]
            parts.setdefault(line.part, (part, line.role))
            if line.role != "rail" or not common:
                shares.setdefault(line.part, []).append(QuoteShare(quote.number, _required(line)))
    for name, count in common.items():
        parts.setdefault(name, (book.parts[name], "rail"))
        shares[name] = [QuoteShare("cut together", count)]
    return [_Wanted(*parts[name], tuple(each)) for name, each in sorted(shares.items())]


def _required(line: BuyLine) -> int:
    """What a quote requires before packs; where the estimator set the ordered quantity, that."""
    packed = -(-line.required // line.pack_size) * line.pack_size
    return line.required if line.ordered == packed else line.ordered


def _order_line(wanted: _Wanted, book: Book, stock: Mapping[str, int], needed_on: date | None) -> OrderLine:
    part = wanted.part
    required = sum(share.required for share in wanted.shares)
    from_stock = min(stock.get(part.part, 0), required)
    packs = -(-(required - from_stock) // part.pack_size)
    ordered = packs * part.pack_size
    cost, break_from = unit_cost(part, ordered)
    supplier = book.suppliers[part.supplier]
    lead = part.lead_time_days or supplier.lead_time_days
    lengths = {stock.part: stock.length_mm for rail in book.rails.values() for stock in rail.stocks}
    return OrderLine(
        part=part.part,
        supplier_part=part.supplier_part,
        description=part.description,
        role=wanted.role,
        unit=part.unit,
        country_of_origin=part.country_of_origin,
        shares=wanted.shares,
        required=required,
        from_stock=from_stock,
        pack_size=part.pack_size,
        packs=packs,
        ordered=ordered,
        unit_cost=cost,
        cost=Money(ordered * cost, book.currency).rounded(book.rounding),
        unit_mass_kg=part.unit_mass_kg,
        mass_kg=float(line_mass(part, ordered)),
        length_mm=lengths.get(part.part),
        lead_time_days=lead,
        order_by=needed_on - timedelta(days=lead) if needed_on else None,
        why=_why(wanted, from_stock, (packs, part.pack_size), break_from),
    )


def _why(wanted: _Wanted, from_stock: int, packing: tuple[int, int], break_from: int) -> tuple[str, ...]:
    why = [f"{share.required} for {share.quote}" for share in wanted.shares]
    if from_stock:
        why.append(f"{from_stock} from stock")
    if packing[1] > 1:
        why.append(f"{packing[0]} packs of {packing[1]}, rounded once over all quotes")
    if break_from:
        why.append(f"cost break from {break_from}")
    return tuple(why)


def _list_for(supplier: str, lines: Sequence[OrderLine], quotes: Sequence[OrderedQuote], book: Book) -> OrderList:
    ordered = tuple(line for line in lines if line.ordered)
    site = quotes[0].estimate.job.site.address
    place = f"{site.postcode} {site.city}".strip()
    dates = [line.order_by for line in ordered if line.order_by]
    return OrderList(
        supplier=book.suppliers[supplier],
        buyer=book.seller,
        currency=book.currency,
        lines=ordered,
        total=total((line.cost for line in ordered), book.currency),
        mass_kg=float(sum((Decimal(repr(line.mass_kg)) for line in ordered), Decimal(0))),
        needed_on=_needed_on(quotes),
        order_by=min(dates) if dates else None,
        ship_to=tuple(text for text in (*site.lines, place, site.region) if text),
        country=site.country,
        quotes=tuple(quote.number for quote in quotes),
    )


def _supplier_of(part: Part) -> str:
    return part.supplier


def _needed_on(quotes: Sequence[OrderedQuote]) -> date | None:
    dates = [quote.estimate.job.site.needed_on for quote in quotes if quote.estimate.job.site.needed_on]
    return min(date.fromisoformat(text) for text in dates) if dates else None


def _findings(lists: Sequence[OrderList], on: date) -> tuple[Finding, ...]:
    findings = []
    for each in lists:
        if each.order_by and each.order_by < on:
            text = f"{each.supplier.name}: to meet the site date the order was due on {each.order_by}; today is {on}"
            findings.append(Finding("order_late", "warning", text, each.supplier.name, str(each.order_by), str(on)))
        least = each.supplier.minimum_order
        if least is not None and each.lines and each.total.amount < least:
            text = f"{each.supplier.name}: order of {each.total.amount} is below the supplier's minimum of {least}"
            findings.append(
                Finding("order_below_minimum", "warning", text, each.supplier.name, str(each.total.amount), str(least))
            )
    return tuple(findings)
