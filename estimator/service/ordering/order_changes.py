"""The order that a revised quote was ordered with, and its changes so far, with which a change is compared."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, cast

from sqlalchemy import select
from sqlalchemy.orm import Session

from estimator.cutting.records import CutPlan
from estimator.errors import Fault, NotYet, Refused
from estimator.orders import EarlierOrder, OffcutHeap, OffcutsOnHand, OrderedQuote, OrderLists
from estimator.orders.yard import taken_from_heaps, with_taken
from estimator.sentences import say
from estimator.service.context import Client, ServiceContext
from estimator.storage import tables
from estimator.storage.records.codec import thaw


@dataclass(frozen=True, slots=True)
class OrderChain:
    """An order with its changes, the first one first, and the quotes in it as they were ordered last.

    ``request`` is what purchasing asked for the order itself; ``stock`` is what it and its changes took from stock.
    ``heaps`` are the off-cuts told for it so far, each heap once.
    """

    ids: tuple[str, ...]
    orders: tuple[EarlierOrder, ...]
    quotes: tuple[OrderedQuote, ...]
    request: Mapping[str, Any]
    stock: Mapping[str, int]
    heaps: tuple[OffcutHeap, ...] = ()

    def with_revised(self, revised: Sequence[OrderedQuote]) -> tuple[OrderedQuote, ...]:
        """The quotes of the order, those that were revised as they stand now."""
        by_number = {quote.number: quote for quote in revised}
        return tuple(by_number.get(quote.number, quote) for quote in self.quotes)

    @property
    def plans(self) -> tuple[CutPlan, ...]:
        """The common cut plans that were ordered by."""
        return tuple(cut.plan for order in self.orders for cut in order.lists.together if cut.used)

    def with_stock(self, more: Mapping[str, int]) -> dict[str, int]:
        """What the order took from stock and what is there besides."""
        return {part: self.stock.get(part, 0) + more.get(part, 0) for part in {*self.stock, *more}}

    def with_offcuts(self, more: Sequence[OffcutsOnHand]) -> tuple[OffcutsOnHand, ...]:
        """What the order took of the off-cuts told for it, and what is there besides."""
        return with_taken(self.heaps, taken_from_heaps(self.orders[-1].lists, self.quotes), more)


@dataclass(frozen=True, slots=True)
class OrderToChange:
    """The order that a quote's earlier revision is on, with its changes: ids and numbers, the order itself first.

    ``suppliers``: code and name of whoever was ordered from.
    """

    number: str
    orders: tuple[tuple[str, str], ...]
    suppliers: tuple[tuple[str, str], ...]


def orders_to_change(context: ServiceContext, client: Client, numbers: Collection[str]) -> dict[str, OrderToChange]:
    """Which of these quotes' numbers are on order already, with what would be changed by ordering a later revision."""
    quote, ordered = tables.QuoteRow, tables.OrderedQuoteRow
    on_order = select(quote.number).join(ordered, quote.id == ordered.quote_id).distinct()
    own = on_order.where(quote.organisation_id == client.organisation, quote.number.in_(numbers))
    found = {}
    with context.reading() as session:
        for number in sorted(session.scalars(own)):
            ids = _together(session, client, {number})[1]
            rows = session.scalars(select(tables.OrderListRow).where(tables.OrderListRow.id.in_(ids))).all()
            rows = sorted(rows, key=lambda row: row.id)
            lists = [each for row in rows for each in cast(OrderLists, thaw(row.lists)).lists]
            suppliers = {each.supplier.supplier: each.supplier.name for each in lists}
            orders = tuple((row.id, row.number) for row in rows)
            found[number] = OrderToChange(number, orders, tuple(sorted(suppliers.items())))
    return found


def chain_of(session: Session, client: Client, quotes: Sequence[OrderedQuote]) -> OrderChain | None:
    """The order that earlier revisions of these quotes were ordered with; None where none was.

    Refuses (Refused) quotes of several orders together, and new ones beside those of an order.
    """
    asked = {quote.number for quote in quotes}
    numbers, ids = _together(session, client, asked)
    if not ids:
        return None
    statement = select(tables.OrderListRow).where(tables.OrderListRow.id.in_(ids)).order_by(tables.OrderListRow.id)
    rows = session.scalars(statement).all()
    roots = [row.number for row in rows if not row.request.get("changes")]
    if len(roots) > 1 or not asked <= numbers:
        places = [
            Fault(f"/quotes/{at}", say("{number} revision {revision}", number=quote.number, revision=quote.revision))
            for at, quote in enumerate(quotes)
        ]
        raise Refused(say("a change of an order is made by itself: name revised quotes of one order only"), places)
    return OrderChain(
        ids=tuple(row.id for row in rows),
        orders=tuple(EarlierOrder(row.number, cast(OrderLists, thaw(row.lists))) for row in rows),
        quotes=_as_ordered_last(session, client, [row.id for row in rows]),
        request=rows[0].request,
        stock=_taken(rows),
        heaps=_heaps(rows),
    )


def refuse_changed(session: Session, client: Client, quotes: Sequence[OrderedQuote], chain: OrderChain | None) -> None:
    """NotYet where the order was changed since it was looked up; it is locked from here on."""
    known = () if chain is None else chain.ids
    if known:
        rows = select(tables.OrderListRow.id).where(tables.OrderListRow.id.in_(known)).with_for_update()
        session.execute(rows).all()
    now = tuple(sorted(_together(session, client, {quote.number for quote in quotes})[1]))
    if now != known:
        raise NotYet(say("the order was changed in between; send this again"), 1)


def _together(session: Session, client: Client, asked: Collection[str]) -> tuple[set[str], set[str]]:
    """The numbers of all quotes that stand on orders with these, and the ids of those orders and their changes."""
    numbers, ids = set(asked), set[str]()
    quote, ordered = tables.QuoteRow, tables.OrderedQuoteRow
    pairs = select(ordered.order_list_id, quote.number).join(quote, quote.id == ordered.quote_id)
    pairs = pairs.where(quote.organisation_id == client.organisation)
    while True:
        found = {each for each, _ in session.execute(pairs.where(quote.number.in_(numbers)))}
        if found == ids:
            break
        ids = found
        numbers |= {number for _, number in session.execute(pairs.where(ordered.order_list_id.in_(ids)))}
    stands = {number for _, number in session.execute(pairs.where(ordered.order_list_id.in_(ids)))} if ids else set()
    return stands, ids


def _as_ordered_last(session: Session, client: Client, ids: Sequence[str]) -> tuple[OrderedQuote, ...]:
    """Of each quote of the order the revision that was ordered last."""
    quote, ordered = tables.QuoteRow, tables.OrderedQuoteRow
    statement = select(quote).join(ordered, quote.id == ordered.quote_id)
    mine = statement.where(quote.organisation_id == client.organisation, ordered.order_list_id.in_(ids))
    last: dict[str, tables.QuoteRow] = {}
    for row in session.scalars(mine.order_by(quote.revision)):
        last[row.number] = row
    return tuple(
        OrderedQuote(row.number, row.revision, thaw(row.offer).taken(row.accepted_option)) for row in last.values()
    )


def _heaps(rows: Sequence[tables.OrderListRow]) -> tuple[OffcutHeap, ...]:
    """The off-cuts told for an order and its changes, each heap as it was told last."""
    found = {(heap.rail, heap.part): heap for row in rows for heap in cast(OrderLists, thaw(row.lists)).offcuts}
    return tuple(found.values())


def _taken(rows: Sequence[tables.OrderListRow]) -> dict[str, int]:
    """What the order and its changes took from stock: what was told, less what the last of them left there."""
    stock: dict[str, int] = {}
    for row in rows:
        for part, count in row.request.get("stock", {}).items():
            stock[part] = stock.get(part, 0) + count
    left = dict(cast(OrderLists, thaw(rows[-1].lists)).left_in_stock)
    return {part: count - left.get(part, 0) for part, count in stock.items()}
