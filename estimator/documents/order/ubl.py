"""An order list as a UBL 2.1 Order (ISO/IEC 19845)."""

from __future__ import annotations

from estimator.documents.header import OrderHeader
from estimator.documents.purchasing.facts import order_reader
from estimator.documents.xml import ubl
from estimator.errors import Refused
from estimator.job import Address
from estimator.money import total
from estimator.orders import OrderLine, OrderList


def write_ubl_order(order: OrderList, header: OrderHeader) -> bytes:
    """One supplier's list as an electronic order, in the language of its head.

    Sums and codes are checked before anything is written.
    """
    _check(order)
    reader = order_reader(order, header)
    document = ubl.root("Order")
    ubl.basic(document, "ID", header.number_for(order.supplier.supplier))
    ubl.basic(document, "IssueDate", header.dated.isoformat())
    if order.quotes:
        ubl.basic(document, "Note", reader.texts.t("For quotes {quotes}", quotes=", ".join(order.quotes)))
    ubl.basic(document, "DocumentCurrencyCode", order.currency)
    buyer, seller = order.buyer, order.supplier
    house = Address(buyer.address_lines, buyer.postcode, buyer.city, "", buyer.country)
    ours = ubl.UblParty(buyer.name, house, buyer.email, buyer.tax_number)
    ubl.party(ubl.aggregate(document, "BuyerCustomerParty"), ours)
    theirs = Address(seller.address_lines, seller.postcode, seller.city, "", seller.country)
    supplier = ubl.aggregate(document, "SellerSupplierParty")
    ubl.basic(supplier, "CustomerAssignedAccountID", seller.account)
    ubl.party(supplier, ubl.UblParty(seller.name, theirs, seller.email))
    _delivery(document, order)
    sums = ubl.aggregate(document, "AnticipatedMonetaryTotal")
    ubl.amount(sums, "LineExtensionAmount", order.total)
    ubl.amount(sums, "PayableAmount", order.total)
    for number, line in enumerate(order.lines, start=1):
        _line(document, number, line, order.currency, reader.say(line.description))
    return ubl.to_bytes(document)


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


def _line(document: ubl.Element, number: int, line: OrderLine, currency: str, description: str) -> None:
    item = ubl.aggregate(ubl.aggregate(document, "OrderLine"), "LineItem")
    ubl.basic(item, "ID", number)
    ubl.quantity(item, "Quantity", line.ordered, line.unit)
    ubl.amount(item, "LineExtensionAmount", line.cost)
    price = ubl.aggregate(item, "Price")
    ubl.price_amount(price, "PriceAmount", line.unit_cost, currency)
    ubl.quantity(price, "BaseQuantity", 1, line.unit)
    goods = ubl.aggregate(item, "Item")
    ubl.basic(goods, "Description", description)
    if line.pack_size > 1:
        ubl.quantity(goods, "PackQuantity", line.packs, "XPK")
        ubl.basic(goods, "PackSizeNumeric", line.pack_size)
    ubl.basic(goods, "Name", description[:100] or line.part)
    ubl.basic(ubl.aggregate(goods, "BuyersItemIdentification"), "ID", line.part)
    if line.supplier_part:
        ubl.basic(ubl.aggregate(goods, "SellersItemIdentification"), "ID", line.supplier_part)


def _check(order: OrderList) -> None:
    """The schema checks neither sums nor codes; this does."""
    if total((line.cost for line in order.lines), order.currency) != order.total:
        raise Refused("the order's lines do not add up to its total")
    ubl.check_codes(
        [(f"line {at}", line.unit) for at, line in enumerate(order.lines, start=1)],
        [("buyer", order.buyer.country), ("supplier", order.supplier.country), ("delivery", order.country)],
        order.currency,
    )
