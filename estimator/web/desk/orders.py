"""Purchasing: what is accepted and not ordered, ticked into order lists; what was ordered, when and by whom."""

from __future__ import annotations

from typing import Any

from flask import Response

from estimator.contract.faults import read
from estimator.contract.problems.documents import problem_of
from estimator.contract.requests.orders import OrderRequestSchema, order_request
from estimator.documents.papers import DELIVERY_FILES, ORDER_FORMS, files_of_delivery
from estimator.errors import EstimatorError, NotFound
from estimator.orders import deliveries_of
from estimator.sentences import say
from estimator.service import operations
from estimator.service.access import audit
from estimator.service.access.scopes import sees_all_operations
from estimator.service.context import store_nothing
from estimator.service.ordering import order_documents, order_lists
from estimator.service.ordering.order_changes import orders_to_change
from estimator.service.quoting.stored import lists as quote_lists
from estimator.web.forms.order_form import offcuts_sent, offcuts_view
from estimator.web.forms.stock import offcuts_of, stock_of
from estimator.web.quote_view import house_reader
from estimator.web.routes import Pages
from estimator.web.visits import Visit, document, sent_on

pages = Pages()
PAGE = 30


@pages.get("/orders", "orders:read")
def show_orders(visit: Visit) -> Response:
    """Accepted quotes to order, and the order lists made so far, the newest first."""
    return _orders(visit)


@pages.get("/orders/new", "orders:write")
def new_order(visit: Visit) -> Response:
    """The same with quotes ticked."""
    return _orders(visit, ticked=visit.args.getlist("quote"))


@pages.post("/orders", "orders:write")
def make_order(visit: Visit) -> Response:
    """One order list for each supplier, over the quotes that are ticked; or only what that would be."""
    form = visit.form
    offcuts: list[Any] = []
    try:
        offcuts = offcuts_sent(form, us=visit.reads_us)
        offcuts += offcuts_of(visit.chosen("offcuts_file"), us=visit.reads_us)
        stock = stock_of(form.get("stock", ""), visit.chosen("stock_file"))
        posted = {
            "quotes": form.getlist("quote"),
            "stock": stock,
            "offcuts": offcuts,
            "ordered_on": form.get("ordered_on") or None,
            "cut_together": form.get("cut_together") == "yes",
            "move_joints": form.get("move_joints") == "yes",
            "delivered": list(dict.fromkeys(form.getlist("delivered"))),
        }
        order = order_request(read(OrderRequestSchema(), posted))
        if form.get("do") == "look":
            effect = order_lists.look_at_order(visit.context, visit.client, order)
            return _orders(visit, ticked=form.getlist("quote"), effect=effect, listed=offcuts)
        if order.takes_long:
            order_lists.refuse_what_cannot_be_ordered(visit.context, visit.client, order)
            begun = operations.post_operation(visit.context, visit.client, "order_list", posted, store_nothing)
            return sent_on(f"/orders/making/{begun.id}")
        made = order_lists.order_quotes(visit.context, visit.client, order, store_nothing)
    except EstimatorError as refusal:
        return _orders(visit, ticked=form.getlist("quote"), problem=problem_of(refusal), listed=offcuts)
    return sent_on(f"/orders/{made.id}")


@pages.get("/orders/making/<operation_id>", "orders:write")
def show_order_in_the_making(visit: Visit) -> Response:
    """Rails of many jobs being cut from common bars, which may take minutes; then the order itself."""
    asked = visit.path["operation_id"]
    operation = operations.get_operation(visit.context, visit.client, asked, every=sees_all_operations(visit.client))
    if operation.kind != "order_list":
        raise NotFound(say("no such operation"))
    if operation.location:
        return sent_on(f"/orders/{operation.location.rpartition('/')[2]}")
    return visit.page("order_making.html", operation=operation, running=operation.finished_at is None)


@pages.get("/orders/<order_id>", "orders:read")
def show_order(visit: Visit) -> Response:
    """One order list: what each supplier is to deliver, its papers, the quotes in it, and who made it."""
    kept = order_lists.get_order_list(visit.context, visit.client, visit.path["order_id"])
    deeds = audit.history_of(visit.context, visit.client, kept.id)
    forms = tuple(ORDER_FORMS.values())
    found = [quote_lists.get_listing(visit.context, visit.client, each) for each in kept.quotes]
    chain = orders_to_change(visit.context, visit.client, {quote.number for quote in found})
    related = dict.fromkeys(pair for each in chain.values() for pair in each.orders if pair[0] != kept.id)
    return visit.page(
        "order.html", kept=kept, forms=forms, deeds=deeds, quotes=found, related=related,
        together=kept.lists.together, told=house_reader(visit), costs=visit.may("costs:read"),
        deliveries=deliveries_of(kept.lists.moving),
        delivery_files=files_of_delivery, told_of=lambda each: house_reader(visit, each.texts),
    )  # fmt: skip


@pages.get("/orders/<order_id>/papers/<file>", "orders:read")
def show_order_paper(visit: Visit) -> Response:
    """A paper of a whole order list."""
    return _paper(visit, None)


@pages.get("/orders/<order_id>/suppliers/<supplier>/<file>", "orders:read")
def show_supplier_paper(visit: Visit) -> Response:
    """A paper of one supplier's part."""
    return _paper(visit, visit.path["supplier"])


@pages.get("/orders/<order_id>/deliveries/<number>/<file>", "orders:read")
def show_delivery_paper(visit: Visit) -> Response:
    """A paper of one delivery: what goes to one site by one day."""
    form = next((form for form in ORDER_FORMS.values() if form.file == visit.path["file"]), None)
    if form is None or form.file not in DELIVERY_FILES:
        raise NotFound(say("there is no such paper"))
    kept = order_lists.get_order_list(visit.context, visit.client, visit.path["order_id"])
    name, content = visit.context.on_paper(order_documents.order_paper, kept, form.name, None, visit.path["number"])
    return document(content, form.media, name)


def _paper(visit: Visit, supplier: str | None) -> Response:
    forms = {form.name: form for form in ORDER_FORMS.values()}
    if visit.path["file"] not in forms:
        raise NotFound(say("there is no such paper"))
    form = forms[visit.path["file"]]
    kept = order_lists.get_order_list(visit.context, visit.client, visit.path["order_id"])
    name, content = visit.context.on_paper(order_documents.order_paper, kept, form.name, supplier)
    return document(content, form.media, name)


def _orders(visit: Visit, **more: Any) -> Response:  # noqa: ANN401
    before = visit.args.get("before", "") or None
    made = order_lists.list_order_lists(visit.context, visit.client, before=before, limit=PAGE + 1)
    waiting = quote_lists.quotes_to_order(visit.context, visit.client)
    changes = orders_to_change(visit.context, visit.client, {quote.number for quote in waiting})
    problem = more.get("problem")
    faults = (problem.faults or ()) if problem else ()
    offcuts = offcuts_view(more.pop("listed", None), visit.at_fields(faults), us=visit.reads_us)
    return visit.page(
        "orders.html", problem.status if problem else 200,
        offcuts=offcuts, told=house_reader(visit), costs=visit.may("costs:read"),
        waiting=waiting, changes=changes, orders=made[:PAGE], more=made[PAGE - 1].id if len(made) > PAGE else "",
        ticked=more.pop("ticked", ()), typed=visit.form, **more,
    )  # fmt: skip
