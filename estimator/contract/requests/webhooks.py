"""Webhooks as clients ask for them."""

from __future__ import annotations

from marshmallow import RAISE, Schema

from estimator.contract.requests.fields import Many, OneOf, Text
from estimator.service.outbox.events import KINDS


class WebhookSchema(Schema):
    """Where to be told, and of what."""

    class Meta:
        """Unknown fields are faults."""

        unknown = RAISE

    url = Text(
        2_000,
        shortest=9,
        required=True,
        about="Address of https, at port 443 of a public host; redirects are not followed.",
        example="https://crm.example.org/hooks/estimator",
    )
    kinds = Many(
        OneOf(*KINDS),
        len(KINDS),
        least=1,
        allow_none=True,
        load_default=None,
        about="Kinds of events to be told of; null is all of them.",
        example=["quote.issued", "quote.accepted"],
    )
