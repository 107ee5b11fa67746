"""/v1/webhooks/{id}/deliveries: what became of every delivery, and sending one again."""

from __future__ import annotations

from estimator.api.paging import page
from estimator.api.replies import Reply
from estimator.api.request import Request
from estimator.api.routes import Options, Routes
from estimator.contract.answers.events import DeliveryAnswerSchema, DeliveryPageSchema, delivery_entry
from estimator.contract.requests.queries import ChangedPageSchema
from estimator.service.outbox import deliveries

routes = Routes("Deliveries", "What became of every telling of a webhook, try by try.")


@routes.add(
    "GET",
    "/webhooks/<webhook_id>/deliveries",
    "webhooks:manage",
    "Deliveries of a webhook, the newest first, with every try",
    Options(query=ChangedPageSchema, gives={200: DeliveryPageSchema}, unversioned=True),
)
def list_deliveries(request: Request) -> Reply:
    """A page of the log."""
    webhook_id = request.path["webhook_id"]
    return page(
        request,
        f"/v1/webhooks/{webhook_id}/deliveries",
        lambda before, limit: deliveries.list_deliveries(
            request.context,
            request.client,
            webhook_id,
            before=before,
            limit=limit,
            since=request.query.get("updated_since"),
        ),
        DeliveryPageSchema,
    )


@routes.add(
    "POST",
    "/webhooks/<webhook_id>/deliveries/<delivery_id>/redeliver",
    "webhooks:manage",
    "Deliver once more, from the first try on",
    Options(gives={200: DeliveryAnswerSchema}, creates=True, unversioned=True),
)
def redeliver(request: Request) -> Reply:
    """Queue a delivery again."""
    path = request.path
    return request.once(
        lambda delivery: Reply(delivery_entry(delivery)),
        lambda store: deliveries.deliver_again(
            request.context, request.client, path["webhook_id"], path["delivery_id"], store
        ),
    )
