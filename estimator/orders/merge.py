"""Accepted quotes merged into one order list per supplier: rounded to packs once, less what is in stock."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from estimator.buying import BuyLine, line_mass
from estimator.money import Money, total
from estimator.orders.deliveries.allotting import Groups, allot, first_day, site_groups
from estimator.orders.deliveries.sites import delivery_of, place_of, quote_sites
from estimator.orders.merged_books import MergedBooks, check_on_hand, merge_books
from estimator.orders.notes import findings_of, knowingly
from estimator.orders.records import (
    OUR_STOCK,
    CommonCut,
    OffcutsOnHand,
    OrderedQuote,
    OrderLine,
    OrderList,
    OrderLists,
    QuoteShare,
)
from estimator.orders.sawn import sawn_into
from estimator.orders.yard import as_stock, with_used
from estimator.pricebook import Part, Supplier
from estimator.pricing import unit_cost
from estimator.pricing.unit_prices import YARD
from estimator.sentences import Sentence, say
from estimator.units import units_for_all


@dataclass(frozen=True, slots=True)
class _Wanted:
    """One part with what each quote requires of it."""

    part: Part
    role: str
    shares: tuple[QuoteShare, ...]
    stands: tuple[Sentence, ...]


def make_order_lists(
    quotes: Sequence[OrderedQuote],
    stock: Mapping[str, int],
    on: date,
    together: Sequence[CommonCut] = (),
    offcuts: Sequence[OffcutsOnHand] = (),
) -> OrderLists:
    """One order list per supplier for all quotes together.

    Args:
        quotes: accepted quotes, of one currency; the youngest edition among their pricebooks sets the costs.
        stock: whole parts on hand by part number, used up first.
        on: the date of the order; an order date before it is a warning.
        together: common cut plans over these quotes (``cut_together``), where purchasing asks for them.
        offcuts: those on hand that the common plans were made with.

    Off-cuts from the house's own yard are not bought: they stand in ``from_yard``, and among what stock gives.
    Refuses (Refused) no quote at all, mixed currencies, and stock of unknown parts or below nothing.

    """
    check_on_hand(quotes, stock)
    books = merge_books(quotes, offcuts)
    groups = site_groups(quote_sites(quotes))
    lines = [_order_line(each, books, stock, groups) for each in _wanted(quotes, books, together)]
    suppliers = sorted({books.parts[line.part].supplier for line in lines})
    by_supplier = {name: [line for line in lines if books.parts[line.part].supplier == name] for name in suppliers}
    yard = tuple(replace(line, sawn=sawn_into(line.part, quotes, together)) for line in by_supplier.pop(YARD, ()))
    heaps = with_used(books.heaps, yard, quotes)
    lists = tuple(
        _list_for(books.suppliers[name], [line for line in each if line.ordered], quotes, books)
        for name, each in by_supplier.items()
    )
    alone = [line for each in by_supplier.values() for line in each if line.from_stock and not line.ordered]
    alone += [as_stock(line) for line in yard]
    used = {line.part: line.from_stock for line in lines}
    return OrderLists(
        lists=tuple(each for each in lists if each.lines),
        findings=findings_of(lists, yard, (quotes, heaps), together, on),
        left_in_stock=tuple((part, count - used.get(part, 0)) for part, count in sorted(stock.items())),
        from_yard=yard,
        together=tuple(together),
        from_stock=_list_for(OUR_STOCK, alone, quotes, books) if alone else None,
        offcuts=heaps,
    )


def _wanted(quotes: Sequence[OrderedQuote], books: MergedBooks, together: Sequence[CommonCut]) -> list[_Wanted]:
    """What each quote requires of each part; bars that are cut together stand as one share."""
    shares: dict[str, list[QuoteShare]] = {}
    roles: dict[str, str] = {}
    replaced = replaced_lines(quotes, together)
    for quote in quotes:
        for priced in quote.estimate.bill.lines:
            line = priced.line
            roles.setdefault(line.part, line.role)
            if (quote.number, line.part) not in replaced:
                shares.setdefault(line.part, []).append(QuoteShare(quote.number, required_of(line)))
    for common in together:
        for bars in common.bars if common.used else ():
            roles.setdefault(bars.part, "rail")
            several = len(common.quotes) > 1
            name = say("{quotes}, cut together", quotes=" + ".join(common.quotes)) if several else common.quotes[0]
            shares.setdefault(bars.part, []).append(QuoteShare(name, bars.count))
    return [
        _Wanted(books.parts[name], roles[name], tuple(each), knowingly(quotes, name))
        for name, each in sorted(shares.items())
    ]


def replaced_lines(quotes: Sequence[OrderedQuote], together: Sequence[CommonCut]) -> set[tuple[str, str]]:
    """Quote and part of every bar line whose bars a common plan gives instead."""
    replaced = set()
    for common in together:
        for quote in quotes:
            rail = quote.estimate.mounting.rail if common.used and quote.number in common.quotes else None
            replaced |= {(quote.number, stock.part) for stock in rail.stocks} if rail else set()
    return replaced


def required_of(line: BuyLine) -> int:
    """What a quote requires before packs; where the estimator set the ordered quantity, that."""
    return line.ordered if set_by_hand(line) else line.required


def set_by_hand(line: BuyLine) -> bool:
    """Whether the estimator set the ordered quantity: it is not the required one rounded up to packs."""
    return line.ordered != -(-line.required // line.pack_size) * line.pack_size


def _order_line(wanted: _Wanted, books: MergedBooks, stock: Mapping[str, int], groups: Groups) -> OrderLine:
    part, book = wanted.part, books.newest
    required = sum(share.required for share in wanted.shares)
    from_stock = min(stock.get(part.part, 0), required)
    packs = -(-(required - from_stock) // part.pack_size)
    ordered = packs * part.pack_size
    cost, break_from = unit_cost(part, ordered)
    due = first_day(allot(wanted.shares, from_stock, ordered, groups), groups)
    lead = part.lead_time_days or books.suppliers[part.supplier].lead_time_days
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
        length_mm=books.lengths.get(part.part),
        lead_time_days=lead,
        order_by=due - timedelta(days=lead) if due else None,
        why=_why(wanted, from_stock, (packs, part.pack_size), break_from),
        stands=wanted.stands,
    )


def _why(wanted: _Wanted, from_stock: int, packing: tuple[int, int], break_from: int) -> tuple[Sentence, ...]:
    why = [say("{count} for {quote}", count=share.required, quote=share.quote) for share in wanted.shares]
    if from_stock:
        why.append(say("{count} from stock", count=from_stock))
    if packing[1] > 1:
        one = say("1 pack of {size}, rounded once over all quotes", size=packing[1])
        many = say("{count} packs of {size}, rounded once over all quotes", count=packing[0], size=packing[1])
        why.append(one if packing[0] == 1 else many)
    if break_from:
        why.append(say("cost break from {count}", count=break_from))
    return tuple(why)


def _list_for(
    supplier: Supplier, lines: Sequence[OrderLine], quotes: Sequence[OrderedQuote], books: MergedBooks
) -> OrderList:
    ordered = tuple(lines)
    book = books.newest
    dates = [line.order_by for line in ordered if line.order_by]
    needed = [line.order_by + timedelta(days=line.lead_time_days) for line in ordered if line.order_by]
    ship_to, country = delivery_of(quotes, book)
    return OrderList(
        supplier=supplier,
        buyer=book.seller,
        currency=book.currency,
        lines=ordered,
        total=total((line.cost for line in ordered), book.currency),
        mass_kg=float(sum((Decimal(repr(line.mass_kg)) for line in ordered), Decimal(0))),
        needed_on=min(needed) if needed else None,
        order_by=min(dates) if dates else None,
        ship_to=ship_to,
        country=country,
        quotes=tuple(quote.number for quote in quotes),
        units=units_for_all({quote.estimate.job.display_units for quote in quotes}, book.seller.country),
        rounding=book.rounding,
        packaging_share=book.packaging_share,
        invented=any(quote.estimate.book.invented for quote in quotes),
        texts=book.texts,
        locale=book.locale,
        ship_place=place_of(quotes, book),
        sites=quote_sites(quotes),
    )
