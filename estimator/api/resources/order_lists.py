"""/v1/order-lists: accepted quotes to one order list for each supplier."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Response
from flask import request as http_request

from estimator.api.monitoring.timing import timed
from estimator.api.paging import page
from estimator.api.replies import JSON, Reply, send_bytes
from estimator.api.request import Request
from estimator.api.resources.operations import TAKEN_UP, accepted, at_once_or_later, later, prefers_async
from estimator.api.routes import Options, Routes
from estimator.contract.answers.orders.orders import OrderListAnswerSchema, OrderListPageSchema, order_list_entry
from estimator.contract.problems.refusals import NotAcceptable, PoolFull
from estimator.contract.requests.orders import OrderRequestSchema, order_request
from estimator.contract.requests.queries import ChangedPageSchema
from estimator.documents.paper import OrderForm
from estimator.documents.papers import DELIVERY_FILES, ORDER_FORMS
from estimator.sentences import say
from estimator.service.operations import unfinished
from estimator.service.ordering import order_documents, order_lists
from estimator.service.ordering.order_lists import StoredOrderList

routes = Routes("Order lists", "What purchasing buys for accepted quotes, one list for each supplier.")
MEDIA = (JSON, *(form.media for form in ORDER_FORMS.values()))


@routes.add(
    "POST",
    "/order-lists",
    "orders:write",
    "Order accepted quotes: merged, less what is in stock, rounded to packs once",
    Options(body=OrderRequestSchema, gives={201: OrderListAnswerSchema, **TAKEN_UP}, creates=True),
)
def post_order_list(request: Request) -> Reply:
    """Order quotes, each once; where rails are cut together, the answer links to their saw list."""
    order = order_request(request.body)
    if prefers_async():
        order_lists.refuse_what_cannot_be_ordered(request.context, request.client, order)
    return at_once_or_later(
        request,
        "order_list",
        request.document,
        None,
        lambda: request.once(
            lambda kept: Reply(
                order_list_entry(kept), 201, f"v{kept.version}", {"Location": f"/v1/order-lists/{kept.id}"}
            ),
            lambda store: order_lists.order_quotes(request.context, request.client, order, store),
        ),
    )


@routes.add(
    "GET",
    "/order-lists",
    "orders:read",
    "Order lists, the newest first",
    Options(query=ChangedPageSchema, gives={200: OrderListPageSchema}),
)
def list_order_lists(request: Request) -> Reply:
    """A page of order lists."""
    return page(
        request,
        "/v1/order-lists",
        lambda before, limit: order_lists.list_order_lists(
            request.context, request.client, before=before, limit=limit, since=request.query.get("updated_since")
        ),
        OrderListPageSchema,
    )


@routes.add(
    "GET",
    "/order-lists/<order_list_id>",
    "orders:read",
    "One order list; by Accept also as CSV, workbook or electronic order",
    Options(gives={200: OrderListAnswerSchema, **TAKEN_UP}, documents=MEDIA),
)
def get_order_list(request: Request) -> Reply | Response:
    """One order list in the form asked for."""
    best = http_request.accept_mimetypes.best_match(list(MEDIA)) if http_request.accept_mimetypes else JSON
    if best is None:
        raise NotAcceptable(say("an order list is given as {names}", names=", ".join(MEDIA)))
    kept = order_lists.get_order_list(request.context, request.client, request.path["order_list_id"])
    if best == JSON:
        return Reply(order_list_entry(kept), 200, f"v{kept.version}")
    form = next(form for form in ORDER_FORMS.values() if form.media == best)
    return _sent(request, kept, form)


def _sent(
    request: Request, kept: StoredOrderList, form: OrderForm, supplier: str | None = None, delivery: str | None = None
) -> Reply | Response:
    """The paper, or an operation: where the client prefers it, or the process for papers is busy for long."""
    asked = order_documents.paper_asked(kept, form, supplier, delivery)
    if prefers_async():
        return _later(request, asked)
    write = timed("document", request.context.on_paper)
    try:
        name, content = write(order_documents.order_paper, kept, form.name, supplier, delivery)
    except PoolFull:
        return _later(request, asked)
    return send_bytes(content, form.media, name)


def _later(request: Request, asked: dict[str, Any]) -> Reply:
    known = unfinished(request.context, request.client, "paper", asked)
    return accepted(known) if known is not None else later(request, "paper", asked)


def _kept(request: Request) -> StoredOrderList:
    return order_lists.get_order_list(request.context, request.client, request.path["order_list_id"])


def _declare(form: OrderForm) -> None:
    def whole(request: Request) -> Reply | Response:
        return _sent(request, _kept(request), form)

    def of_supplier(request: Request) -> Reply | Response:
        return _sent(request, _kept(request), form, request.path["supplier"])

    name = f"{form.stem}_{form.ending}".replace("-", "_")
    name = name if form.of_supplier else f"order_{name}"
    whole.__name__, of_supplier.__name__ = f"get_{name}", f"get_supplier_{name}"
    what = form.stem.replace("-", " ")
    paths = [(f"/order-lists/<order_list_id>/{form.file}", f"The whole {what}", whole)]
    if form.of_supplier:
        paths.append(
            (
                f"/order-lists/<order_list_id>/suppliers/{form.address('<supplier>')}",
                f"One supplier's {what}",
                of_supplier,
            )
        )
    for path, about, view in paths:
        declare: Callable[[Callable[[Request], Reply | Response]], object] = routes.add(
            "GET",
            path,
            "orders:read",
            f"{about} as {form.about}",
            Options(gives={200: None, **TAKEN_UP}, documents=(form.media,)),
        )
        declare(view)


def _declare_of_delivery(form: OrderForm) -> None:
    def view(request: Request) -> Reply | Response:
        return _sent(request, _kept(request), form, delivery=request.path["number"])

    view.__name__ = f"get_delivery_{form.stem}_{form.ending}".replace("-", "_")
    declare: Callable[[Callable[[Request], Reply | Response]], object] = routes.add(
        "GET",
        f"/order-lists/<order_list_id>/deliveries/<number>/{form.file}",
        "orders:read",
        f"One delivery's {form.stem.replace('-', ' ')} as {form.about}",
        Options(gives={200: None, **TAKEN_UP}, documents=(form.media,)),
    )
    declare(view)


for each in ORDER_FORMS.values():
    _declare(each)
    if each.file in DELIVERY_FILES:
        _declare_of_delivery(each)
