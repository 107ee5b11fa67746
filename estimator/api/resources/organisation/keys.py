"""/v1/keys: who may call the service for this organisation."""

from __future__ import annotations

from estimator.api.paging import page
from estimator.api.replies import Reply
from estimator.api.request import Request
from estimator.api.routes import Options, Routes
from estimator.contract.answers.organisation.keys import (
    KeyAnswerSchema,
    KeyPageSchema,
    MadeKeySchema,
    key_entry,
    made_key_entry,
)
from estimator.contract.requests.keys import MakeKeySchema, RotateKeySchema
from estimator.contract.requests.queries import ChangedPageSchema
from estimator.service.access import keys
from estimator.service.access.keys import KeyKind, MadeKey

routes = Routes("Keys", "Who may call the service for this organisation; a key is shown once, when it is made.")


@routes.add(
    "POST",
    "/keys",
    "keys:manage",
    "Make a key; it is shown only in this answer",
    Options(body=MakeKeySchema, gives={201: MadeKeySchema}, creates=True, unversioned=True),
)
def post_key(request: Request) -> Reply:
    """A new key."""
    kind = KeyKind(**request.body)
    return request.once(_made, lambda store: keys.make_key(request.context, request.client, kind, store))


@routes.add(
    "GET",
    "/keys",
    "keys:manage",
    "Keys, the newest first",
    Options(query=ChangedPageSchema, gives={200: KeyPageSchema}),
)
def list_keys(request: Request) -> Reply:
    """A page of keys."""
    return page(
        request,
        "/v1/keys",
        lambda before, limit: keys.page_of_keys(
            request.context, request.client, before=before, limit=limit, since=request.query.get("updated_since")
        ),
        KeyPageSchema,
    )


@routes.add(
    "GET",
    "/keys/<key_id>",
    "keys:manage",
    "One key, without its secret",
    Options(gives={200: KeyAnswerSchema}, unversioned=True),
)
def get_key(request: Request) -> Reply:
    """One key."""
    return Reply(key_entry(keys.get_key(request.context, request.client, request.path["key_id"])))


@routes.add(
    "POST",
    "/keys/<key_id>/rotate",
    "keys:manage",
    "A new key in the place of this one, which lives on for the overlap: two at most are live at once",
    Options(body=RotateKeySchema, gives={201: MadeKeySchema}, creates=True, optional_body=True, unversioned=True),
)
def rotate_key(request: Request) -> Reply:
    """A key of the same client and role."""
    spans = request.body["overlap_days"], request.body["days"]
    return request.once(
        _made,
        lambda store: keys.rotate_own_key(request.context, request.client, request.path["key_id"], spans, store),
    )


@routes.add(
    "POST",
    "/keys/<key_id>/revoke",
    "keys:manage",
    "End a key: from now on it opens nothing",
    Options(gives={200: KeyAnswerSchema}, creates=True, unversioned=True),
)
def revoke_key(request: Request) -> Reply:
    """Revoke a key; this cannot be undone."""
    return request.once(
        lambda card: Reply(key_entry(card)),
        lambda store: keys.revoke_own_key(request.context, request.client, request.path["key_id"], store),
    )


def _made(made: MadeKey) -> Reply:
    shown = made_key_entry(made)
    return Reply(shown, 201, headers={"Location": f"/v1/keys/{made.card.id}"}, again={**shown, "key": None})
