"""An order list as a UBL 2.1 Order, a change of one as an OrderChange (ISO/IEC 19845).

An OrderChange names the order it changes and tells of each line that changes how many are on order after it, with a
status of its line (code list LineStatusCode of UBL 2.1: Added, Revised, Cancelled; from memory, the schema takes any
text). It has no total: the lines that stay are not in it, so that no sum of its own would be that of the order.
"""

from __future__ import annotations

from estimator.documents.header import OrderHeader
from estimator.documents.language.texts import Reader
from estimator.documents.purchasing.facts import order_reader
from estimator.documents.xml import ubl
from estimator.errors import Refused
from estimator.job import Address
from estimator.money import Money, total
from estimator.orders import OrderLine, OrderList
from estimator.sentences import say


def write_ubl_order(order: OrderList, header: OrderHeader) -> bytes:
    """One supplier's list as an electronic order, in the language of its head.

    Sums and codes are checked before anything is written.
    """
    _check(order)
    reader = order_reader(order, header)
    document = ubl.root("OrderChange" if order.changes else "Order")
    ubl.basic(document, "ID", header.number_for(order.supplier.supplier))
    ubl.basic(document, "IssueDate", header.dated.isoformat())
    if order.changes:  # the first change of an order has the number 1
        ubl.basic(document, "SequenceNumberID", len(order.changes))
    if order.quotes:
        ubl.basic(document, "Note", reader.texts.t("For quotes {quotes}", quotes=", ".join(order.quotes)))
    ubl.basic(document, "DocumentCurrencyCode", order.currency)
    if order.changes:
        first = f"{order.changes[0]}-{order.supplier.supplier}"
        ubl.basic(ubl.aggregate(document, "OrderReference"), "ID", first)
    buyer, seller = order.buyer, order.supplier
    house = Address(buyer.address_lines, buyer.postcode, buyer.city, "", buyer.country)
    ours = ubl.UblParty(buyer.name, house, buyer.email, buyer.tax_number)
    ubl.party(ubl.aggregate(document, "BuyerCustomerParty"), ours)
    theirs = Address(seller.address_lines, seller.postcode, seller.city, "", seller.country)
    supplier = ubl.aggregate(document, "SellerSupplierParty")
    ubl.basic(supplier, "CustomerAssignedAccountID", seller.account)
    ubl.party(supplier, ubl.UblParty(seller.name, theirs, seller.email))
    _delivery(document, order)
    if not order.changes:
        sums = ubl.aggregate(document, "AnticipatedMonetaryTotal")
        ubl.amount(sums, "LineExtensionAmount", order.total)
        ubl.amount(sums, "PayableAmount", order.total)
    for number, line in enumerate(order.lines, start=1):
        item = ubl.aggregate(ubl.aggregate(document, "OrderLine"), "LineItem")
        ubl.basic(item, "ID", number)
        if order.changes:
            _change(item, line, reader)
        else:
            _amounts(item, line, order.currency)
        _goods(item, line, reader.say(line.description))
    return ubl.to_bytes(document)


def _change(item: ubl.Element, line: OrderLine, reader: Reader) -> None:
    """What is on order after the change; its price is of the whole where not every piece costs the same."""
    ubl.basic(item, "Note", reader.say(line.why[0]))
    ubl.basic(item, "LineStatusCode", "Added" if not line.before else "Revised" if line.after else "Cancelled")
    ubl.quantity(item, "Quantity", line.after, line.unit)
    after = line.cost if line.before_cost is None else line.before_cost + line.cost
    ubl.amount(item, "LineExtensionAmount", after)
    price = ubl.aggregate(item, "Price")
    even = not line.after or after == Money(line.after * line.unit_cost, after.currency).rounded()
    ubl.price_amount(price, "PriceAmount", line.unit_cost if even else after.amount, after.currency)
    ubl.quantity(price, "BaseQuantity", 1 if even else line.after, line.unit)


def _delivery(document: ubl.Element, order: OrderList) -> None:
    delivery = ubl.aggregate(document, "Delivery")
    if order.ship_to or order.country:
        ubl.address(delivery, "DeliveryAddress", _place(order))
    if order.needed_on:
        period = ubl.aggregate(delivery, "RequestedDeliveryPeriod")
        ubl.basic(period, "EndDate", order.needed_on.isoformat())
    if len(delivery) == 0:
        document.remove(delivery)


def _place(order: OrderList) -> Address:
    """The place in its parts; of an order kept before there were any, its lines."""
    known = order.ship_place != Address()
    return order.ship_place if known else Address(order.ship_to, country=order.country)


def _amounts(item: ubl.Element, line: OrderLine, currency: str) -> None:
    ubl.quantity(item, "Quantity", line.ordered, line.unit)
    ubl.amount(item, "LineExtensionAmount", line.cost)
    price = ubl.aggregate(item, "Price")
    ubl.price_amount(price, "PriceAmount", line.unit_cost, currency)
    ubl.quantity(price, "BaseQuantity", 1, line.unit)


def _goods(item: ubl.Element, line: OrderLine, description: str) -> None:
    goods = ubl.aggregate(item, "Item")
    ubl.basic(goods, "Description", description)
    if line.pack_size > 1:
        packs = line.after // line.pack_size if line.change else line.packs
        ubl.quantity(goods, "PackQuantity", packs, "XPK")
        ubl.basic(goods, "PackSizeNumeric", line.pack_size)
    ubl.basic(goods, "Name", description[:100] or line.part)
    ubl.basic(ubl.aggregate(goods, "BuyersItemIdentification"), "ID", line.part)
    if line.supplier_part:
        ubl.basic(ubl.aggregate(goods, "SellersItemIdentification"), "ID", line.supplier_part)


def _check(order: OrderList) -> None:
    """The schema checks neither sums nor codes; this does."""
    if total((line.cost for line in order.lines), order.currency) != order.total:
        raise Refused(say("the order's lines do not add up to its total"))
    ubl.check_codes(
        [(f"line {at}", line.unit) for at, line in enumerate(order.lines, start=1)],
        [("buyer", order.buyer.country), ("supplier", order.supplier.country), ("delivery", order.country)],
        order.currency,
    )
