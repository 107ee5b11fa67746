"""Order lists over accepted quotes; a quote is ordered once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any, cast

from sqlalchemy import select, update
from sqlalchemy.exc import IntegrityError, OperationalError
from sqlalchemy.orm import Session, defer

from estimator.documents.header import OrderHeader
from estimator.errors import AlreadyUsed, Conflict, Fault, NotFound, Refused
from estimator.money import Money
from estimator.orders import (
    OffcutsOnHand,
    OrderedQuote,
    OrderLists,
    change_of,
    cut_together,
    deliveries_of,
    make_order_lists,
)
from estimator.orders.merged_books import check_on_hand, merge_books
from estimator.sentences import say
from estimator.service.access.audit import Thing, write_down
from estimator.service.calculations import Tell, here, ignore
from estimator.service.context import Client, ServiceContext, StoreResponse, new_id
from estimator.service.ordering.order_changes import OrderChain, chain_of, refuse_changed
from estimator.service.outbox.events import publish
from estimator.service.quoting.stored.quotes import find_quote
from estimator.storage import tables
from estimator.storage.records.codec import freeze, thaw


@dataclass(frozen=True, slots=True)
class StoredOrderList:
    """An order list as it is kept, with the quotes it orders."""

    id: str
    number: str
    quotes: tuple[str, ...]
    request: Any
    lists: OrderLists
    version: int
    created_at: datetime

    @property
    def header(self) -> OrderHeader:
        """The head of its documents, dated as purchasing asked, else the day it was made, in the jobs' language."""
        return OrderHeader(self.number, _dated(self), self.request.get("language") or "en")


def _dated(kept: StoredOrderList | tables.OrderListRow) -> date:
    ordered_on = kept.request.get("ordered_on")
    return date.fromisoformat(ordered_on) if ordered_on else kept.created_at.date()


@dataclass(frozen=True, slots=True)
class SupplierSummary:
    """What one supplier is to deliver, in a list: how many lines, their sum and mass, by when."""

    supplier: str
    name: str
    currency: str
    total: Money
    mass_kg: float
    lines: int
    needed_on: date | None
    order_by: date | None


@dataclass(frozen=True, slots=True)
class OrderListSummary:
    """An order list in a list: its head, its suppliers, and how much there is of what the list itself tells whole."""

    id: str
    number: str
    quotes: tuple[str, ...]
    version: int
    created_at: datetime
    dated: date
    suppliers: tuple[SupplierSummary, ...]
    changes: tuple[str, ...]
    deliveries: int
    checks: int
    rails_cut_together: int


@dataclass(frozen=True, slots=True)
class OrderRequest:
    """What purchasing orders: quotes by id, stock on hand, the date, and whether their rails are cut together.

    ``offcuts`` lie in the yard: rails that are cut together may be cut from them. ``delivered`` names suppliers
    whose earlier deliveries have arrived, where an order is changed.
    """

    quotes: tuple[str, ...]
    stock: Mapping[str, int]
    on: date | None = None
    cut_together: bool = False
    move_joints: bool = False
    delivered: tuple[str, ...] = ()
    offcuts: tuple[OffcutsOnHand, ...] = ()

    @property
    def takes_long(self) -> bool:
        """Whether rails are cut anew from common bars or from off-cuts, which may take minutes."""
        return self.cut_together and (len(self.quotes) > 1 or bool(self.offcuts))


def order_quotes(
    context: ServiceContext, client: Client, order: OrderRequest, store: StoreResponse, tell: Tell = ignore
) -> StoredOrderList:
    """One order list per supplier over accepted quotes.

    The common cut plan may take minutes, so it is made before anything is locked; an accepted quote no longer changes,
    and whether each may still be ordered is looked up once more. ``tell`` hears how many rails are cut
    of how many.
    Errors: NotFound, Conflict if one is not accepted, AlreadyUsed if one was ordered, Refused.
    """
    with context.reading() as session:
        quotes = _accepted(session, client, order.quotes)
        chain = chain_of(session, client, quotes)
    _check(order, quotes, chain)
    is_long = order.cut_together or (chain is not None and chain.request.get("cut_together"))
    calculate = context.calculate if is_long else here
    lists = calculate(lists_of, order, quotes, chain, order.on or context.today(), tell=tell)
    with context.writing() as session:
        _accepted(session, client, order.quotes, lock=True)
        refuse_changed(session, client, quotes, chain)
        row = tables.OrderListRow(
            id=new_id(),
            organisation_id=client.organisation,
            number=_number(session, client, context),
            lists=freeze(lists),
            request=_as_asked(order, quotes, chain),
            summary=_summarised(lists),
            version=1,
            created_at=context.clock(),
        )
        session.add(row)
        session.flush()
        session.add_all(tables.OrderedQuoteRow(quote_id=each, order_list_id=row.id) for each in order.quotes)
        changed = update(tables.QuoteRow).where(tables.QuoteRow.id.in_(order.quotes)).values(updated_at=row.created_at)
        session.execute(changed, execution_options={"synchronize_session": False})
        try:
            session.flush()
        except IntegrityError as fault:
            raise AlreadyUsed(say("one of these quotes was ordered in between")) from fault
        kept = _kept(session, row)
        detail = {"number": row.number, "quotes": list(order.quotes)}
        taken = {heap.part: heap.used for heap in lists.offcuts if heap.used}
        told = {**detail, "offcuts": taken} if taken else detail
        write_down(session, context, client, "order_list.made", Thing("order_list", row.id), told)
        links = {"order_list": f"/v1/order-lists/{row.id}", "quotes": [f"/v1/quotes/{each}" for each in order.quotes]}
        document = {"order_list": row.id, **detail, "state": "made", "links": links}
        publish(session, context, client.organisation, "order_list.made", row.number, document)
        store(session, kept)
        return kept


def look_at_order(context: ServiceContext, client: Client, order: OrderRequest) -> OrderLists:
    """What ``order_quotes`` would order; nothing is kept. Errors: as there."""
    with context.reading() as session:
        quotes = _accepted(session, client, order.quotes)
        chain = chain_of(session, client, quotes)
    _check(order, quotes, chain)
    is_long = order.cut_together or (chain is not None and chain.request.get("cut_together"))
    calculate = context.calculate if is_long else here
    lists: OrderLists = calculate(lists_of, order, quotes, chain, order.on or context.today(), tell=ignore)
    return lists


def refuse_what_cannot_be_ordered(context: ServiceContext, client: Client, order: OrderRequest) -> None:
    """What ``order_quotes`` would refuse before it begins to calculate, told at once. Errors: as there."""
    with context.reading() as session:
        quotes = _accepted(session, client, order.quotes)
        chain = chain_of(session, client, quotes)
    _check(order, quotes, chain)


def _check(order: OrderRequest, quotes: Sequence[OrderedQuote], chain: OrderChain | None) -> None:
    """Refuse (Refused) stock and off-cuts that cannot be; a change is cut together where its order was."""
    every = quotes if chain is None else chain.with_revised(quotes)
    together = order.cut_together if chain is None else bool(chain.request.get("cut_together"))
    check_on_hand(every, order.stock, order.offcuts, together=together)


def lists_of(
    order: OrderRequest, quotes: Sequence[OrderedQuote], chain: OrderChain | None, on: date, *, tell: Tell = ignore
) -> OrderLists:
    """What to order; where earlier revisions were ordered, the change of that order, made again with all its quotes."""
    if chain is None:
        told = order.offcuts
        common = cut_together(quotes, order.move_joints, watch=tell, offcuts=told) if order.cut_together else ()
        return make_order_lists(quotes, order.stock, on, common, told)
    every = chain.with_revised(quotes)
    together, moved = chain.request.get("cut_together"), bool(chain.request.get("move_joints"))
    offcuts = chain.with_offcuts(order.offcuts)
    cuts = cut_together(every, moved, before=chain.plans, watch=tell, offcuts=offcuts) if together else ()
    whole = make_order_lists(every, chain.with_stock(order.stock), on, cuts, offcuts)
    return change_of(chain.orders, whole, merge_books(every).parts, frozenset(order.delivered))


def _as_asked(order: OrderRequest, quotes: Sequence[OrderedQuote], chain: OrderChain | None) -> dict[str, Any]:
    """What was asked, as it is kept, with the language that all jobs share (English where they differ)."""
    languages = {quote.estimate.job.language for quote in quotes}
    return {
        "language": languages.pop() if len(languages) == 1 else "en",
        "quotes": list(order.quotes),
        "stock": dict(order.stock),
        "offcuts": [_offcut_as_asked(each) for each in order.offcuts],
        "ordered_on": order.on.isoformat() if order.on else None,
        "cut_together": order.cut_together,
        "move_joints": order.move_joints,
        "changes": [each.number for each in chain.orders] if chain else [],
        "delivered": list(order.delivered),
    }


def _offcut_as_asked(each: OffcutsOnHand) -> dict[str, Any]:
    price = None if each.price is None else str(each.price)
    return {"rail": each.rail, "length": each.length_mm, "count": each.count, "price": price}


def get_order_list(context: ServiceContext, client: Client, order_list_id: str) -> StoredOrderList:
    """One order list. Errors: NotFound, also for another organisation's."""
    with context.reading() as session:
        statement = select(tables.OrderListRow).where(
            tables.OrderListRow.id == order_list_id, tables.OrderListRow.organisation_id == client.organisation
        )
        row = session.scalar(statement)
        if row is None:
            raise NotFound(say("no such order list"))
        return _kept(session, row)


def list_order_lists(
    context: ServiceContext, client: Client, *, before: str | None, limit: int, since: datetime | None = None
) -> tuple[OrderListSummary, ...]:
    """The newest first, from the one after ``before`` on; no list is thawed but those that have no summary yet."""
    row = tables.OrderListRow
    statement = select(row).where(row.organisation_id == client.organisation).options(defer(row.lists))
    if before:
        statement = statement.where(row.id < before)
    if since is not None:
        statement = statement.where(row.created_at >= since)
    with context.reading() as session:
        rows = list(session.scalars(statement.order_by(row.id.desc()).limit(limit)))
        ordered = tables.OrderedQuoteRow
        found = select(ordered.order_list_id, ordered.quote_id).where(
            ordered.order_list_id.in_([each.id for each in rows])
        )
        quotes: dict[str, list[str]] = {}
        for order_list_id, quote_id in session.execute(found.order_by(ordered.quote_id)) if rows else ():
            quotes.setdefault(order_list_id, []).append(quote_id)
        unwritten = {each.id: _summarised(thaw(each.lists)) for each in rows if each.summary is None}
        summaries: dict[str, Any] = {each.id: each.summary for each in rows} | unwritten
    _keep_summaries(context, unwritten)
    return tuple(_summary(each, tuple(quotes.get(each.id, ())), summaries[each.id]) for each in rows)


def _keep_summaries(context: ServiceContext, summaries: Mapping[str, Any]) -> None:
    """Summaries of lists kept before there were any; where the database is busy the next reader keeps them."""
    row = tables.OrderListRow
    if not summaries:
        return
    try:
        with context.writing() as session:
            for order_list_id, summary in summaries.items():
                session.execute(update(row).where(row.id == order_list_id).values(summary=summary))
    except OperationalError:
        pass


def _summarised(lists: OrderLists) -> dict[str, Any]:
    """What a list of orders shows of one, as it is kept."""
    return {
        "suppliers": [
            {
                "supplier": each.supplier.supplier,
                "name": each.supplier.name,
                "currency": each.currency,
                "total": str(each.total.amount),
                "mass_kg": each.mass_kg,
                "lines": len(each.lines),
                "needed_on": each.needed_on and each.needed_on.isoformat(),
                "order_by": each.order_by and each.order_by.isoformat(),
            }
            for each in lists.lists
        ],
        "deliveries": len(deliveries_of(lists.moving)),
        "checks": len(lists.findings),
        "rails_cut_together": sum(1 for each in lists.together if each.used),
    }


def _summary(row: tables.OrderListRow, quotes: tuple[str, ...], told: dict[str, Any]) -> OrderListSummary:
    suppliers = tuple(
        SupplierSummary(
            **{
                **each,
                "total": Money(Decimal(each["total"]), each["currency"]),
                **{name: each[name] and date.fromisoformat(each[name]) for name in ("needed_on", "order_by")},
            }
        )
        for each in told["suppliers"]
    )
    counts = {name: told[name] for name in ("deliveries", "checks", "rails_cut_together")}
    changes = tuple(row.request.get("changes") or ())
    return OrderListSummary(
        row.id, row.number, quotes, row.version, row.created_at, _dated(row), suppliers, changes, **counts
    )


def _accepted(session: Session, client: Client, quote_ids: Sequence[str], *, lock: bool = False) -> list[OrderedQuote]:
    """The quotes to order; every one that cannot be is named, not only the first."""
    if lock:
        _lock(session, client, quote_ids)
    rows: list[tables.QuoteRow] = []
    for at, quote_id in enumerate(quote_ids):
        try:
            rows.append(find_quote(session, client, quote_id))
        except NotFound as fault:
            raise Refused(
                say("no quote {quote_id}", quote_id=repr(quote_id)), [Fault(f"/quotes/{at}", say("no such quote"))]
            ) from fault
    _refuse_twice([row.number for row in rows])
    _refuse_overtaken(session, client, rows)
    open_ones = [f"{row.number} revision {row.revision} ({row.state})" for row in rows if row.state != "accepted"]
    if open_ones:
        raise Conflict(say("only accepted quotes are ordered; not accepted: {names}", names=", ".join(open_ones)))
    statement = select(tables.OrderedQuoteRow).where(tables.OrderedQuoteRow.quote_id.in_([row.id for row in rows]))
    ordered = {each.quote_id: each.order_list_id for each in session.scalars(statement)}
    if ordered:
        names = ", ".join(f"{row.number} (with {ordered[row.id]})" for row in rows if row.id in ordered)
        raise AlreadyUsed(say("a quote is ordered once; ordered already: {names}", names=names))
    return [OrderedQuote(row.number, row.revision, thaw(row.offer).taken(row.accepted_option)) for row in rows]


def _refuse_overtaken(session: Session, client: Client, rows: Sequence[tables.QuoteRow]) -> None:
    """What was accepted and then changed by a later acceptance is not ordered any more."""
    quote = tables.QuoteRow
    accepted = select(quote.number, quote.revision).where(
        quote.organisation_id == client.organisation,
        quote.number.in_([row.number for row in rows]),
        quote.state == "accepted",
    )
    later = dict(sorted((number, revision) for number, revision in session.execute(accepted)))
    old = [f"{row.number} revision {row.revision}" for row in rows if row.revision < later.get(row.number, 0)]
    if old:
        raise Conflict(
            say("a later revision was accepted since: order that one instead of {names}", names=", ".join(old))
        )


def _lock(session: Session, client: Client, quote_ids: Sequence[str]) -> None:
    """Lock quotes in the order of their ids, however they were named, so that two orders never deadlock."""
    quote = tables.QuoteRow
    own = select(quote.id).where(quote.organisation_id == client.organisation, quote.id.in_(quote_ids))
    session.execute(own.order_by(quote.id).with_for_update()).all()


def _refuse_twice(numbers: Sequence[str]) -> None:
    faults = [
        Fault(f"/quotes/{at}", say("quote {number} is named twice", number=number))
        for at, number in enumerate(numbers)
        if number in numbers[:at]
    ]
    if faults:
        raise Refused(say("a quote is ordered once"), faults)


def _number(session: Session, client: Client, context: ServiceContext) -> str:
    row = session.scalars(
        select(tables.OrganisationRow).where(tables.OrganisationRow.id == client.organisation).with_for_update()
    ).one()
    row.last_order_number += 1
    return f"O-{context.today().year}-{row.last_order_number:05d}"


def _kept(session: Session, row: tables.OrderListRow) -> StoredOrderList:
    statement = select(tables.OrderedQuoteRow.quote_id).where(tables.OrderedQuoteRow.order_list_id == row.id)
    quotes = tuple(sorted(session.scalars(statement)))
    return StoredOrderList(
        row.id, row.number, quotes, row.request, cast(OrderLists, thaw(row.lists)), row.version, row.created_at
    )
