"""/v1/events and /v1/webhooks: what happened, as a list to read on from, and webhooks that are told of it."""

from __future__ import annotations

from estimator.api.paging import page, pages_on, since
from estimator.api.replies import Reply
from estimator.api.request import Request
from estimator.api.routes import Options, Routes
from estimator.contract.answers.events import (
    EventPageSchema,
    MadeWebhookSchema,
    WebhookAnswerSchema,
    WebhookPageSchema,
    made_webhook_entry,
    webhook_entry,
)
from estimator.contract.requests.queries import ChangedPageSchema, EventsQuerySchema
from estimator.contract.requests.webhooks import WebhookSchema
from estimator.service.outbox import webhooks
from estimator.service.outbox.events import KINDS
from estimator.service.outbox.events import list_events as find_events
from estimator.service.outbox.webhooks import MadeWebhook

routes = Routes(
    "Events",
    "What happened, in its order, and where to be told of it (Standard Webhooks). Kinds: " + ", ".join(KINDS) + ".",
)


@routes.add(
    "GET",
    "/events",
    "events:read",
    "Events, the oldest first; the next page is always named, to be read on later",
    Options(query=EventsQuerySchema, gives={200: EventPageSchema}),
)
def list_events(request: Request) -> Reply:
    """A page of events."""
    kind, begin = request.query.get("kind"), since(request)
    return pages_on(
        request,
        "/v1/events",
        lambda after, limit: find_events(
            request.context, request.client, after=after, limit=limit, kind=kind, since=begin
        ),
        EventPageSchema,
    )


@routes.add(
    "POST",
    "/webhooks",
    "webhooks:manage",
    "Be told of events; the secret of the signatures is shown only in this answer",
    Options(body=WebhookSchema, gives={201: MadeWebhookSchema}, creates=True, unversioned=True),
)
def post_webhook(request: Request) -> Reply:
    """A new webhook."""
    return request.once(
        _made,
        lambda store: webhooks.make_webhook(
            request.context, request.client, request.body["url"], request.body["kinds"], store
        ),
    )


@routes.add(
    "GET",
    "/webhooks",
    "webhooks:manage",
    "Webhooks, the newest first",
    Options(query=ChangedPageSchema, gives={200: WebhookPageSchema}),
)
def list_webhooks(request: Request) -> Reply:
    """A page of webhooks."""
    return page(
        request,
        "/v1/webhooks",
        lambda before, limit: webhooks.list_webhooks(
            request.context, request.client, before=before, limit=limit, since=request.query.get("updated_since")
        ),
        WebhookPageSchema,
    )


@routes.add(
    "GET",
    "/webhooks/<webhook_id>",
    "webhooks:manage",
    "One webhook, without its secret",
    Options(gives={200: WebhookAnswerSchema}, unversioned=True),
)
def get_webhook(request: Request) -> Reply:
    """One webhook."""
    return Reply(webhook_entry(webhooks.get_webhook(request.context, request.client, request.path["webhook_id"])))


@routes.add(
    "DELETE",
    "/webhooks/<webhook_id>",
    "webhooks:manage",
    "Be told no more; what still waits is given up, the log stays",
    Options(gives={200: WebhookAnswerSchema}, unversioned=True),
)
def delete_webhook(request: Request) -> Reply:
    """End a webhook."""
    return Reply(webhook_entry(webhooks.end_webhook(request.context, request.client, request.path["webhook_id"])))


@routes.add(
    "POST",
    "/webhooks/<webhook_id>/rotate-secret",
    "webhooks:manage",
    "A new secret; the one before signs beside it for a day",
    Options(gives={201: MadeWebhookSchema}, creates=True, unversioned=True),
)
def rotate_webhook_secret(request: Request) -> Reply:
    """The webhook with its new secret."""
    return request.once(
        _made,
        lambda store: webhooks.rotate_secret(request.context, request.client, request.path["webhook_id"], store),
    )


def _made(made: MadeWebhook) -> Reply:
    shown = made_webhook_entry(made)
    return Reply(shown, 201, headers={"Location": f"/v1/webhooks/{made.card.id}"}, again={**shown, "secret": None})
