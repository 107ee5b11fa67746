"""What heads an order and a packing list, whoever writes them: parties, facts and notes in the reader's language."""

from __future__ import annotations

from dataclasses import dataclass, replace

from estimator.documents.header import Fact, OrderHeader
from estimator.documents.language.addresses import address_lines, country_name
from estimator.documents.language.texts import Reader, reader_for
from estimator.documents.language.words import INVENTED
from estimator.documents.style import paper_for
from estimator.job import Address
from estimator.orders import OrderList
from estimator.pricebook import Seller, Supplier


@dataclass(frozen=True, slots=True)
class OrderParty:
    """A name and the lines under it."""

    role: str
    name: str
    lines: tuple[str, ...]


def for_supplier(order: OrderList, header: OrderHeader) -> tuple[OrderList, OrderHeader]:
    """A list and its head as its supplier reads them: in the language and units that the book has for it, if any."""
    supplier = order.supplier
    own = replace(order, units=supplier.units) if supplier.units else order
    return own, replace(header, language=supplier.language) if supplier.language else header


def order_reader(order: OrderList, header: OrderHeader) -> Reader:
    """Who reads it: the supplier, in the language of the head; numbers as in the supplier's country."""
    return reader_for(header.language, order.supplier.country or order.buyer.country, order.units, order.texts)


def order_paper(order: OrderList, header: OrderHeader) -> str:
    """The paper asked for, else that of the supplier's country."""
    return header.paper or paper_for(order.supplier.country or order.buyer.country)


def house_reader(order: OrderList, header: OrderHeader) -> Reader:
    """Who reads what stays in the house or goes to its sites: numbers as in the buyer's country."""
    return reader_for(header.language, order.buyer.country, order.units, order.texts)


def house_paper(order: OrderList, header: OrderHeader) -> str:
    """The paper asked for, else that of the buyer's country."""
    return header.paper or paper_for(order.buyer.country)


def order_parties(order: OrderList, reader: Reader) -> tuple[OrderParty, ...]:
    """Supplier, buyer, and where to deliver."""
    t = reader.texts.t
    country = tuple(name for name in (country_name(order.country, reader),) if name)
    first, *others = order.ship_to or (t("to be announced"),)
    return (
        OrderParty(t("Supplier"), order.supplier.name, place_lines(order.supplier, reader)),
        OrderParty(t("Buyer"), order.buyer.name, place_lines(order.buyer, reader)),
        OrderParty(t("Deliver to"), first, (*others, *country) if order.ship_to else ()),
    )


def order_facts(order: OrderList, header: OrderHeader, reader: Reader, *, priced: bool = True) -> tuple[Fact, ...]:
    """Number, dates and references; the currency where prices follow."""
    t, date = reader.texts.t, reader.formats.date
    supplier = order.supplier
    facts = [
        Fact(t("Order number"), header.number_for(supplier.supplier)),
        Fact(t("Changes the order"), ", ".join(f"{each}-{supplier.supplier}" for each in order.changes)),
        Fact(t("Order date"), date(header.dated)),
        Fact(t("Our account with you"), supplier.account),
        Fact(t("Needed on site"), date(order.needed_on) if order.needed_on else t("to be agreed")),
        Fact(t("For quotes"), ", ".join(order.quotes)),
        Fact(t("Currency"), order.currency if priced else ""),
    ]
    return tuple(fact for fact in facts if fact.value)


def order_name(order: OrderList, reader: Reader) -> str:
    """What heads an order, or a change of one."""
    return reader.texts.t("Change of an order") if order.changes else reader.texts.t("Order")


def change_note(order: OrderList, reader: Reader) -> str:
    """What the quantities of a change are; nothing for an order."""
    if not order.changes:
        return ""
    return reader.texts.t("Quantities are differences to what is on order: more, or with a minus less or returned.")


def invented_note(order: OrderList, reader: Reader) -> str:
    """A warning where the pricebook is a demonstration; else nothing."""
    return reader.texts.t(INVENTED) if order.invented else ""


def place_lines(place: Seller | Supplier, reader: Reader) -> tuple[str, ...]:
    """Address, mail and telephone of a house, its country in words."""
    address = Address(place.address_lines, place.postcode, place.city, "", place.country)
    phone = place.phone if isinstance(place, Seller) else ""
    return tuple(text for text in (*address_lines(address, reader), place.email, phone) if text)
