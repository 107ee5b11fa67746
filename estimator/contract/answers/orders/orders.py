"""An order list with what each supplier is to deliver."""

from __future__ import annotations

from estimator.contract.answers.fields import (
    ByName,
    Date,
    Each,
    Link,
    Mass,
    Moment,
    MoneyText,
    One,
    Whole,
    Words,
    links_schema,
    texts,
)
from estimator.contract.answers.jobs import UUID
from estimator.contract.answers.offer.bill import CURRENCY
from estimator.contract.answers.offer.loads import NoticeSchema
from estimator.contract.answers.orders.order_lines import CommonCutSchema, OffcutHeapSchema, OrderLineSchema
from estimator.contract.answers.writing import ITSELF, Answer, Entry, Telling
from estimator.documents.paper import OrderForm
from estimator.documents.papers import DELIVERY_FILES, ORDER_FORMS, files_of_delivery
from estimator.orders import Delivery, OrderList, Pick, deliveries_of
from estimator.orders.deliveries.sites import address_lines
from estimator.service.ordering.order_lists import OrderListSummary, StoredOrderList, SupplierSummary

HERE = f"/v1/order-lists/{UUID}"


def _of_supplier(form: OrderForm) -> Link:
    def address(it: tuple[OrderList, str], _to: Telling) -> str:
        return f"/v1/order-lists/{it[1]}/suppliers/{form.address(it[0].supplier.supplier)}"

    return Link(f"The supplier's part as {form.about}.", address, example=f"{HERE}/suppliers/{form.address('S1')}")


SupplierLinksSchema = links_schema(
    "SupplierLinksSchema",
    "Where the supplier's order is.",
    {form.called: _of_supplier(form) for form in ORDER_FORMS.values() if form.of_supplier},
)


class SupplierOrderSchema(Answer):
    """Everything one supplier is to deliver."""

    record = tuple[OrderList, str]
    supplier = Words("The supplier's code in the pricebook.", "0.supplier.supplier", example="S1")
    name = Words("The supplier's name.", "0.supplier.name", example="Demonstration supplier")
    currency = Words("The currency of its amounts, by ISO 4217.", "0.currency", pattern=CURRENCY, example="EUR")
    lines = Each("What to order.", OrderLineSchema, "0.lines")
    total = MoneyText("Sum of the lines' costs.", "0.total", example="4210.55")
    mass = Mass("Mass of what is ordered.", "0.mass_kg", example=812.4)
    needed_on = Date("The earliest day on which a site needs it; null where none is named.", "0.needed_on", null=True)
    order_by = Date(
        "The last day to order: of its lines the earliest, each by its lead time and the first site that needs it; "
        "null without a date of need.",
        "0.order_by",
        null=True,
    )
    ship_to = texts("Where to deliver, line by line.", "0.ship_to", example=["Lane 1", "20095 Hamburg"])
    country = Words("The country of delivery, by ISO 3166-1.", "0.country", example="DE")
    changes = texts(
        "Numbers of the orders that this one changes: its quantities and money are then differences.",
        "0.changes",
        example=["O-2027-00007"],
    )
    links = One("Where the supplier's order is.", SupplierLinksSchema, ITSELF)


def _whole(form: OrderForm) -> Link:
    def address(it: StoredOrderList, _to: Telling) -> str | None:
        return f"/v1/order-lists/{it.id}/{form.file}" if _is_there(form, it) else None

    always = form.of_supplier and not form.to_one
    return Link(f"The whole list as {form.about}.", address, optional=not always, example=f"{HERE}/{form.file}")


def _is_there(form: OrderForm, kept: StoredOrderList) -> bool:
    """Whether the whole list has this form: what goes to one supplier, and cut rails where none are cut, are not."""
    if form.to_one:
        return len(kept.lists.lists) == 1
    return form.of_supplier or any(each.used and each.sheet for each in kept.lists.together)


OrderListLinksSchema = links_schema(
    "OrderListLinksSchema",
    "Where the order list and its documents are; some only for one supplier, or where rails are cut together.",
    {
        "self": Link("This order list.", lambda it, _to: f"/v1/order-lists/{it.id}", example=HERE),
        **{form.called: _whole(form) for form in ORDER_FORMS.values()},
    },
)


OrderListSelfSchema = links_schema(
    "OrderListSelfSchema",
    "Where the whole order list is.",
    {"self": Link("This order list.", lambda it, _to: f"/v1/order-lists/{it.id}", example=HERE)},
)


class PickSchema(Answer):
    """So many of one part for a delivery."""

    record = Pick
    part = Words("The part.", example="XB-40")
    supplier = Words("Who sends it; empty where stock gives it alone.", example="First Supplier")
    description = Words("What it is.", example="Rib bracket 40")
    required = Whole(
        "How many the site requires; in a change of an order the difference, below zero where fewer.",
        least=None,
        example=120,
    )
    from_stock = Whole(
        "How many of them come from stock; in a change the difference, below zero where stock gets some back.",
        least=None,
        example=20,
    )
    sent = Whole(
        "How many the supplier sends, what rounding to packs adds included; below zero where a change takes some back.",
        least=None,
        example=100,
    )
    order_by = Date("The last day to order them for this site's day; null without a day of need.", null=True)
    sawn = texts(
        "What off-cuts from the yard are cut into before they go, and for which quotes.",
        example=["1 sawn into 1 × 2000 mm for Q-2027-00042"],
    )


def _of_delivery(file: str) -> Link:
    place = f"deliveries/{{number}}/{file}"
    sent = " Null where stock gives all of it and no supplier sends anything." if file.startswith("packing") else ""
    return Link(
        f"Its {file.partition('.')[0].replace('-', ' ')}.{sent}",
        lambda it, _to: (
            f"/v1/order-lists/{it[1]}/{place.format(number=it[0].number)}" if file in files_of_delivery(it[0]) else None
        ),
        null=bool(sent),
        example=f"{HERE}/{place.format(number=1)}",
    )


DeliveryLinksSchema = links_schema(
    "DeliveryLinksSchema",
    "Where the delivery's papers are.",
    {file.replace("-", "_").replace(".", "_"): _of_delivery(file) for file in DELIVERY_FILES},
)


class DeliverySchema(Answer):
    """What goes to one site by one day."""

    record = tuple[Delivery, str]
    number = Whole("Its number, by which its papers are addressed.", "0.number", least=1, example=1)
    ship_to = texts("Where to deliver, line by line.", lambda it, _to: address_lines(it[0].address), example=["Lane 1"])
    country = Words("The country, by ISO 3166-1.", "0.address.country", example="DE")
    needed_on = Date("The day on which the site needs it; null where none was given.", "0.needed_on", null=True)
    order_by = Date(
        "The last day on which all of it can still be ordered in time; null without a day of need.",
        "0.order_by",
        null=True,
    )
    quotes = texts("The numbers of its quotes.", "0.quotes", example=["Q-2027-00042"])
    jobs = texts("The references of its jobs.", "0.jobs", example=["CRM-2041"])
    notes = texts("What its jobs' notes tell those at the site.", "0.notes", example=["Access from the yard only"])
    picks = Each("What to pick.", PickSchema, "0.picks")
    links = One("Where the delivery's papers are.", DeliveryLinksSchema, ITSELF)


class OrderListAnswerSchema(Answer):
    """An order list: for each supplier its lines and total."""

    record = StoredOrderList
    id = Words("The order list's id.", format="uuid", example=UUID)
    number = Words("Its number.", example="O-2027-00007")
    quotes = texts("The ids of the quotes it orders.", example=[UUID])
    created_at = Moment("When it was made.")
    version = Whole("Its version; its ETag.", least=1, example=1)
    suppliers = Each(
        "What each supplier is to deliver.",
        SupplierOrderSchema,
        lambda it, _to: [(each, it.id) for each in it.lists.lists],
    )
    deliveries = Each(
        "What goes to each site by each day, the earliest first.",
        DeliverySchema,
        lambda it, _to: [(each, it.id) for each in deliveries_of(it.lists.moving)],
    )
    checks = Each("What purchasing must know.", NoticeSchema, "lists.findings")
    left_in_stock = ByName(
        "Parts of the stock told that stay there, and how many.",
        "lists.left_in_stock",
        each={"type": "integer", "minimum": 0},
        example={"XB-40": 12},
    )
    offcuts = Each("The off-cuts on hand that were told, and how many are sawn.", OffcutHeapSchema, "lists.offcuts")
    from_yard = Each("What comes from the house's own yard.", OrderLineSchema, "lists.from_yard")
    cut_together = Each("Rails of several quotes that are cut together.", CommonCutSchema, "lists.together")
    links = One("Where the order list and its documents are.", OrderListLinksSchema, ITSELF)


class SupplierSummarySchema(Answer):
    """What one supplier is to deliver, in a few values."""

    record = SupplierSummary
    supplier = Words("The supplier's code in the pricebook.", example="S1")
    name = Words("The supplier's name.", example="Demonstration supplier")
    currency = Words("The currency of its total, by ISO 4217.", pattern=CURRENCY, example="EUR")
    total = MoneyText("Sum of the lines' costs; in a change of an order a difference.", example="4210.55")
    mass = Mass("Mass of what is ordered.", "mass_kg", least=None, example=812.4)
    lines = Whole("How many parts are ordered.", example=17)
    needed_on = Date("The earliest day on which a site needs it; null where none is named.", null=True)
    order_by = Date("The last day to order; null without a date of need.", null=True)


class OrderListSummarySchema(Answer):
    """An order list in a few values; lines, deliveries and checks stand in the order list itself."""

    record = OrderListSummary
    id = Words("The order list's id.", format="uuid", example=UUID)
    number = Words("Its number.", example="O-2027-00007")
    quotes = texts("The ids of the quotes it orders.", example=[UUID])
    created_at = Moment("When it was made.")
    dated = Date("The date on its papers.")
    version = Whole("Its version; its ETag.", least=1, example=1)
    suppliers = Each("What each supplier is to deliver, in a few values.", SupplierSummarySchema)
    changes = texts("Numbers of the orders that it changes.", example=["O-2027-00007"])
    deliveries = Whole("How many deliveries there are.", example=2)
    checks = Whole("How much purchasing must know of it.", example=1)
    rails_cut_together = Whole("How many rails are cut together for several quotes.", example=0)
    links = One("Where the order list is.", OrderListSelfSchema, ITSELF)


class OrderListPageSchema(Answer):
    """A page of order lists."""

    items = Each("The order lists in a few values each, the newest first.", OrderListSummarySchema, "0")
    next = Link("Where the next page is; null on the last.", "1", null=True, example="/v1/order-lists?cursor=...")


def order_list_entry(kept: StoredOrderList) -> Entry:
    """An order list with what each supplier is to deliver."""
    return OrderListAnswerSchema.entry(kept, Telling())
